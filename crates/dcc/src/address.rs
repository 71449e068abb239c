//! Addresses of multi-function decoders on the wire.
//!
//! What it is: short, long and broadcast addresses as the first octets of a packet carry them.
//! What it is not: accessory addresses ([`crate::AccessoryAddress`]) or the CVs that hold an address
//! ([`crate::cv`]). A consist address looks like a short or a long address on the wire; only the decoder knows.
//!
//! Source: NMRA S-9.2.1 §A and §C; RCN-217 Table 4.

use core::fmt;

/// First octet of the lowest long address (S-9.2.1 §A).
pub(crate) const LONG_FIRST: u8 = 192;
/// First octet of the highest long address (S-9.2.1 §A).
pub(crate) const LONG_LAST: u8 = 231;

/// A seven-bit address, 1 to 127.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShortAddress(u8);

impl ShortAddress {
    /// The address decoders are delivered with, 3 (S-9.2.2 CV1).
    pub const FACTORY: Self = Self(3);

    /// # Errors
    /// [`AddressError::Short`] outside 1..=127.
    pub const fn new(number: u8) -> Result<Self, AddressError> {
        if number >= 1 && number <= 127 {
            Ok(Self(number))
        } else {
            Err(AddressError::Short { number: number as u16 })
        }
    }

    /// The number, 1 to 127.
    pub const fn get(self) -> u8 {
        self.0
    }
}

/// A fourteen-bit address, 0 to 10239.
///
/// Address 0 is not a locomotive address (RCN-225 CV17/18) but may serve as a programming address (RCN-217 §5.2.4).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LongAddress(u16);

impl LongAddress {
    /// The highest address, which may be sent to give channel 1 a chance to speak when no locomotive is active
    /// (RCN-217 §3).
    pub const HIGHEST: Self = Self(10_239);

    /// # Errors
    /// [`AddressError::Long`] above 10239.
    pub const fn new(number: u16) -> Result<Self, AddressError> {
        if number <= Self::HIGHEST.0 { Ok(Self(number)) } else { Err(AddressError::Long { number }) }
    }

    /// From the two octets of a packet, which are also the values of CV17 and CV18.
    ///
    /// # Errors
    /// [`AddressError::LongFirstOctet`] when the first is not 192..=231.
    pub const fn from_octets(high: u8, low: u8) -> Result<Self, AddressError> {
        if high < LONG_FIRST || high > LONG_LAST {
            return Err(AddressError::LongFirstOctet { found: high });
        }
        Ok(Self(u16::from_be_bytes([high - LONG_FIRST, low])))
    }

    /// The number, 0 to 10239.
    pub const fn get(self) -> u16 {
        self.0
    }

    /// The two octets of a packet, which are also the values of CV17 and CV18: 192 + (number div 256), number mod 256.
    pub const fn octets(self) -> [u8; 2] {
        let [high, low] = self.0.to_be_bytes();
        [high + LONG_FIRST, low]
    }
}

/// Whom a packet for multi-function decoders is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Address {
    /// All multi-function decoders (first octet 0).
    Broadcast,
    /// The decoder, or the consist, with this short address.
    Short(ShortAddress),
    /// The decoder, or the consist, with this long address.
    Long(LongAddress),
}

impl Address {
    /// The address a person would mean by a bare number: short up to 127, long from 128 on (RCN-218 Annex D,
    /// informative).
    ///
    /// # Errors
    /// [`AddressError::Long`] above 10239 and [`AddressError::Short`] for 0.
    pub const fn from_number(number: u16) -> Result<Self, AddressError> {
        if number == 0 {
            return Err(AddressError::Short { number });
        }
        if number <= 127 {
            let [_, low] = number.to_be_bytes();
            return Ok(Self::Short(ShortAddress(low)));
        }
        match LongAddress::new(number) {
            Ok(long) => Ok(Self::Long(long)),
            Err(error) => Err(error),
        }
    }

    /// Number of octets of the address in a packet: one, or two for a long address.
    pub const fn octet_count(self) -> usize {
        match self {
            Self::Broadcast | Self::Short(_) => 1,
            Self::Long(_) => 2,
        }
    }
}

impl From<ShortAddress> for Address {
    fn from(address: ShortAddress) -> Self {
        Self::Short(address)
    }
}

impl From<LongAddress> for Address {
    fn from(address: LongAddress) -> Self {
        Self::Long(address)
    }
}

impl fmt::Display for ShortAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "short address {}", self.0)
    }
}

impl fmt::Display for LongAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "long address {}", self.0)
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Broadcast => f.write_str("all decoders"),
            Self::Short(short) => short.fmt(f),
            Self::Long(long) => long.fmt(f),
        }
    }
}

/// Why a number is not an address.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AddressError {
    /// Not a short address.
    Short {
        /// The number given.
        number: u16,
    },
    /// Not a long address.
    Long {
        /// The number given.
        number: u16,
    },
    /// The first octet of a pair, or CV17, is not that of a long address.
    LongFirstOctet {
        /// The octet given.
        found: u8,
    },
    /// Not an address for a consist: broadcast, or a long address that CV19 and CV20 cannot tell from a short one.
    Consist {
        /// The number; 0 for broadcast.
        number: u16,
    },
}

impl fmt::Display for AddressError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Short { number } => write!(f, "short address {number} is outside 1 to 127"),
            Self::Long { number } => write!(f, "long address {number} is above 10239"),
            Self::LongFirstOctet { found } => {
                write!(f, "first octet of a long address (CV17) is {found}, expected 192 to 231")
            }
            Self::Consist { number } => {
                write!(f, "{number} cannot be the address of a consist: short 1 to 127 or long 100 to 10239")
            }
        }
    }
}

impl core::error::Error for AddressError {}
