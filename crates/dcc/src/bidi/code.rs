//! The 4-of-8 code: six bits in an octet with exactly four ones.
//!
//! What it is: the table in both directions. What it is not: datagrams.
//!
//! Source: RCN-217 Table 2. Wrong copies of the table circulate, and one draft prints a wrong acknowledgement; this one
//! follows RCN-217.

use core::fmt;

/// Codes of the values 0 to 63 (RCN-217 Table 2).
const CODES: [u8; 64] = [
    0xAC, 0xAA, 0xA9, 0xA5, 0xA3, 0xA6, 0x9C, 0x9A, 0x99, 0x95, 0x93, 0x96, 0x8E, 0x8D, 0x8B, 0xB1, 0xB2,
    0xB4, 0xB8, 0x74, 0x72, 0x6C, 0x6A, 0x69, 0x65, 0x63, 0x66, 0x5C, 0x5A, 0x59, 0x55, 0x53, 0x56, 0x4E,
    0x4D, 0x4B, 0x47, 0x71, 0xE8, 0xE4, 0xE2, 0xD1, 0xC9, 0xC5, 0xD8, 0xD4, 0xD2, 0xCA, 0xC6, 0xCC, 0x78,
    0x17, 0x1B, 0x1D, 0x1E, 0x2E, 0x36, 0x3A, 0x27, 0x2B, 0x2D, 0x35, 0x39, 0x33,
];

/// The code sent for an acknowledgement; [`ACKNOWLEDGE_OTHER`] means the same.
const ACKNOWLEDGE: u8 = 0xF0;
const ACKNOWLEDGE_OTHER: u8 = 0x0F;
const NOT_ACKNOWLEDGE: u8 = 0x3C;

/// What an octet of feedback says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Symbol {
    /// Six bits of a datagram, 0 to 63.
    Value(u8),
    /// The packet was understood.
    Acknowledge,
    /// The packet was understood but cannot be carried out (optional).
    NotAcknowledge,
    /// One of the three codes kept for later use.
    Reserved,
}

/// The code of six bits; higher bits are dropped.
pub const fn encode(value: u8) -> u8 {
    CODES[(value & 0x3F) as usize]
}

impl Symbol {
    /// The octet that says this, or `None` for [`Symbol::Reserved`], which nobody sends.
    pub const fn code(self) -> Option<u8> {
        match self {
            Self::Value(value) => Some(encode(value)),
            Self::Acknowledge => Some(ACKNOWLEDGE),
            Self::NotAcknowledge => Some(NOT_ACKNOWLEDGE),
            Self::Reserved => None,
        }
    }
}

/// What an octet of feedback says.
///
/// # Errors
/// [`BidiError::Weight`] when it has not exactly four ones.
pub const fn decode(octet: u8) -> Result<Symbol, BidiError> {
    match octet {
        ACKNOWLEDGE | ACKNOWLEDGE_OTHER => return Ok(Symbol::Acknowledge),
        NOT_ACKNOWLEDGE => return Ok(Symbol::NotAcknowledge),
        _ => {}
    }
    if octet.count_ones() != 4 {
        return Err(BidiError::Weight { found: octet });
    }
    let mut value = 0;
    while value < 64 {
        if CODES[value as usize] == octet {
            return Ok(Symbol::Value(value));
        }
        value += 1;
    }
    Ok(Symbol::Reserved)
}

/// Why feedback cannot be read. Octets are counted from 1 within their channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BidiError {
    /// An octet without exactly four ones: disturbed, or two decoders spoke at once.
    Weight {
        /// The octet.
        found: u8,
    },
    /// An acknowledgement or a reserved code where six bits of a datagram were due.
    NotAValue {
        /// Place of the octet.
        octet: usize,
        /// What it says.
        found: Symbol,
    },
    /// The datagram is longer than what was received.
    Truncated {
        /// Identifier of the datagram.
        id: u8,
        /// Octets it has.
        needed: usize,
        /// Octets received.
        got: usize,
    },
    /// An identifier that this channel does not carry, or whose length is not fixed.
    Id {
        /// The identifier.
        id: u8,
    },
    /// A number that does not fit into its field.
    OutOfRange {
        /// What it is.
        what: &'static str,
        /// The most that fits.
        most: u32,
    },
    /// The channel has no room for another datagram.
    Full,
    /// An acknowledgement would stand before a datagram, or a refusal first.
    Order,
}

impl fmt::Display for BidiError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Weight { found } => {
                write!(f, "feedback octet {found:02X} has {} ones, expected 4", found.count_ones())
            }
            Self::NotAValue { octet, found } => {
                write!(f, "feedback octet {octet} is {found:?}, expected six bits of a datagram")
            }
            Self::Truncated { id, needed, got } => {
                write!(f, "datagram {id} has {needed} octets, only {got} were received")
            }
            Self::Id { id } => write!(f, "datagram {id} is not known in this channel"),
            Self::OutOfRange { what, most } => {
                write!(f, "{what} is above {most}, the most that its field holds")
            }
            Self::Full => f.write_str("no room for another datagram in this channel"),
            Self::Order => f.write_str(
                "datagrams come first, then acknowledgements, and a refusal only after one of them",
            ),
        }
    }
}

impl core::error::Error for BidiError {}
