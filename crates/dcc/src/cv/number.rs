//! CV numbers and bit positions.
//!
//! What it is: checked numbers. What it is not: the meaning of a CV.
//!
//! Source: NMRA S-9.2.1 §C 111 (ten-bit field, CV less one); S-9.2.2.

use core::fmt;

/// The number of a CV, 1 to 1024.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CvNumber(u16);

impl CvNumber {
    /// Lowest number.
    pub const FIRST: Self = Self(1);
    /// Highest number.
    pub const LAST: Self = Self(1024);

    /// # Errors
    /// [`CvError::Number`] outside 1..=1024.
    pub const fn new(number: u16) -> Result<Self, CvError> {
        if number >= 1 && number <= Self::LAST.0 { Ok(Self(number)) } else { Err(CvError::Number { number }) }
    }

    /// The number, 1 to 1024.
    pub const fn get(self) -> u16 {
        self.0
    }

    /// The ten-bit field of a packet: number less one.
    pub const fn wire(self) -> u16 {
        self.0 - 1
    }

    /// From the ten-bit field of a packet; higher bits are dropped.
    pub const fn from_wire(field: u16) -> Self {
        Self((field & 0x3FF) + 1)
    }

    /// For tables of this crate, whose numbers are right by inspection: a wrong one stops the compiler.
    pub(crate) const fn literal(number: u16) -> Self {
        assert!(number >= 1 && number <= 1024, "CV number of a table");
        Self(number)
    }

    /// All numbers in order.
    pub fn all() -> impl DoubleEndedIterator<Item = Self> {
        (1..=Self::LAST.0).map(Self)
    }
}

impl fmt::Display for CvNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "CV{}", self.0)
    }
}

/// The place of a bit in a CV, 0 (weight 1) to 7 (weight 128).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BitPosition(u8);

impl BitPosition {
    /// # Errors
    /// [`CvError::Bit`] above 7.
    pub const fn new(number: u8) -> Result<Self, CvError> {
        if number <= 7 { Ok(Self(number)) } else { Err(CvError::Bit { number }) }
    }

    /// The number, 0 to 7.
    pub const fn get(self) -> u8 {
        self.0
    }

    /// The weight, 1 to 128.
    pub const fn weight(self) -> u8 {
        1 << self.0
    }

    /// The bit of a value.
    pub const fn of(self, value: u8) -> bool {
        value >> self.0 & 1 == 1
    }

    /// The value with the bit set to `bit`.
    pub const fn set_in(self, value: u8, bit: bool) -> u8 {
        if bit { value | self.weight() } else { value & !self.weight() }
    }

    /// Bit 0 to bit 7.
    pub fn all() -> impl DoubleEndedIterator<Item = Self> {
        (0..8).map(Self)
    }

    pub(crate) const fn lowest_bits(octet: u8) -> Self {
        Self(octet & 0b111)
    }
}

/// Why a value is not what a CV codec expects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CvError {
    /// Not a CV number.
    Number {
        /// The number given.
        number: u16,
    },
    /// Not a bit of an octet.
    Bit {
        /// The number given.
        number: u8,
    },
    /// A value that the CV does not take.
    Value {
        /// The CV.
        cv: CvNumber,
        /// The value given.
        value: u16,
        /// What it takes.
        expected: &'static str,
    },
}

impl fmt::Display for CvError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number { number } => write!(f, "CV number {number} is outside 1 to 1024"),
            Self::Bit { number } => write!(f, "bit {number} is outside 0 to 7"),
            Self::Value { cv, value, expected } => write!(f, "{cv} = {value}, expected {expected}"),
        }
    }
}

impl core::error::Error for CvError {}
