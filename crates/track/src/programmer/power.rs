//! The power-on cycle: packets without a question, while the current is watched.
//!
//! Source: NMRA S-9.2.3 §B and §E (Power-On Cycle); RCN-216 (digest).

use std::fmt;

use dcc::Microseconds;
use quantities::Current;
use serde::{Deserialize, Serialize};

use crate::acknowledgement::limits::{IDLE_MOST, NOTHING, STEADY_AFTER, SWING_MOST};
use crate::acknowledgement::{Evidence, MovingAverage, Stretch, amperes, microamperes};
use crate::rails::SAMPLE_MICROSECONDS;

/// What switching on showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PowerOnReading {
    /// What it amounts to.
    pub state: PowerOnState,
    idle_microamperes: u32,
    peak_microamperes: u32,
    noise_microamperes: u32,
    swing_microamperes: u32,
}

/// What switching on amounts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PowerOnState {
    /// A decoder that draws what it may.
    Sound,
    /// A decoder that draws more than 100 mA (S-9.2.3 §E), but less than the limit of the track.
    Heavy,
    /// A current that is not steady within 30 mA after 150 ms (RCN-216, digest).
    Unsteady,
    /// No current at all.
    Nothing,
    /// More than 250 mA after 100 ms: a short or too heavy a load. The power is off again (S-9.2.3 §E).
    OverCurrent,
}

impl PowerOnReading {
    /// Judges the samples since the start of packets.
    pub(super) fn of(samples: &[f32], is_over: bool) -> Self {
        let mut average = MovingAverage::default();
        let averaged: Vec<f32> = samples.iter().map(|sample| average.next(*sample)).collect();
        let n_starting = sample_count(STEADY_AFTER).min(samples.len());
        // After an over-current nothing had the time to become steady, and the latest is what counts.
        let n_before = if is_over { samples.len().saturating_sub(LATEST_SAMPLES) } else { n_starting };
        let steady = Stretch::of(&averaged[n_before..]);
        let raw = Stretch::of(&samples[n_before..]);
        let peak = averaged.iter().copied().fold(0.0, f32::max);
        let state = if is_over {
            PowerOnState::OverCurrent
        } else if steady.swing > SWING_MOST {
            PowerOnState::Unsteady
        } else if steady.middle < NOTHING {
            PowerOnState::Nothing
        } else if steady.middle > IDLE_MOST {
            PowerOnState::Heavy
        } else {
            PowerOnState::Sound
        };
        Self {
            state,
            idle_microamperes: microamperes(steady.middle),
            peak_microamperes: microamperes(peak),
            noise_microamperes: microamperes(raw.noise),
            swing_microamperes: microamperes(steady.swing),
        }
    }

    /// The same as the evidence of an answer.
    pub(crate) fn evidence(self) -> Evidence {
        let milli = |micro: u32| micro as f32 * 1e-3;
        let [idle, noise, swing] =
            [self.idle_microamperes, self.noise_microamperes, self.swing_microamperes].map(milli);
        Evidence::measured(idle, noise, swing, 0.0, Microseconds::ZERO)
    }

    pub(super) fn idle_milliamperes(self) -> f32 {
        self.idle_microamperes as f32 * 1e-3
    }

    /// The median current once it should be steady; with an over-current, the latest.
    #[must_use]
    pub fn idle(self) -> Current {
        amperes(self.idle_microamperes)
    }

    /// The highest current, averaged over a millisecond.
    #[must_use]
    pub fn peak(self) -> Current {
        amperes(self.peak_microamperes)
    }

    /// The standard deviation of single samples once the current should be steady.
    #[must_use]
    pub fn noise(self) -> Current {
        amperes(self.noise_microamperes)
    }

    /// From the least to the greatest averaged current once it should be steady.
    #[must_use]
    pub fn swing(self) -> Current {
        amperes(self.swing_microamperes)
    }
}

/// How many samples tell the current of a short, 5 ms (own choice).
const LATEST_SAMPLES: usize = 50;

/// How many samples a span holds.
pub(super) fn sample_count(span: Microseconds) -> usize {
    usize::try_from(span.as_micros() / u64::from(SAMPLE_MICROSECONDS)).unwrap_or(usize::MAX)
}

/// In words: `45.0 mA (noise 0.8 mA, swing 2.1 mA, peak 120.3 mA)`.
impl fmt::Display for PowerOnReading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let milli = |micro: u32| f64::from(micro) * 1e-3;
        write!(
            f,
            "{:.1} mA (noise {:.1} mA, swing {:.1} mA, peak {:.1} mA)",
            milli(self.idle_microamperes),
            milli(self.noise_microamperes),
            milli(self.swing_microamperes),
            milli(self.peak_microamperes)
        )
    }
}
