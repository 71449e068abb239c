//! Momentum: CV3 and CV4, and their adjustment in CV23 and CV24.
//!
//! What it is: seconds per step and back. What it is not: the formula of makers who chose another, which RCN-225 allows.
//!
//! Source: NMRA S-9.2.2 CV3, CV4, CV23, CV24; RCN-225 CV3, CV4.

use crate::timing::Microseconds;

/// From standing to full speed, the time per unit of CV3: 0.896 s (S-9.2.2 CV3). It is the same for every number of steps.
const UNIT: Microseconds = Microseconds::from_millis(896);

/// Acceleration or deceleration, after its adjustment.
///
/// ```
/// use dcc::cv::{Momentum, SignedSeven};
/// let momentum = Momentum::new(20, SignedSeven::from_octet(0x8A)); // CV3 = 20, CV23 = −10
/// assert_eq!(momentum.effective(), 10);
/// assert_eq!(momentum.per_step(28).as_micros(), 320_000);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Momentum {
    rate: u8,
    adjustment: SignedSeven,
}

impl Momentum {
    /// From CV3 and CV23, or CV4 and CV24.
    pub const fn new(rate: u8, adjustment: SignedSeven) -> Self {
        Self { rate, adjustment }
    }

    /// The rate that counts: the sum, held at 0 (no delay) and 255 (S-9.2.2 CV23: underflow is no delay, overflow is
    /// the most there is).
    pub const fn effective(self) -> u8 {
        self.rate.saturating_add_signed(self.adjustment.get())
    }

    /// Time from one step to the next with `steps` steps in use: rate · 0.896 s / steps, to the nearest microsecond.
    ///
    /// For "128-step" operation `steps` is 126 here; the texts do not say whether 126 or 128 is meant. No steps take
    /// no time.
    pub const fn per_step(self, steps: u8) -> Microseconds {
        if steps == 0 {
            return Microseconds::ZERO;
        }
        let steps = steps as u64;
        Microseconds::from_micros((self.full_range().as_micros() + steps / 2) / steps)
    }

    /// Time from standing to full speed, or back.
    pub const fn full_range(self) -> Microseconds {
        Microseconds::from_micros(self.effective() as u64 * UNIT.as_micros())
    }

    /// The value of CV3 or CV4 whose full range comes nearest to the time, without adjustment; 255 for anything longer.
    pub const fn rate_for_full_range(time: Microseconds) -> u8 {
        let nearest = (time.as_micros() + UNIT.as_micros() / 2) / UNIT.as_micros();
        if nearest > 255 { 255 } else { (nearest & 0xFF) as u8 }
    }
}

/// A sign in bit 7 and a magnitude in bits 0 to 6: CV23, CV24 and CV892. −127 to 127.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct SignedSeven(i8);

impl SignedSeven {
    /// Nothing added.
    pub const ZERO: Self = Self(0);

    /// From a number; −128 is held at −127.
    pub const fn new(number: i8) -> Self {
        Self(if number == i8::MIN { -127 } else { number })
    }

    /// From the octet; a negative zero is zero.
    pub const fn from_octet(octet: u8) -> Self {
        let magnitude = (octet & 0x7F).cast_signed();
        Self(if octet & 0x80 != 0 { -magnitude } else { magnitude })
    }

    /// The octet.
    pub const fn octet(self) -> u8 {
        let sign = if self.0 < 0 { 0x80 } else { 0 };
        sign | self.0.unsigned_abs()
    }

    /// The number.
    pub const fn get(self) -> i8 {
        self.0
    }
}
