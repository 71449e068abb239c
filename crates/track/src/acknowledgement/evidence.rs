//! What was measured while a decoder was asked: whole numbers, so that a journal gives them back unchanged.

use std::fmt;

use dcc::Microseconds;
use quantities::{Current, Duration};
use serde::{Deserialize, Serialize};

/// The currents and times behind an answer. Currents are kept in whole microamperes, times in whole microseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Evidence {
    baseline_microamperes: u32,
    noise_microamperes: u32,
    swing_microamperes: u32,
    fall_microamperes: u32,
    step_microamperes: u32,
    pulse_microseconds: u32,
}

impl Evidence {
    /// From milliamperes as measured; what is below zero or no number counts as zero.
    pub(crate) fn measured(baseline: f32, noise: f32, swing: f32, step: f32, pulse: Microseconds) -> Self {
        Self {
            fall_microamperes: 0,
            baseline_microamperes: microamperes(baseline),
            noise_microamperes: microamperes(noise),
            swing_microamperes: microamperes(swing),
            step_microamperes: microamperes(step),
            pulse_microseconds: u32::try_from(pulse.as_micros()).unwrap_or(u32::MAX),
        }
    }

    /// The quiescent current: the median over the reset packets, and what it had drifted to by the answer. Of an
    /// over-current, the current itself.
    #[must_use]
    pub fn baseline(self) -> Current {
        amperes(self.baseline_microamperes)
    }

    /// The standard deviation of single samples over the reset packets.
    #[must_use]
    pub fn noise(self) -> Current {
        amperes(self.noise_microamperes)
    }

    /// From the least to the greatest averaged current over the reset packets.
    #[must_use]
    pub fn swing(self) -> Current {
        amperes(self.swing_microamperes)
    }

    /// The same with how far the current fell below the baseline.
    pub(crate) fn with_fall(self, fall: f32) -> Self {
        Self { fall_microamperes: microamperes(fall), ..self }
    }

    /// How far the averaged current fell below its median: to the baseline itself, when contact was lost.
    #[must_use]
    pub fn fall(self) -> Current {
        amperes(self.fall_microamperes)
    }

    /// How far the current rose over the baseline: the height of the pulse, or of the highest rise where none was one.
    #[must_use]
    pub fn step(self) -> Current {
        amperes(self.step_microamperes)
    }

    /// How long that rise lasted, at half its height; nothing for one below 30 mA, and a little less than half its
    /// height would tell for one below 60 mA.
    #[must_use]
    pub fn pulse(self) -> Duration {
        match Duration::from_seconds(f64::from(self.pulse_microseconds) * 1e-6) {
            Some(duration) => duration,
            None => unreachable!("2^32 µs are in the range of a duration"),
        }
    }

    pub(crate) fn step_microamperes(self) -> u32 {
        self.step_microamperes
    }

    pub(crate) fn fall_microamperes(self) -> u32 {
        self.fall_microamperes
    }
}

/// In words: `idle 45.0 mA, noise 0.8 mA, step 62.3 mA for 6.0 ms`.
impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let milli = |micro: u32| f64::from(micro) * 1e-3;
        write!(
            f,
            "idle {:.1} mA, noise {:.1} mA, step {:.1} mA for {:.1} ms",
            milli(self.baseline_microamperes),
            milli(self.noise_microamperes),
            milli(self.step_microamperes),
            milli(self.pulse_microseconds)
        )
    }
}

/// Whole microamperes of a current in milliamperes, rounded to the nearest; zero where it is negative or no number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float cast to an integer saturates, and zero is what a negative reading or no reading shall be"
)]
pub(crate) fn microamperes(milliamperes: f32) -> u32 {
    (milliamperes * 1e3).round() as u32
}

pub(crate) fn amperes(microamperes: u32) -> Current {
    match Current::from_amperes(f64::from(microamperes) * 1e-6) {
        Some(current) => current,
        None => unreachable!("2^32 µA are in the range of a current"),
    }
}
