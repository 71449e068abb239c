//! The layout: several locomotives on one pair of rails.
//!
//! What it is: the same half bits for all of them, each with dirt of its own, and their currents added.
//! What it is not: a train on the move; couplers pull at nothing here.

use track::{Rails, SAMPLE_MICROSECONDS};

use crate::locomotive::Locomotive;
use crate::supply::SUPPLY_LIMIT_MILLIAMPERES;

/// Several locomotives on one pair of rails.
#[derive(Debug, Clone, Default)]
pub struct Layout {
    locomotives: Vec<Locomotive>,
    /// Samples of one locomotive, kept so that driving allocates nothing.
    own: Vec<f32>,
    /// Microseconds of driving since the last sample, the same for all of them.
    phase: u64,
}

impl Layout {
    /// Puts locomotives on the rails; put them on before the power is on.
    #[must_use]
    pub fn new(locomotives: Vec<Locomotive>) -> Self {
        let mut layout = Self { locomotives, own: Vec::new(), phase: 0 };
        // Samples are added one by one, so that all must fall on the same moments.
        layout.locomotives.iter_mut().for_each(Locomotive::align_samples);
        layout
    }

    /// The locomotives in the order in which they were put on.
    #[must_use]
    pub fn locomotives(&self) -> &[Locomotive] {
        &self.locomotives
    }

    /// The same, to take their memory-changed marks.
    pub fn locomotives_mut(&mut self) -> &mut [Locomotive] {
        &mut self.locomotives
    }

    /// Takes them off.
    #[must_use]
    pub fn into_locomotives(self) -> Vec<Locomotive> {
        self.locomotives
    }
}

impl Rails for Layout {
    fn set_power(&mut self, is_on: bool) {
        self.locomotives.iter_mut().for_each(|locomotive| locomotive.set_power(is_on));
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        let start = milliamperes.len();
        let interval = u64::from(SAMPLE_MICROSECONDS);
        self.phase += half_bits.iter().map(|half_bit| u64::from(*half_bit)).sum::<u64>();
        // Empty rails are sampled as well, and draw nothing.
        let n_samples = usize::try_from(self.phase / interval).unwrap_or(usize::MAX);
        self.phase %= interval;
        milliamperes.resize(start + n_samples, 0.0);
        for locomotive in &mut self.locomotives {
            self.own.clear();
            locomotive.drive(half_bits, &mut self.own);
            for (sum, own) in milliamperes[start..].iter_mut().zip(&self.own) {
                *sum += own;
            }
        }
        for sum in &mut milliamperes[start..] {
            *sum = sum.min(SUPPLY_LIMIT_MILLIAMPERES);
        }
    }

    fn wait(&mut self, microseconds: u64) {
        self.locomotives.iter_mut().for_each(|locomotive| locomotive.wait(microseconds));
    }
}
