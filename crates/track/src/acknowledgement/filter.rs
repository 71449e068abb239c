//! The moving average that every sample passes, and robust statistics of a stretch of samples.

use super::limits::FILTER_SAMPLES;

/// A moving average over [`FILTER_SAMPLES`] samples.
#[derive(Debug, Clone, Default)]
pub(crate) struct MovingAverage {
    recent: [f32; FILTER_SAMPLES],
    n_seen: usize,
}

impl MovingAverage {
    /// Takes a sample and tells the average of the latest ones. Until it has seen enough it averages what there is.
    pub(crate) fn next(&mut self, sample: f32) -> f32 {
        self.recent[self.n_seen % FILTER_SAMPLES] = sample;
        self.n_seen += 1;
        let n_filled = self.n_seen.min(FILTER_SAMPLES);
        let (filled, _) = self.recent.split_at(n_filled);
        filled.iter().sum::<f32>() / count(n_filled)
    }
}

/// What a stretch of samples is like.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Stretch {
    /// The median.
    pub(crate) middle: f32,
    /// The standard deviation, estimated from the median of the absolute deviations, which a few spikes do not move.
    pub(crate) noise: f32,
    /// From the least to the greatest.
    pub(crate) swing: f32,
}

/// The standard deviation of a normal distribution over the median of its absolute deviations (common statistics).
const NORMAL_DEVIATION: f32 = 1.4826;

impl Stretch {
    /// The statistics of samples; zeros where there are none.
    pub(crate) fn of(samples: &[f32]) -> Self {
        let mut sorted = samples.to_vec();
        sorted.sort_by(f32::total_cmp);
        let (Some(least), Some(greatest)) = (sorted.first(), sorted.last()) else {
            return Self::default();
        };
        let swing = greatest - least;
        let middle = median_of_sorted(&sorted);
        let mut deviations: Vec<f32> = sorted.iter().map(|sample| (sample - middle).abs()).collect();
        deviations.sort_by(f32::total_cmp);
        Self { middle, noise: NORMAL_DEVIATION * median_of_sorted(&deviations), swing }
    }
}

/// The median of samples; zero where there are none.
pub(crate) fn median(samples: &[f32]) -> f32 {
    let mut sorted = samples.to_vec();
    sorted.sort_by(f32::total_cmp);
    median_of_sorted(&sorted)
}

fn median_of_sorted(sorted: &[f32]) -> f32 {
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}

#[expect(clippy::cast_precision_loss, reason = "at most ten")]
fn count(number: usize) -> f32 {
    number as f32
}
