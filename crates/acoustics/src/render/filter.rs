//! A finite filter from a response: magnitude as computed, phase linear or minimal. Not a fit: the inverse transform
//! of the wanted spectrum, shortened by a window.
//!
//! Source: Oppenheim & Schafer, *Discrete-Time Signal Processing* (from memory): frequency sampling; minimum phase by
//! folding the real cepstrum.

use num_complex::Complex32;
use realfft::RealFftPlanner;

use crate::response::Response;
use crate::saturate::{sample, saturated};
use crate::sound::SampleRate;

/// Points of the design transform: 2.9 Hz apart at 48 kHz, fine enough for a slope of 12 dB per octave at 100 Hz.
pub(super) const DESIGN_POINTS: usize = 16_384;
/// Length of the filter, half of the design's, so that the cepstrum's aliasing stays in the half that is cut off.
pub(super) const TAPS: usize = DESIGN_POINTS / 2;

/// Phase of the rendering filter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Phase {
    /// Nothing comes before its cause, as with the real speaker.
    #[default]
    Minimum,
    /// No phase at all once the delay is taken out: the wave keeps its shape but for the missing bass.
    Linear,
}

/// A filter: taps, and how many samples late its middle is.
pub(super) struct Filter {
    pub(super) taps: Vec<f32>,
    pub(super) delay: usize,
}

pub(super) fn design(response: &Response, rate: SampleRate, phase: Phase) -> Filter {
    let magnitudes = magnitudes(response, rate);
    match phase {
        Phase::Minimum => minimum(&magnitudes),
        Phase::Linear => linear(&magnitudes),
    }
}

/// Wanted magnitudes at the design points from 0 Hz to half the sample rate.
fn magnitudes(response: &Response, rate: SampleRate) -> Vec<f64> {
    /// Below this the level is held: no small speaker sounds there and the logarithm must stay finite.
    const LEAST_HERTZ: f64 = 20.0;
    /// Floor against the greatest magnitude, 120 dB down.
    const FLOOR: f64 = 1e-6;
    let raw: Vec<f64> = (0..=DESIGN_POINTS / 2)
        .map(|point| {
            let hertz = (point as f64 * rate.hertz() / DESIGN_POINTS as f64).max(LEAST_HERTZ);
            response.pascals_per_volt(saturated(hertz))
        })
        .collect();
    let greatest = raw.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    raw.into_iter().map(|value| value.max(FLOOR * greatest)).collect()
}

/// Real, even spectrum; its transform is symmetric about zero, so it is turned round to the middle and windowed.
fn linear(magnitudes: &[f64]) -> Filter {
    let spectrum: Vec<f64> = magnitudes.to_vec();
    let impulse = inverse(&spectrum);
    let middle = TAPS / 2;
    let taps = (0..TAPS)
        .map(|tap| {
            let from_middle = (tap + DESIGN_POINTS - middle) % DESIGN_POINTS;
            let window = 0.5 - 0.5 * (std::f64::consts::TAU * tap as f64 / TAPS as f64).cos();
            sample(impulse[from_middle] * window)
        })
        .collect();
    Filter { taps, delay: middle }
}

/// The real cepstrum, folded onto positive times, is the complex cepstrum of the minimum-phase filter.
fn minimum(magnitudes: &[f64]) -> Filter {
    let logarithms: Vec<f64> = magnitudes.iter().map(|value| value.ln()).collect();
    let mut cepstrum = inverse(&logarithms);
    for (time, value) in cepstrum.iter_mut().enumerate() {
        *value *= match time {
            0 => 1.0,
            time if time == DESIGN_POINTS / 2 => 1.0,
            time if time < DESIGN_POINTS / 2 => 2.0,
            _ => 0.0,
        };
    }
    let mut planner = RealFftPlanner::<f64>::new();
    let forward = planner.plan_fft_forward(DESIGN_POINTS);
    let backward = planner.plan_fft_inverse(DESIGN_POINTS);
    let mut spectrum = forward.make_output_vec();
    let mut impulse = backward.make_output_vec();
    let is_done = forward.process(&mut cepstrum, &mut spectrum).is_ok();
    spectrum.iter_mut().for_each(|value| *value = value.exp());
    make_ends_real(&mut spectrum);
    let is_done = is_done && backward.process(&mut spectrum, &mut impulse).is_ok();
    assert!(is_done, "buffers made by the planner fit the planner");
    let taps = (0..TAPS).map(|tap| sample(impulse[tap] / DESIGN_POINTS as f64 * tail_window(tap))).collect();
    Filter { taps, delay: 0 }
}

/// One over the first three quarters, then half a cosine down to zero.
fn tail_window(tap: usize) -> f64 {
    let start = TAPS * 3 / 4;
    if tap < start {
        return 1.0;
    }
    let place = (tap - start) as f64 / (TAPS - start) as f64;
    0.5 + 0.5 * (std::f64::consts::PI * place).cos()
}

/// Inverse transform of a real, even spectrum.
fn inverse(half_spectrum: &[f64]) -> Vec<f64> {
    let backward = RealFftPlanner::<f64>::new().plan_fft_inverse(DESIGN_POINTS);
    let mut spectrum: Vec<num_complex::Complex64> =
        half_spectrum.iter().map(|value| (*value).into()).collect();
    let mut times = backward.make_output_vec();
    let is_done = backward.process(&mut spectrum, &mut times).is_ok();
    assert!(is_done, "half a spectrum of real values fits the planner");
    times.iter_mut().for_each(|value| *value /= DESIGN_POINTS as f64);
    times
}

/// The values at 0 Hz and at half the rate of a real signal are real; rounding must not say otherwise.
fn make_ends_real(spectrum: &mut [num_complex::Complex64]) {
    for end in [0, spectrum.len() - 1] {
        spectrum[end].im = 0.0;
    }
}

/// Transform of the taps, padded, for the convolution.
pub(super) fn spectrum_of(taps: &[f32], points: usize) -> Vec<Complex32> {
    let forward = RealFftPlanner::<f32>::new().plan_fft_forward(points);
    let mut padded = forward.make_input_vec();
    padded[..taps.len()].copy_from_slice(taps);
    let mut spectrum = forward.make_output_vec();
    let is_done = forward.process(&mut padded, &mut spectrum).is_ok();
    assert!(is_done, "buffers made by the planner fit the planner");
    spectrum
}
