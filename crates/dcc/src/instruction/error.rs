//! Why octets are not an instruction, or an instruction cannot be made.
//!
//! What it is: one error for all of [`super`]; octets are counted from 1, the address being octet 1.
//! What it is not: a wrong check octet ([`crate::PacketError`]).

use core::fmt;

/// Why octets are not an instruction, or an instruction cannot be made. Octets are counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InstructionError {
    /// The first octet is a reserved address (232 to 252, or 255 not followed by 0).
    ReservedAddress {
        /// The first octet.
        found: u8,
    },
    /// A code that the standards reserve.
    Reserved {
        /// Place of the octet.
        octet: usize,
        /// What stands there.
        found: u8,
        /// What the code would be.
        what: &'static str,
    },
    /// A known instruction whose layout this crate does not have.
    NotDescribed {
        /// Place of the octet.
        octet: usize,
        /// What stands there.
        found: u8,
        /// Name of the instruction and its document.
        what: &'static str,
    },
    /// Bits that must have a fixed value have another.
    Bits {
        /// Place of the octet.
        octet: usize,
        /// What stands there.
        found: u8,
        /// What was expected.
        expected: &'static str,
    },
    /// The packet ends within an instruction.
    Truncated {
        /// Place of the first octet that is missing.
        octet: usize,
        /// The instruction.
        what: &'static str,
    },
    /// Octets are left after an instruction where only one was expected.
    Trailing {
        /// Place of the first octet left.
        octet: usize,
    },
    /// A binary state that does not exist.
    BinaryStateNumber {
        /// The number given.
        number: u16,
    },
    /// More than four function octets.
    FunctionOctets {
        /// The count given.
        count: u8,
    },
    /// A sequence number above 3.
    XpomSequence {
        /// The number given.
        sequence: u8,
    },
    /// Not one to four values.
    XpomData {
        /// The count given.
        count: usize,
    },
    /// Several commands together do not fit into one packet.
    TooManyCommands {
        /// How many were placed before the room ended.
        placed: usize,
    },
}

impl fmt::Display for InstructionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::ReservedAddress { found } => write!(f, "octet 1 is {found:02X}, a reserved address"),
            Self::Reserved { octet, found, what } => {
                write!(f, "octet {octet} is {found:02X}, a reserved {what}")
            }
            Self::NotDescribed { octet, found, what } => {
                write!(f, "octet {octet} is {found:02X}, {what}, whose layout is not known here")
            }
            Self::Bits { octet, found, expected } => {
                write!(f, "octet {octet} is {found:02X}, expected {expected}")
            }
            Self::Truncated { octet, what } => write!(f, "octet {octet} is missing: {what} is longer"),
            Self::Trailing { octet } => {
                write!(f, "octet {octet} and later follow the instruction, expected none")
            }
            Self::BinaryStateNumber { number } => write!(f, "binary state {number} is outside 1 to 32767"),
            Self::FunctionOctets { count } => {
                write!(f, "{count} function octets do not fit beside a speed, at most 4")
            }
            Self::XpomSequence { sequence } => write!(f, "sequence number {sequence} is above 3"),
            Self::XpomData { count } => write!(f, "{count} values in one extended write, expected 1 to 4"),
            Self::TooManyCommands { placed } => {
                write!(f, "only the first {placed} commands fit into one packet: send the others in another")
            }
        }
    }
}

impl core::error::Error for InstructionError {}
