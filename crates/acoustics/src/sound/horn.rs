//! Air horns of one to several chimes: chords, the crossing signal, and their sound. Not the horn of any maker.
//!
//! Source: digest, section 4.4 (chords as musical facts; 49 CFR 222.21 for the signal's pattern); the spectrum and the
//! attack are ours.

use quantities::Duration;

use super::noise::Noise;
use super::pitch::Pitch;
use super::{REFERENCE_RMS, SampleRate, Sound};
use crate::saturate::saturated;

/// A chord that multi-chime horns sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chord {
    /// Its musical name.
    pub name: &'static str,
    /// Its notes from low to high.
    pub notes: &'static [Pitch],
}

const fn key(number: i32) -> Pitch {
    Pitch::of_number(number)
}

const C4: Pitch = key(60);
const C_SHARP_4: Pitch = key(61);
const D_SHARP_4: Pitch = key(63);
const E4: Pitch = key(64);
const F_SHARP_4: Pitch = key(66);
const G4: Pitch = key(67);
const G_SHARP_4: Pitch = key(68);
const A4: Pitch = key(69);
const A_SHARP_4: Pitch = key(70);
const B4: Pitch = key(71);
const C5: Pitch = key(72);
const C_SHARP_5: Pitch = key(73);
const D_SHARP_5: Pitch = key(75);

/// The chords of the digest, section 4.4, by number of chimes. Letters from a public page, octaves from memory.
pub const CHORDS: [Chord; 8] = [
    Chord { name: "A major, first inversion", notes: &[C_SHARP_4, E4, A4] },
    Chord { name: "D# minor", notes: &[D_SHARP_4, F_SHARP_4, A_SHARP_4] },
    Chord { name: "B major, first inversion", notes: &[D_SHARP_4, F_SHARP_4, B4] },
    Chord { name: "A major sixth", notes: &[C_SHARP_4, E4, F_SHARP_4, A4, C_SHARP_5] },
    Chord { name: "A dominant seventh", notes: &[C_SHARP_4, E4, G4, A4, C_SHARP_5] },
    Chord { name: "C# diminished seventh", notes: &[C_SHARP_4, E4, G4, A_SHARP_4, C_SHARP_5] },
    Chord { name: "B major sixth", notes: &[D_SHARP_4, F_SHARP_4, G_SHARP_4, B4, D_SHARP_5] },
    Chord { name: "C diminished stack", notes: &[C4, D_SHARP_4, F_SHARP_4, A4, C5, D_SHARP_5] },
];

/// A horn without chimes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a horn has 1 to 8 chimes, not {chimes}")]
pub struct HornError {
    /// How many were asked.
    pub chimes: usize,
}

/// An air horn.
#[derive(Debug, Clone, PartialEq)]
pub struct Horn {
    chimes: Vec<Pitch>,
}

/// One blow of the horn and the silence after it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blast {
    /// How long the valve is open.
    pub blow: Duration,
    /// How long it is shut before the next; the release rings into it.
    pub rest: Duration,
}

/// The signal for a level crossing: two long, one short, one long (49 CFR 222.21, from memory). Lengths are common
/// practice: 2.5 s, 2.5 s, 0.8 s, 4 s with 0.8 s between.
#[must_use]
pub fn crossing_signal() -> [Blast; 4] {
    [2.5, 2.5, 0.8, 4.0].map(|seconds| Blast { blow: saturated(seconds), rest: saturated(0.8) })
}

impl Horn {
    /// A horn of these pitches; detune them for the beating of real horns.
    ///
    /// # Errors
    /// [`HornError`] for none or more than eight.
    pub fn new(chimes: &[Pitch]) -> Result<Self, HornError> {
        if (1..=8).contains(&chimes.len()) {
            Ok(Self { chimes: chimes.to_vec() })
        } else {
            Err(HornError { chimes: chimes.len() })
        }
    }

    /// Its pitches.
    #[must_use]
    pub fn chimes(&self) -> &[Pitch] {
        &self.chimes
    }

    /// The sound of some blasts.
    ///
    /// # Quantities
    /// Each chime that has settled has a root-mean-square value of [`REFERENCE_RMS`]/√n, so the chord has 0.2; chimes
    /// an exact octave apart share harmonics and add or take up to 1 dB by their phases. Were a peak to pass full
    /// scale, the whole sound would be lowered until it does not. A chime is a tone of falling harmonics (1/n, none
    /// above 7 kHz) that speaks within a tenth of a second, from half a semitone flat. `seed` chooses phases and the
    /// order in which the chimes speak.
    #[must_use]
    pub fn render(&self, blasts: &[Blast], rate: SampleRate, seed: u64) -> Sound {
        let length: usize =
            blasts.iter().map(|blast| rate.samples_in(blast.blow) + rate.samples_in(blast.rest)).sum();
        let mut samples = vec![0.0; length];
        let mut noise = Noise::new(seed);
        let share = REFERENCE_RMS / (self.chimes.len() as f64).sqrt();
        for chime in &self.chimes {
            let mut voice = Chime::new(*chime, rate, &mut noise);
            let mut at = 0;
            for blast in blasts {
                let open = at + rate.samples_in(blast.blow);
                let end = open + rate.samples_in(blast.rest);
                for (index, value) in samples[at..end].iter_mut().enumerate() {
                    *value += share * voice.next(at + index < open);
                }
                at = end;
            }
        }
        let peak = samples.iter().fold(1.0, |peak: f64, value| peak.max(value.abs()));
        samples.iter_mut().for_each(|value| *value /= peak);
        Sound::from_f64(rate, &samples)
    }
}

/// One chime while it sounds.
struct Chime {
    turns_per_sample: f64,
    turns: f64,
    /// Amplitudes of the harmonics, together of root-mean-square value one.
    harmonics: Vec<f64>,
    /// Pressure of the air behind the diaphragm, 0 to 1.
    pressure: f64,
    rise: f64,
    fall: f64,
}

impl Chime {
    fn new(pitch: Pitch, rate: SampleRate, noise: &mut Noise) -> Self {
        const HIGHEST_HERTZ: f64 = 7000.0;
        let hertz = pitch.frequency().as_hertz();
        let highest = crate::saturate::count(HIGHEST_HERTZ / hertz).max(1);
        let raw: Vec<f64> = (1..=highest).map(|number| 1.0 / number as f64).collect();
        let rms = (raw.iter().map(|amplitude| amplitude * amplitude / 2.0).sum::<f64>()).sqrt();
        let per_sample = |seconds: f64| 1.0 - (-1.0 / (seconds * rate.hertz())).exp();
        Self {
            turns_per_sample: hertz / rate.hertz(),
            turns: 0.5 + 0.5 * noise.uniform(),
            harmonics: raw.iter().map(|amplitude| amplitude / rms).collect(),
            pressure: 0.0,
            // Larger chimes speak later; the seed makes the order.
            rise: per_sample(0.030 + 0.010 * noise.uniform()),
            fall: per_sample(0.050),
        }
    }

    fn next(&mut self, is_open: bool) -> f64 {
        /// How flat a chime speaks before the pressure is up, in cents (ours).
        const FLAT_CENTS: f64 = 50.0;
        let (target, share) = if is_open { (1.0, self.rise) } else { (0.0, self.fall) };
        self.pressure += (target - self.pressure) * share;
        let bend = (-(1.0 - self.pressure) * FLAT_CENTS / 1200.0).exp2();
        self.turns += self.turns_per_sample * bend;
        self.turns -= self.turns.floor();
        // sin(nφ) by Chebyshev's recurrence: one sine and cosine serve all harmonics.
        let (sine, cosine) = (std::f64::consts::TAU * self.turns).sin_cos();
        let (mut before, mut current, mut sum) = (0.0, sine, 0.0);
        for amplitude in &self.harmonics {
            sum += amplitude * current;
            (before, current) = (current, 2.0 * cosine * current - before);
        }
        self.pressure * sum
    }
}
