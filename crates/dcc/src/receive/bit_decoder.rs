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
    /// The half that waits for its second.
    first: Option<Half>,
}

/// A half-bit that lies in one of the windows.
#[derive(Clone, Copy, Debug)]
struct Half {
    is_one: bool,
    us: u32,
}

impl BitDecoder {
    /// A decoder with the tolerance of the given limits, [`HalfBitLimits::DECODER`] for what every decoder must accept.
    pub const fn new(limits: HalfBitLimits) -> Self {
        Self { limits, first: None }
    }

    pub(super) const fn limits(&self) -> &HalfBitLimits {
        &self.limits
    }

    /// Whether no half is waiting for its second.
    pub(super) const fn is_between_bits(&self) -> bool {
        self.first.is_none()
    }

    /// Takes the length of the next half-bit, µs.
    #[inline]
    pub fn half_bit(&mut self, half_us: u32) -> Option<BitEvent> {
        // Ones and zeros come in no order that a processor could learn; so what is decided here by branches is only what
        // hardly ever happens.
        let kind = self.limits.classify(half_us);
        let Some(kind) = kind else {
            self.first = None;
            return Some(BitEvent::Violation(TimingError::HalfOutOfRange { half_us }));
        };
        let half = Half { is_one: matches!(kind, HalfBit::One), us: half_us };
        let Some(first) = self.first else {
            self.first = Some(half);
            return None;
        };
        if first.is_one != half.is_one {
            self.first = Some(half);
            return Some(if first.is_one {
                BitEvent::LoneOne { first_us: first.us, second_us: half_us }
            } else {
                BitEvent::Violation(TimingError::HalvesDisagree { first_us: first.us, second_us: half_us })
            });
        }
        self.first = None;
        let most_us = self.limits.one_difference_most;
        if half.is_one & (first.us.abs_diff(half_us) > u32::from(most_us)) {
            return Some(BitEvent::Violation(TimingError::UnequalOne {
                first_us: first.us,
                second_us: half_us,
                most_us,
            }));
        }
        Some(BitEvent::Bit(half.is_one))
    }
}

impl Default for BitDecoder {
    fn default() -> Self {
        Self::new(HalfBitLimits::DECODER)
    }
}
