//! Noise from a seed: our own small generator, so that a sound is the same each time. Not for secrets or statistics.
//!
//! Source: S. Vigna, SplitMix64 (public domain, from memory) for the generator; pink noise by a sum of one-pole
//! filters, coefficients computed here for poles an octave and a half apart.

use quantities::Duration;

use super::{REFERENCE_RMS, SampleRate, Sound};

/// A stream of pseudo-random numbers.
#[derive(Debug, Clone)]
pub struct Noise {
    state: u64,
}

impl Noise {
    /// From a seed; every seed is good.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next value, evenly spread between -1 and 1.
    pub fn uniform(&mut self) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^= mixed >> 31;
        // The upper 53 bits fill the mantissa of an f64 evenly.
        (mixed >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }
}

/// White noise of [`REFERENCE_RMS`].
#[must_use]
pub fn white_noise(length: Duration, rate: SampleRate, seed: u64) -> Sound {
    let mut noise = Noise::new(seed);
    let samples: Vec<f64> = (0..rate.samples_in(length)).map(|_| noise.uniform()).collect();
    Sound::normalised(rate, &samples, REFERENCE_RMS)
}

/// Pink noise of [`REFERENCE_RMS`]: equal power per octave within 0.5 dB from 63 Hz to 8 kHz.
#[must_use]
pub fn pink_noise(length: Duration, rate: SampleRate, seed: u64) -> Sound {
    /// Lowest pole in Hz and the ratio from pole to pole.
    const LOWEST: f64 = 8.0;
    const RATIO: f64 = 2.828_427_124_746_190_3;
    const POLES: i32 = 10;
    let mut noise = Noise::new(seed);
    // A one-pole low-pass falls at twice the slope of pink noise; a stack of them, each weaker than the one below by
    // the square root of the ratio, falls at pink noise's slope on average.
    let mut filters: Vec<(f64, f64, f64)> = (0..POLES)
        .map(|index| {
            let hertz = LOWEST * RATIO.powi(index);
            let decay = (-std::f64::consts::TAU * hertz / rate.hertz()).exp();
            (decay, (1.0 - decay) * RATIO.powf(-0.5 * f64::from(index)), 0.0)
        })
        .collect();
    let samples: Vec<f64> = (0..rate.samples_in(length))
        .map(|_| {
            let white = noise.uniform();
            let mut sum = 0.0;
            for (decay, weight, state) in &mut filters {
                *state = *decay * *state + *weight * white;
                sum += *state;
            }
            sum
        })
        .collect();
    Sound::normalised(rate, &samples, REFERENCE_RMS)
}
