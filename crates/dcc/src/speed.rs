//! Speed steps: 14, 28 or 126 of them, stop and emergency stop, and the direction of travel.
//!
//! What it is: the meaning of a speed, free of any octet. What it is not: the octets
//! ([`crate::BaselineSpeed`], [`crate::Command::Speed126`]) or the motor level a step stands for
//! ([`crate::cv::SpeedTable`]).
//!
//! Source: NMRA S-9.2 §B Fig. 2; S-9.2.1 §C.

use core::fmt;

/// Direction of travel as commanded, before CV29 bit 0 or a consist turns it round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Direction {
    /// Forward: the direction bit is 1 (S-9.2 §B).
    Forward,
    /// Reverse: the direction bit is 0.
    Reverse,
}

impl Direction {
    /// The other one.
    #[must_use]
    pub const fn reversed(self) -> Self {
        match self {
            Self::Forward => Self::Reverse,
            Self::Reverse => Self::Forward,
        }
    }

    /// From the direction bit of a packet: 1 is forward.
    pub const fn from_bit(is_forward: bool) -> Self {
        if is_forward { Self::Forward } else { Self::Reverse }
    }

    /// Whether it is forward, which is the direction bit of a packet.
    pub const fn is_forward(self) -> bool {
        matches!(self, Self::Forward)
    }
}

impl fmt::Display for Direction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Forward => "forward",
            Self::Reverse => "reverse",
        })
    }
}

/// A speed step, 1 to `STEPS`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Step<const STEPS: u8>(u8);

impl<const STEPS: u8> Step<STEPS> {
    /// The lowest step.
    pub const FIRST: Self = Self(1);
    /// The highest step.
    pub const LAST: Self = Self(STEPS);

    /// # Errors
    /// [`SpeedError`] outside 1..=`STEPS`.
    pub const fn new(number: u8) -> Result<Self, SpeedError> {
        if number >= 1 && number <= STEPS {
            Ok(Self(number))
        } else {
            Err(SpeedError { number, steps: STEPS })
        }
    }

    /// The number, 1 to `STEPS`.
    pub const fn get(self) -> u8 {
        self.0
    }
}

/// A commanded speed in a system of `STEPS` steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Speed<const STEPS: u8> {
    /// Bring the locomotive to a stop, with the configured deceleration.
    Stop,
    /// Stop feeding the motor at once.
    EmergencyStop,
    /// Run at this step.
    Step(Step<STEPS>),
}

/// A speed in 14 steps.
pub type Speed14 = Speed<14>;
/// A speed in 28 steps.
pub type Speed28 = Speed<28>;
/// A speed in the 126 steps of what the trade calls "128-step" operation: two of the 128 codes are the stops.
pub type Speed126 = Speed<126>;

impl<const STEPS: u8> Speed<STEPS> {
    /// A running speed.
    ///
    /// # Errors
    /// [`SpeedError`] outside 1..=`STEPS`.
    pub const fn step(number: u8) -> Result<Self, SpeedError> {
        match Step::new(number) {
            Ok(step) => Ok(Self::Step(step)),
            Err(error) => Err(error),
        }
    }

    /// The same speed in another number of steps; stops map to themselves.
    ///
    /// Upward rounds to the nearest step, half downward; downward rounds up. So a running locomotive never becomes a
    /// standing one, and 28 steps survive the way to 126 and back. Source: our choice; no standard fixes a conversion.
    pub const fn convert<const OTHER: u8>(self) -> Speed<OTHER> {
        match self {
            Self::Stop => Speed::Stop,
            Self::EmergencyStop => Speed::EmergencyStop,
            Self::Step(step) => {
                let (number, from, to) = (step.0 as u16, STEPS as u16, OTHER as u16);
                let converted = if to >= from {
                    (2 * number * to + from - 1) / (2 * from)
                } else {
                    (number * to).div_ceil(from)
                };
                // The result lies between 1 and OTHER, because 1 ≤ number ≤ STEPS.
                let [_, low] = converted.to_be_bytes();
                Speed::Step(Step(low))
            }
        }
    }
}

impl<const STEPS: u8> fmt::Display for Speed<STEPS> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stop => f.write_str("stop"),
            Self::EmergencyStop => f.write_str("emergency stop"),
            Self::Step(step) => write!(f, "step {} of {STEPS}", step.0),
        }
    }
}

/// Why a number is not a speed step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpeedError {
    /// The number given.
    pub number: u8,
    /// How many steps there are.
    pub steps: u8,
}

impl fmt::Display for SpeedError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "speed step {} is outside 1 to {}", self.number, self.steps)
    }
}

impl core::error::Error for SpeedError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn conversion_keeps_the_ends_the_order_and_the_way_back() {
        assert_eq!(Speed28::step(28).map(Speed::convert), Speed126::step(126));
        assert_eq!(Speed126::step(1).map(Speed::convert), Speed28::step(1));
        assert_eq!(Speed28::step(14).map(Speed::convert), Speed126::step(63));
        assert_eq!(Speed28::EmergencyStop.convert(), Speed126::EmergencyStop);
        let mut last = 0;
        for number in 1..=28 {
            let up: Speed126 = Speed28::step(number).expect("in range").convert();
            let Speed::Step(step) = up else { panic!("a step stays a step") };
            assert!(step.get() > last, "monotone");
            last = step.get();
            assert_eq!(up.convert::<28>(), Speed28::step(number).expect("in range"), "there and back");
        }
    }

    #[test]
    fn a_step_that_does_not_exist_is_refused() {
        use std::string::ToString;
        assert_eq!(Speed14::step(15).expect_err("15").to_string(), "speed step 15 is outside 1 to 14");
        assert!(Speed28::step(0).is_err());
    }
}
