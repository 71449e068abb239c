//! Half-bit times to bits.
//!
//! What it is: pairing of halves, with the decoder's tolerance. What it is not: framing.
//!
//! Source: NMRA S-9.1 §A Table 1; RCN-210 §5.

use crate::timing::{HalfBit, HalfBitLimits, TimingError};

/// What a half-bit brought to light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BitEvent {
    /// A whole bit.
    Bit(bool),
    /// A half of a one stood alone before the first half of a zero. After a preamble that only means that the receiver
    /// had paired the wrong halves, which it has put right; within a packet it is a fault.
    LoneOne {
        /// Length of the lone half, µs.
        first_us: u32,
        /// Length of the half that followed and begins a zero, µs.
        second_us: u32,
    },
    /// The bit is bad and the halves must be paired anew.
    Violation(TimingError),
}

/// Turns half-bit times into bits.
///
/// Any sequence of times is allowed. When a half of a one and a half of a zero meet, the later one is kept as the
/// possible beginning of the next bit, so that the pairing is right again from the first zero that follows a one.
#[derive(Clone, Debug)]
pub struct BitDecoder {
    limits: HalfBitLimits,
    first: Option<(HalfBit, u32)>,
}

impl BitDecoder {
    /// A decoder with the tolerance of the given limits, [`HalfBitLimits::DECODER`] for what every decoder must accept.
    pub const fn new(limits: HalfBitLimits) -> Self {
        Self { limits, first: None }
    }

    /// Takes the length of the next half-bit, µs.
    pub fn half_bit(&mut self, half_us: u32) -> Option<BitEvent> {
        let Some(kind) = self.limits.classify(half_us) else {
            self.first = None;
            return Some(BitEvent::Violation(TimingError::HalfOutOfRange { half_us }));
        };
        let Some((first_kind, first_us)) = self.first.take() else {
            self.first = Some((kind, half_us));
            return None;
        };
        match (first_kind, kind) {
            (HalfBit::Zero, HalfBit::Zero) => Some(BitEvent::Bit(false)),
            (HalfBit::One, HalfBit::One) => {
                let most_us = self.limits.one_difference_most;
                if first_us.abs_diff(half_us) <= u32::from(most_us) {
                    Some(BitEvent::Bit(true))
                } else {
                    Some(BitEvent::Violation(TimingError::UnequalOne {
                        first_us,
                        second_us: half_us,
                        most_us,
                    }))
                }
            }
            (HalfBit::One, HalfBit::Zero) => {
                self.first = Some((kind, half_us));
                Some(BitEvent::LoneOne { first_us, second_us: half_us })
            }
            (HalfBit::Zero, HalfBit::One) => {
                self.first = Some((kind, half_us));
                Some(BitEvent::Violation(TimingError::HalvesDisagree { first_us, second_us: half_us }))
            }
        }
    }
}

impl Default for BitDecoder {
    fn default() -> Self {
        Self::new(HalfBitLimits::DECODER)
    }
}
