//! CV access: the long form on the main and in direct service mode, and the short forms.
//!
//! What it is: which CV, what is done with it, and the two octets that say so.
//! What it is not: the decoder's reply ([`crate::bidi`]) or the rule how often it must be sent ([`crate::operations`]).
//!
//! Source: NMRA S-9.2.1 §C 111; S-9.2.3 §E direct mode; RCN-214 (digest); RCN-217 §4.3.2.

use crate::address::LongAddress;
use crate::cv::{BitPosition, CvNumber};

/// One CV and what is done with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CvAccess {
    /// The CV.
    pub cv: CvNumber,
    /// What is done with it.
    pub operation: CvOperation,
}

/// What is done with a CV.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CvOperation {
    /// CC = 01: compare the CV with this value; on the main with feedback this reads it, and the value does not matter.
    Verify(u8),
    /// CC = 11: store this value.
    Write(u8),
    /// CC = 10, data `1110DBBB`: compare one bit.
    VerifyBit {
        /// Which bit.
        bit: BitPosition,
        /// The value to compare with.
        value: bool,
    },
    /// CC = 10, data `1111DBBB`: store one bit.
    WriteBit {
        /// Which bit.
        bit: BitPosition,
        /// The value to store.
        value: bool,
    },
}

impl CvAccess {
    /// Compares, or reads, a CV.
    pub const fn verify(cv: CvNumber, value: u8) -> Self {
        Self { cv, operation: CvOperation::Verify(value) }
    }

    /// Stores a value.
    pub const fn write(cv: CvNumber, value: u8) -> Self {
        Self { cv, operation: CvOperation::Write(value) }
    }

    /// Compares one bit.
    pub const fn verify_bit(cv: CvNumber, bit: BitPosition, value: bool) -> Self {
        Self { cv, operation: CvOperation::VerifyBit { bit, value } }
    }

    /// Stores one bit.
    pub const fn write_bit(cv: CvNumber, bit: BitPosition, value: bool) -> Self {
        Self { cv, operation: CvOperation::WriteBit { bit, value } }
    }

    /// Whether the CV would be changed.
    pub const fn is_write(self) -> bool {
        matches!(self.operation, CvOperation::Write(_) | CvOperation::WriteBit { .. })
    }

    /// What a CV that holds `old` would hold afterwards, or, for a comparison, whether it agrees.
    pub const fn apply(self, old: u8) -> CvOutcome {
        match self.operation {
            CvOperation::Verify(value) => CvOutcome::Compared { agrees: old == value },
            CvOperation::Write(value) => CvOutcome::Stored(value),
            CvOperation::VerifyBit { bit, value } => CvOutcome::Compared { agrees: bit.of(old) == value },
            CvOperation::WriteBit { bit, value } => CvOutcome::Stored(bit.set_in(old, value)),
        }
    }

    /// The three octets `ppppCCVV VVVVVVVV DDDDDDDD`; the prefix is 1110 on the main and 0111 in service mode.
    pub(crate) const fn octets(self, prefix: u8) -> [u8; 3] {
        let (code, data) = match self.operation {
            CvOperation::Verify(value) => (0b01, value),
            CvOperation::Write(value) => (0b11, value),
            CvOperation::VerifyBit { bit, value } => (0b10, 0xE0 | bit_data(bit, value)),
            CvOperation::WriteBit { bit, value } => (0b10, 0xF0 | bit_data(bit, value)),
        };
        let [high, low] = self.cv.wire().to_be_bytes();
        [prefix << 4 | code << 2 | high, low, data]
    }

    /// From the three octets, whose prefix the caller has judged. `None` for CC = 00 and for bit data whose three
    /// highest bits are not ones.
    pub(crate) const fn from_octets([first, low, data]: [u8; 3]) -> Option<Self> {
        let cv = CvNumber::from_wire(u16::from_be_bytes([first & 0b11, low]));
        let bit = BitPosition::lowest_bits(data);
        let value = data & 0b1000 != 0;
        let operation = match (first >> 2 & 0b11, data >> 4) {
            (0b01, _) => CvOperation::Verify(data),
            (0b11, _) => CvOperation::Write(data),
            (0b10, 0xE) => CvOperation::VerifyBit { bit, value },
            (0b10, 0xF) => CvOperation::WriteBit { bit, value },
            _ => return None,
        };
        Some(Self { cv, operation })
    }
}

pub(super) const fn bit_data(bit: BitPosition, value: bool) -> u8 {
    (value as u8) << 3 | bit.get()
}

/// What a CV access does to a CV.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CvOutcome {
    /// The CV holds this value now.
    Stored(u8),
    /// The CV was compared and is unchanged.
    Compared {
        /// Whether it holds what was asked for.
        agrees: bool,
    },
}

/// CV access, short form, `1111CCCC` and one or two data octets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShortCvAccess {
    /// CCCC = 0010: CV23, acceleration adjustment; one packet is enough (S-9.2.1 §C).
    AccelerationAdjustment(u8),
    /// CCCC = 0011: CV24, deceleration adjustment; one packet is enough (S-9.2.1 §C).
    DecelerationAdjustment(u8),
    /// CCCC = 0100: CV17 and CV18, and CV29 bit 5 is set; two identical packets (RCN-217 §4.3.2; RCN-214, digest).
    LongAddress(LongAddress),
    /// CCCC = 0101: CV31 and CV32; two identical packets (RCN-217 §4.3.2; RCN-214, digest).
    IndexPage {
        /// Value of CV31.
        cv31: u8,
        /// Value of CV32.
        cv32: u8,
    },
    /// CCCC = 0110: CV19 and CV20; two identical packets (RCN-214, digest).
    Consist {
        /// Value of CV19.
        cv19: u8,
        /// Value of CV20.
        cv20: u8,
    },
}
