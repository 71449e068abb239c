//! Chance: a small seeded generator, so that the same seed gives the same dirt and the same noise again.
//!
//! What it is: SplitMix64 and the three shapes that the bench needs.
//! What it is not: good enough for secrets.
//!
//! Source: Steele, Lea and Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014 (constants from memory).

/// A generator of pseudo-random numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Chance {
    state: u64,
}

impl Chance {
    pub(crate) fn seeded(seed: u64) -> Self {
        Self { state: seed }
    }

    /// Another generator with a sequence of its own.
    pub(crate) fn split(&mut self) -> Self {
        Self { state: self.bits() }
    }

    /// 64 random bits.
    pub(crate) fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Above 0 and up to 1, evenly.
    pub(crate) fn share(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit a double")]
        let above_zero = ((self.bits() >> 11) + 1) as f64;
        above_zero / 9_007_199_254_740_992.0
    }

    /// A whole number from `least` up to and including `most`, evenly enough for spans far below 2^32.
    pub(crate) fn between(&mut self, least: u32, most: u32) -> u32 {
        let span = u64::from(most.saturating_sub(least)) + 1;
        let drawn = ((self.bits() >> 32) * span) >> 32;
        least.saturating_add(u32::try_from(drawn).unwrap_or(0))
    }

    /// How long until something happens that happens once in `mean`; never for a mean of infinity.
    pub(crate) fn waiting(&mut self, mean: f64) -> f64 {
        -self.share().ln() * mean
    }

    /// A bell-shaped number with mean 0 and standard deviation 1, within ±3.5: the sum of four even ones
    /// (Irwin–Hall), which is near enough to a normal distribution for noise and much cheaper.
    pub(crate) fn bell(&mut self) -> f32 {
        let bits = self.bits();
        let lanes = [bits, bits >> 16, bits >> 32, bits >> 48].map(|lane| lane & 0xFFFF);
        #[expect(clippy::cast_precision_loss, reason = "the sum is below 2^18")]
        let sum = lanes.iter().sum::<u64>() as f32 / 65_536.0;
        // Four even numbers on 0..1 sum to 2 on average with variance 4/12.
        (sum - 2.0) * 1.732_050_8
    }
}

#[cfg(test)]
mod tests {
    use super::Chance;

    #[test]
    fn the_same_seed_gives_the_same_sequence_and_another_does_not() {
        let draw = |seed| {
            let mut chance = Chance::seeded(seed);
            (0..8).map(|_| chance.bits()).collect::<Vec<_>>()
        };
        assert_eq!(draw(7), draw(7));
        assert_ne!(draw(7), draw(8));
    }

    #[test]
    fn noise_has_mean_zero_and_deviation_one() {
        let mut chance = Chance::seeded(1);
        let n_drawn = 100_000;
        let drawn: Vec<f64> = (0..n_drawn).map(|_| f64::from(chance.bell())).collect();
        let mean = drawn.iter().sum::<f64>() / f64::from(n_drawn);
        let variance = drawn.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / f64::from(n_drawn);
        // Three standard errors of the mean are 0.0095, of the variance (kurtosis 2.7) 0.0124.
        assert!(mean.abs() < 0.0095, "{mean}");
        assert!((variance - 1.0).abs() < 0.0124, "{variance}");
    }

    #[test]
    fn whole_numbers_stay_within_their_span_and_reach_its_ends() {
        let mut chance = Chance::seeded(2);
        let drawn: Vec<u32> = (0..1000).map(|_| chance.between(3, 6)).collect();
        assert_eq!((drawn.iter().min(), drawn.iter().max()), (Some(&3), Some(&6)));
    }
}
