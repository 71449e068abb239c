//! A bell rung at a steady rate: a handful of ringing partials that a clapper sets off again and again. Not the bell of
//! any maker.
//!
//! Source: digest, section 4.5 (rates; "make the rate a datum of the sound, not a rule"); ratios of the partials of a
//! tuned bell (hum, prime, tierce, quint, nominal and above) from memory of campanology; decay and strength are ours.

use num_complex::Complex64;
use quantities::{Duration, Frequency};

use super::noise::Noise;
use super::{SampleRate, Sound};

/// Ratio to the prime, strength, and how long it rings against the prime.
const PARTIALS: [(f64, f64, f64); 8] = [
    (0.5, 0.35, 1.6),
    (1.0, 0.8, 1.0),
    (1.2, 0.7, 0.9),
    (1.5, 0.4, 0.6),
    (2.0, 1.0, 0.7),
    (2.5, 0.4, 0.4),
    (3.0, 0.5, 0.3),
    (4.0, 0.4, 0.2),
];

/// A bell and how it is rung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bell {
    prime: f64,
    strokes_per_minute: f64,
    ring_seconds: f64,
}

impl Bell {
    /// Greatest sample of a rendered bell.
    pub const PEAK: f64 = 0.8;

    /// A bell by the frequency of its prime, the strokes per minute (90 to 180 in practice, from memory) and the time
    /// in which the prime falls to 1/e. None unless all three are above zero and the rate at most 1200 a minute.
    #[must_use]
    pub fn new(prime: Frequency, strokes_per_minute: f64, ring: Duration) -> Option<Self> {
        let is_usable = prime.as_hertz() > 0.0
            && strokes_per_minute > 0.0
            && strokes_per_minute <= 1200.0
            && ring.as_seconds() > 0.0;
        is_usable.then(|| Self {
            prime: prime.as_hertz(),
            strokes_per_minute,
            ring_seconds: ring.as_seconds(),
        })
    }

    /// The frequencies of its partials, the hum first.
    #[must_use]
    pub fn partials(&self) -> Vec<Frequency> {
        PARTIALS.iter().map(|(ratio, _, _)| crate::saturate::saturated(self.prime * ratio)).collect()
    }

    /// The bell rung for a length of time, the first stroke at once.
    ///
    /// # Quantities
    /// The greatest sample is [`Bell::PEAK`]. Partials above 0.45 of the sample rate are left out. `seed` chooses how
    /// far each partial is split in two, which makes the bell waver.
    #[must_use]
    pub fn render(&self, length: Duration, rate: SampleRate, seed: u64) -> Sound {
        let mut noise = Noise::new(seed);
        let mut ringing: Vec<Partial> = PARTIALS
            .iter()
            .filter(|(ratio, _, _)| ratio * self.prime < 0.45 * rate.hertz())
            .flat_map(|(ratio, strength, ring)| {
                let split = 0.001 * (1.0 + 0.5 * noise.uniform());
                [1.0 - split, 1.0 + split].map(|shift| {
                    let hertz = ratio * self.prime * shift;
                    Partial::new(hertz, 0.5 * strength, ring * self.ring_seconds, rate)
                })
            })
            .collect();
        let samples_per_stroke = 60.0 * rate.hertz() / self.strokes_per_minute;
        let mut until_stroke = 0.0;
        let mut samples = vec![0.0; rate.samples_in(length)];
        for value in &mut samples {
            if until_stroke <= 0.0 {
                until_stroke += samples_per_stroke;
                ringing.iter_mut().for_each(Partial::strike);
            }
            until_stroke -= 1.0;
            *value = ringing.iter_mut().map(Partial::next).sum();
        }
        let peak = samples.iter().fold(0.0, |peak: f64, value| peak.max(value.abs()));
        if peak > 0.0 {
            samples.iter_mut().for_each(|value| *value *= Self::PEAK / peak);
        }
        Sound::from_f64(rate, &samples)
    }
}

/// One decaying sinusoid as a turning and shrinking pointer.
struct Partial {
    pointer: Complex64,
    turn: Complex64,
    strength: f64,
}

impl Partial {
    fn new(hertz: f64, strength: f64, ring_seconds: f64, rate: SampleRate) -> Self {
        let shrink = (-1.0 / (ring_seconds * rate.hertz())).exp();
        let turn = Complex64::from_polar(shrink, std::f64::consts::TAU * hertz / rate.hertz());
        Self { pointer: Complex64::ZERO, turn, strength }
    }

    fn strike(&mut self) {
        self.pointer += self.strength;
    }

    /// The imaginary part, which starts from zero at a stroke: no click.
    fn next(&mut self) -> f64 {
        let value = self.pointer.im;
        self.pointer *= self.turn;
        value
    }
}
