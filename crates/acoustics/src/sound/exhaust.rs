//! The exhaust note of a piston engine, sample by sample: a train of pulses, one per firing, each cylinder a little
//! different, rounded by a few resonances of pipe and body, with hiss in every pulse and a turbocharger's whine on top.
//! Not a gas-dynamic model.
//!
//! Source: own; the firing of digest, section 4.1.

use quantities::Frequency;

use super::SampleRate;
use super::engine::Engine;
use super::noise::Noise;

/// The unlevelled exhaust note, sample by sample.
pub(super) struct Note {
    rate: f64,
    revolutions: f64,
    whine_at_full: Option<f64>,
    noise: Noise,
    /// Strength of each cylinder.
    cylinders: Vec<f64>,
    /// Place in the working cycle, in firings.
    firings: f64,
    next_cylinder: usize,
    /// States of the pulses under way, see [`Note::fire`].
    fresh: f64,
    pulse: f64,
    hiss: f64,
    hiss_smooth: f64,
    resonances: [Resonance; 3],
    direct_current: f64,
    whine_turns: f64,
}

/// Time constant of an exhaust pulse `t·e^(−t/τ)`: corner near 320 Hz (ours).
const PULSE_SECONDS: f64 = 0.5e-3;
/// How long the hiss of a pulse lasts (ours).
const HISS_SECONDS: f64 = 6e-3;

impl Note {
    pub(super) fn new(engine: &Engine, rate: SampleRate, seed: u64) -> Self {
        let mut noise = Noise::new(seed);
        let cylinders = (0..engine.cylinders).map(|_| 1.0 + 0.12 * noise.uniform()).collect();
        Self {
            rate: rate.hertz(),
            revolutions: engine.cycle.revolutions(),
            whine_at_full: engine.whine.map(Frequency::as_hertz),
            noise,
            cylinders,
            firings: 0.0,
            next_cylinder: 0,
            fresh: 0.0,
            pulse: 0.0,
            hiss: 0.0,
            hiss_smooth: 0.0,
            // Pipe, body and a sharper one that small speakers can still radiate (ours).
            resonances: [(140.0, 60.0, 0.8), (420.0, 160.0, 0.6), (1150.0, 400.0, 0.5)]
                .map(|(hertz, width, weight)| Resonance::new(hertz, width, weight, rate.hertz())),
            direct_current: 0.0,
            whine_turns: 0.0,
        }
    }

    /// The next sample at a speed in rpm and a load as a share of one.
    pub(super) fn next(&mut self, rpm: f64, load: f64) -> f64 {
        let per_sample = self.cylinders.len() as f64 * rpm / (60.0 * self.revolutions * self.rate);
        self.decay();
        self.firings += per_sample;
        while self.firings >= 1.0 {
            self.firings -= 1.0;
            // How long ago, in samples, the firing was.
            self.fire(self.firings / per_sample);
        }
        let white = self.noise.uniform();
        self.hiss_smooth += 0.4 * (self.hiss * white - self.hiss_smooth);
        let dry = self.pulse / (PULSE_SECONDS * self.rate) + 0.35 * self.hiss_smooth;
        let coloured: f64 = dry + self.resonances.iter_mut().map(|one| one.next(dry)).sum::<f64>();
        // A slow average takes away what no air pressure keeps: the mean.
        self.direct_current += (coloured - self.direct_current) * (std::f64::consts::TAU * 15.0 / self.rate);
        coloured - self.direct_current + self.whine(load)
    }

    fn decay(&mut self) {
        let keep = (-1.0 / (PULSE_SECONDS * self.rate)).exp();
        self.pulse = keep * (self.pulse + self.fresh);
        self.fresh *= keep;
        self.hiss *= (-1.0 / (HISS_SECONDS * self.rate)).exp();
    }

    /// Starts a pulse that began `ago` samples back. A sum of `t·e^(−t/τ)` of any ages needs two numbers only: `fresh`,
    /// the sum of `e^(−t/τ)`, and `pulse`, the sum of `t·e^(−t/τ)` with t in samples.
    fn fire(&mut self, ago: f64) {
        let strength = self.cylinders[self.next_cylinder] * (1.0 + 0.04 * self.noise.uniform());
        self.next_cylinder = (self.next_cylinder + 1) % self.cylinders.len();
        let age = (-ago / (PULSE_SECONDS * self.rate)).exp();
        self.fresh += strength * age;
        self.pulse += strength * ago * age;
        self.hiss += strength;
    }

    fn whine(&mut self, load: f64) -> f64 {
        /// Amplitude at full load against a pulse of height 1/e, about 20 dB below the exhaust (ours).
        const AMPLITUDE: f64 = 0.05;
        let Some(at_full) = self.whine_at_full else { return 0.0 };
        self.whine_turns += at_full * load.cbrt() / self.rate;
        self.whine_turns -= self.whine_turns.floor();
        AMPLITUDE * load.sqrt() * (std::f64::consts::TAU * self.whine_turns).sin()
    }
}

/// A two-pole resonance.
struct Resonance {
    feedback: [f64; 2],
    weight: f64,
    states: [f64; 2],
}

impl Resonance {
    fn new(hertz: f64, width: f64, weight: f64, rate: f64) -> Self {
        let radius = (-std::f64::consts::PI * width / rate).exp();
        let angle = std::f64::consts::TAU * hertz / rate;
        // At resonance the filter amplifies by 1/((1 − r)·|1 − r·e^(−2jθ)|); the weight undoes that.
        let turned = (1.0 - 2.0 * radius * (2.0 * angle).cos() + radius * radius).sqrt();
        Self {
            feedback: [2.0 * radius * angle.cos(), -radius * radius],
            weight: weight * (1.0 - radius) * turned,
            states: [0.0; 2],
        }
    }

    fn next(&mut self, input: f64) -> f64 {
        let [one, two] = self.states;
        let output = self.weight * input + self.feedback[0] * one + self.feedback[1] * two;
        self.states = [output, one];
        output
    }
}

/// Brings the running root-mean-square value over half a second to one, so that loudness is the load's affair alone.
pub(super) fn levelled(raw: &[f64], rate: SampleRate) -> Vec<f64> {
    let half = crate::saturate::count(0.25 * rate.hertz());
    let mut energies = Vec::with_capacity(raw.len() + 1);
    energies.push(0.0);
    let mut sum = 0.0;
    for value in raw {
        sum += value * value;
        energies.push(sum);
    }
    raw.iter()
        .enumerate()
        .map(|(index, value)| {
            let (from, to) = (index.saturating_sub(half), (index + half + 1).min(raw.len()));
            let mean = (energies[to] - energies[from]) / (to - from) as f64;
            if mean > 0.0 { value / mean.sqrt() } else { 0.0 }
        })
        .collect()
}
