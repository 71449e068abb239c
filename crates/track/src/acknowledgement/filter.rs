//! The moving average that every sample passes, and robust statistics of a stretch of samples.

use super::limits::FILTER_SAMPLES;

/// A moving average over [`FILTER_SAMPLES`] samples.
///
/// It keeps its sum in whole microamperes: a running sum of floating-point numbers would drift, and adding up anew for
/// every sample would be most of the work of a run.
#[derive(Debug, Clone, Default)]
pub(crate) struct MovingAverage {
    recent: [i32; FILTER_SAMPLES],
    sum: i32,
    next: usize,
    n_filled: u8,
}

impl MovingAverage {
    /// Takes a sample and tells the average of the latest ones, mA. Until it has seen enough it averages what there is.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a float cast to an integer saturates, far above any current"
    )]
    #[expect(
        clippy::cast_precision_loss,
        reason = "currents of a programming track have at most seven digits in µA"
    )]
    pub(crate) fn next(&mut self, sample: f32) -> f32 {
        let microamperes = (sample.clamp(-MOST, MOST) * 1e3) as i32;
        self.sum += microamperes - self.recent[self.next];
        self.recent[self.next] = microamperes;
        self.next = (self.next + 1) % FILTER_SAMPLES;
        self.n_filled = self.n_filled.saturating_add(1).min(FILTER_SAMPLES as u8);
        self.sum as f32 * 1e-3 / f32::from(self.n_filled)
    }
}

/// Samples are cut to this, mA: ten of them still fit in the sum.
const MOST: f32 = 200_000.0;

/// What a stretch of samples is like.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Stretch {
    /// The median.
    pub(crate) middle: f32,
    /// The standard deviation, estimated from the median of the absolute deviations, which a few spikes do not move.
    pub(crate) noise: f32,
    /// From the least to the greatest.
    pub(crate) swing: f32,
    /// From the least to the median.
    pub(crate) fall: f32,
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
        let (least, swing) = (*least, greatest - least);
        let middle = median_of_sorted(&sorted);
        let mut deviations: Vec<f32> = sorted.iter().map(|sample| (sample - middle).abs()).collect();
        deviations.sort_by(f32::total_cmp);
        Self { middle, noise: NORMAL_DEVIATION * median_of_sorted(&deviations), swing, fall: middle - least }
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
