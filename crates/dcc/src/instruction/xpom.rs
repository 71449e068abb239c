//! Extended programming on the main: up to four consecutive CVs of any index page in one packet.
//!
//! What it is: the instruction. What it is not: its answer ([`crate::bidi::Datagram::XpomReply`]).
//!
//! Source: RCN-217 §5.6 and §5.7; RCN-214 (digest).

use super::InstructionError;
use crate::cv::{BitPosition, IndexedCv};

/// `1110KKSS`, three address octets and 0 to 4 data octets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Xpom {
    sequence: u8,
    /// The first CV.
    pub address: IndexedCv,
    /// What is done.
    pub operation: XpomOperation,
}

/// What an XPOM packet does. The answer is always four consecutive values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum XpomOperation {
    /// KK = 01: read four CVs.
    Read,
    /// KK = 11: store one to four CVs; two identical packets back to back (RCN-214, digest).
    Write(XpomData),
    /// KK = 10, data `1111DBBB`: store one bit.
    WriteBit {
        /// Which bit.
        bit: BitPosition,
        /// The value to store.
        value: bool,
    },
}

impl Xpom {
    /// # Errors
    /// [`InstructionError::XpomSequence`] for a sequence number above 3.
    pub const fn new(
        sequence: u8,
        address: IndexedCv,
        operation: XpomOperation,
    ) -> Result<Self, InstructionError> {
        if sequence > 3 {
            return Err(InstructionError::XpomSequence { sequence });
        }
        Ok(Self { sequence, address, operation })
    }

    pub(super) const fn from_parts(sequence_bits: u8, address: IndexedCv, operation: XpomOperation) -> Self {
        Self { sequence: sequence_bits & 0b11, address, operation }
    }

    /// The sequence number, 0 to 3, which the answer carries as ID 8 to 11. A decoder ignores a repeat with the same
    /// number.
    pub const fn sequence(self) -> u8 {
        self.sequence
    }
}

/// One to four values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct XpomData {
    len: u8,
    values: [u8; 4],
}

impl XpomData {
    /// # Errors
    /// [`InstructionError::XpomData`] for none or more than four values.
    pub fn new(values: &[u8]) -> Result<Self, InstructionError> {
        let refused = InstructionError::XpomData { count: values.len() };
        if values.is_empty() {
            return Err(refused);
        }
        let mut stored = [0; 4];
        stored.get_mut(..values.len()).ok_or(refused)?.copy_from_slice(values);
        Ok(Self { len: u8::try_from(values.len()).map_err(|_| refused)?, values: stored })
    }

    /// The values.
    pub fn values(&self) -> &[u8] {
        &self.values[..usize::from(self.len)]
    }
}
