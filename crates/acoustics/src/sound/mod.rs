//! Sound as samples, and the voices that are synthesised: engine, generator set, horn, bell, noise. Invented sounds of
//! plain physics, for hearing what a speaker does to them; not recordings and not any maker's sound.
//!
//! Amplitudes: full scale is 1.0. Each voice states its own; [`REFERENCE_RMS`] is their common measure. The same
//! arguments give the same samples on one machine; another machine's sine may differ in the last bit.
//!
//! Source: digest, section 4.

mod bell;
mod engine;
mod exhaust;
mod horn;
mod noise;
mod pitch;
mod wav;

#[cfg(test)]
mod tests;

pub use bell::Bell;
pub use engine::{
    Cycle, Engine, EngineError, Notch, RunNotch, Stage, chuffs_per_second, cycle_frequency, firing_frequency,
    power_share, synchronous_speed,
};
pub use horn::{Blast, CHORDS, Chord, Horn, HornError, crossing_signal};
pub use noise::{Noise, pink_noise, white_noise};
pub use pitch::{Pitch, PitchError};
pub use wav::to_wav;

use quantities::{Duration, Gain};

use crate::saturate::{count, sample, saturated};

/// Root-mean-square value of the reference voices: an engine at full load, a horn chord, noise. A sine of this value
/// peaks at 0.28, which leaves 11 dB for the crests of richer sounds.
pub const REFERENCE_RMS: f64 = 0.2;

/// How many samples make a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SampleRate {
    /// 44 100 per second.
    Hz44100,
    /// 48 000 per second.
    Hz48000,
}

impl SampleRate {
    /// Samples per second.
    #[must_use]
    pub fn per_second(self) -> u32 {
        match self {
            Self::Hz44100 => 44_100,
            Self::Hz48000 => 48_000,
        }
    }

    pub(crate) fn hertz(self) -> f64 {
        f64::from(self.per_second())
    }

    /// Samples in a length of time, rounded to the nearest; at most an hour's, beyond which nobody renders.
    pub(crate) fn samples_in(self, length: Duration) -> usize {
        const MOST_SECONDS: f64 = 3600.0;
        count((length.as_seconds().min(MOST_SECONDS) * self.hertz()).round())
    }
}

/// One channel of sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    rate: SampleRate,
    samples: Vec<f32>,
}

impl Sound {
    /// From samples; what is not a finite number becomes silence.
    #[must_use]
    pub fn new(rate: SampleRate, mut samples: Vec<f32>) -> Self {
        samples.iter_mut().filter(|sample| !sample.is_finite()).for_each(|sample| *sample = 0.0);
        Self { rate, samples }
    }

    /// Samples per second.
    #[must_use]
    pub fn rate(&self) -> SampleRate {
        self.rate
    }

    /// The samples; ±1 is full scale, but they may go beyond until they are written out.
    #[must_use]
    pub fn samples(&self) -> &[f32] {
        &self.samples
    }

    /// How long it lasts.
    #[must_use]
    pub fn duration(&self) -> Duration {
        saturated(self.samples.len() as f64 / self.rate.hertz())
    }

    /// Root-mean-square value; 0 for no samples.
    #[must_use]
    pub fn rms(&self) -> f64 {
        let energy: f64 = self.samples.iter().map(|sample| f64::from(*sample).powi(2)).sum();
        (energy / self.samples.len().max(1) as f64).sqrt()
    }

    /// Greatest absolute sample.
    #[must_use]
    pub fn peak(&self) -> f64 {
        self.samples.iter().fold(0.0, |peak, sample| f64::max(peak, f64::from(sample.abs())))
    }

    /// Louder or softer.
    #[must_use]
    pub fn scaled(&self, gain: Gain) -> Self {
        self.multiplied(gain.as_amplitude_ratio())
    }

    pub(crate) fn multiplied(&self, factor: f64) -> Self {
        let samples = self.samples.iter().map(|value| sample(f64::from(*value) * factor)).collect();
        Self::new(self.rate, samples)
    }

    /// Several sounds at once, each with its gain, as long as the longest. None when there are none or their rates
    /// differ.
    #[must_use]
    pub fn mixed(parts: &[(&Self, Gain)]) -> Option<Self> {
        let rate = parts.first()?.0.rate;
        if parts.iter().any(|(sound, _)| sound.rate != rate) {
            return None;
        }
        let longest = parts.iter().map(|(sound, _)| sound.samples.len()).max()?;
        let mut sums = vec![0.0f64; longest];
        for (sound, gain) in parts {
            let factor = gain.as_amplitude_ratio();
            for (sum, value) in sums.iter_mut().zip(&sound.samples) {
                *sum += factor * f64::from(*value);
            }
        }
        Some(Self::from_f64(rate, &sums))
    }

    pub(crate) fn from_f64(rate: SampleRate, samples: &[f64]) -> Self {
        Self::new(rate, samples.iter().map(|value| sample(*value)).collect())
    }

    /// Scaled so that the root-mean-square value becomes this one, unless the peak would pass full scale: then so that
    /// the peak is full scale. Silence stays silence.
    pub(crate) fn normalised(rate: SampleRate, samples: &[f64], rms: f64) -> Self {
        let energy: f64 = samples.iter().map(|value| value * value).sum();
        let own_rms = (energy / samples.len().max(1) as f64).sqrt();
        let peak = samples.iter().fold(0.0, |peak: f64, value| peak.max(value.abs()));
        if own_rms <= 0.0 {
            return Self::from_f64(rate, samples);
        }
        let factor = (rms / own_rms).min(1.0 / peak);
        let scaled: Vec<f64> = samples.iter().map(|value| value * factor).collect();
        Self::from_f64(rate, &scaled)
    }
}
