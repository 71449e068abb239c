//! The detector: samples in, pulses out.
//!
//! What it is: a baseline that follows slow drifts, and a comparison with hysteresis whose hits are measured in height
//! and length. What it is not: a judge of what the pulse means; [`super::Answer`] is.
//!
//! Source: NMRA S-9.2.3 §D; the way to measure it is our own.

use dcc::Microseconds;

use super::evidence::Evidence;
use super::filter::{MovingAverage, Stretch, median};
use super::limits::{
    BASELINE_SLEW, FALL, FILTER_SAMPLES, LENGTH_TOLERANCE, PULSE_LEAST, PULSE_MOST, RISE, SWING_MOST,
};
use crate::rails::SAMPLE_MICROSECONDS;

/// How many of the latest samples make the baseline at the end of the reset packets: 5 ms, short enough not to lag a
/// drift, long enough to average (own choice).
const LATEST_SAMPLES: usize = 50;

/// A rise of the current that came and went.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Rise {
    /// The median over the time above half of the height, over the baseline, mA.
    pub(crate) height: f32,
    /// How long it was above half of its height.
    pub(crate) length: Microseconds,
}

impl Rise {
    /// Whether it is as long as an acknowledgement.
    fn has_the_length(self) -> bool {
        (PULSE_LEAST - LENGTH_TOLERANCE..=PULSE_MOST + LENGTH_TOLERANCE).contains(&self.length)
    }

    fn is_too_long(self) -> bool {
        self.length > PULSE_MOST + LENGTH_TOLERANCE
    }
}

/// Watches a current while a decoder is asked.
#[derive(Debug, Clone, Default)]
pub(crate) struct Detector {
    average: MovingAverage,
    /// Samples of the reset packets, raw and averaged.
    resting: Vec<f32>,
    resting_averaged: Vec<f32>,
    raw: Stretch,
    averaged: Stretch,
    baseline: f32,
    is_settled: bool,
    /// Averaged samples, less the baseline, since the current rose.
    rising: Vec<f32>,
    pulse: Option<Rise>,
    overlong: Option<Rise>,
    highest: Rise,
    /// How far the averaged current fell below the baseline after the reset packets, mA.
    fall: f32,
}

impl Detector {
    /// Forgets all but the state of the filter: another question begins.
    pub(crate) fn begin(&mut self) {
        *self = Self { average: std::mem::take(&mut self.average), ..Self::default() };
    }

    /// Takes samples of the reset packets: the current of a decoder that does nothing.
    pub(crate) fn rest(&mut self, samples: &[f32]) {
        for sample in samples {
            let averaged = self.average.next(*sample);
            self.resting.push(*sample);
            self.resting_averaged.push(averaged);
        }
        self.is_settled = false;
    }

    fn settle(&mut self) {
        if self.is_settled {
            return;
        }
        // The filter still holds samples of what was before, an acknowledgement for instance.
        let settled = self.resting_averaged.get(FILTER_SAMPLES..).unwrap_or_default();
        self.raw = Stretch::of(&self.resting);
        self.averaged = Stretch::of(settled);
        self.baseline = median(&settled[settled.len().saturating_sub(LATEST_SAMPLES)..]);
        self.is_settled = true;
    }

    /// Takes samples of a time in which no acknowledgement may come; a rise that is left over from before is forgotten.
    pub(crate) fn pass(&mut self, samples: &[f32]) {
        self.watch(samples);
        self.pulse = None;
        self.rising.clear();
    }

    /// Takes samples of the time in which an acknowledgement may come.
    pub(crate) fn watch(&mut self, samples: &[f32]) {
        self.settle();
        for sample in samples {
            let averaged = self.average.next(*sample);
            let above = averaged - self.baseline;
            if above >= FALL {
                self.rising.push(above);
                continue;
            }
            self.close_rise();
            self.fall = self.fall.max(-above);
            if above > self.highest.height {
                self.highest = Rise { height: above, length: Microseconds::ZERO };
            }
            self.baseline += above.clamp(-BASELINE_SLEW, BASELINE_SLEW);
        }
    }

    /// Whether the current is up just now: a pulse may be under way.
    pub(crate) fn is_up(&self) -> bool {
        !self.rising.is_empty()
    }

    /// The acknowledgement, when one was seen.
    pub(crate) fn pulse(&self) -> Option<Rise> {
        self.pulse
    }

    /// Whether the current rose for longer than an acknowledgement may last, or still is up after such a time.
    pub(crate) fn rose_for_too_long(&self) -> bool {
        self.overlong.is_some() || self.measured(&self.rising).is_too_long()
    }

    /// Whether the current swung too far over the reset packets for a step to be told from it.
    pub(crate) fn is_unsteady(&self) -> bool {
        self.averaged.swing > SWING_MOST
    }

    /// The quiescent current, mA.
    pub(crate) fn baseline(&self) -> f32 {
        self.baseline
    }

    /// By how many standard deviations of the averaged current the decision was clear: the pulse above the threshold,
    /// or the threshold above the highest rise.
    pub(crate) fn margin(&self) -> f32 {
        let distance = match self.pulse {
            Some(pulse) => pulse.height - RISE,
            None => RISE - self.highest.height,
        };
        distance.max(0.0) / self.averaged.noise.max(LEAST_NOISE)
    }

    /// What was measured.
    pub(crate) fn evidence(&self) -> Evidence {
        let rise = self.pulse.or(self.overlong).unwrap_or(self.highest);
        Evidence::measured(self.baseline, self.raw.noise, self.averaged.swing, rise.height, rise.length)
            .with_fall(self.fall.max(self.averaged.fall))
    }

    fn close_rise(&mut self) {
        if self.rising.is_empty() {
            return;
        }
        let rise = self.measured(&self.rising);
        let has_risen = self.rising.iter().any(|above| *above >= RISE);
        self.rising.clear();
        if rise.height > self.highest.height {
            self.highest = rise;
        }
        if has_risen && rise.has_the_length() {
            self.pulse = self.pulse.or(Some(rise));
        } else if has_risen && rise.is_too_long() {
            self.overlong = Some(rise);
        }
    }

    /// Height and length of a rise. The length is taken at half of the height, where a moving average moves both edges
    /// by the same time.
    fn measured(&self, rising: &[f32]) -> Rise {
        let top = rising.iter().copied().fold(0.0, f32::max);
        let high: Vec<f32> = rising.iter().copied().filter(|above| *above >= top / 2.0).collect();
        let height = median(&high);
        let first = rising.iter().position(|above| *above >= height / 2.0);
        let last = rising.iter().rposition(|above| *above >= height / 2.0);
        let n_samples = first.zip(last).map_or(0, |(first, last)| last - first + 1);
        let length = sample_time() * u32::try_from(n_samples).unwrap_or(u32::MAX);
        Rise { height, length }
    }
}

fn sample_time() -> Microseconds {
    Microseconds::from_micros(u64::from(SAMPLE_MICROSECONDS))
}

/// The least noise that a margin is reckoned with, mA: finer than that no sampling of currents is (own choice).
const LEAST_NOISE: f32 = 0.5;
