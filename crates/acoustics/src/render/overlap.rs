//! Convolution of long sounds block by block, and the power spectrum of a sound. Plain tools of rendering.
//!
//! Source: overlap-add, Oppenheim & Schafer, *Discrete-Time Signal Processing* (from memory); Welch 1967 for the mean
//! power spectrum, scaling as in the digest, section 3.5.

use realfft::RealFftPlanner;

use super::filter::{Filter, TAPS, spectrum_of};
use crate::saturate::sample;
use crate::sound::Sound;

/// Points per block transform; four times the filter keeps three quarters of each transform for new samples.
const BLOCK_POINTS: usize = 4 * TAPS;

/// The samples through the filter, its delay taken out, as many as went in.
pub(super) fn convolved(samples: &[f32], filter: &Filter) -> Vec<f32> {
    let mut planner = RealFftPlanner::<f32>::new();
    let forward = planner.plan_fft_forward(BLOCK_POINTS);
    let backward = planner.plan_fft_inverse(BLOCK_POINTS);
    let taps = spectrum_of(&filter.taps, BLOCK_POINTS);
    let new_per_block = BLOCK_POINTS - TAPS + 1;
    let mut output = vec![0.0f32; samples.len() + filter.delay + BLOCK_POINTS];
    let mut block = forward.make_input_vec();
    let mut spectrum = forward.make_output_vec();
    let (mut forward_scratch, mut backward_scratch) =
        (forward.make_scratch_vec(), backward.make_scratch_vec());
    let scale = sample(1.0 / BLOCK_POINTS as f64);
    for (index, chunk) in samples.chunks(new_per_block).enumerate() {
        block.fill(0.0);
        block[..chunk.len()].copy_from_slice(chunk);
        let is_done = forward.process_with_scratch(&mut block, &mut spectrum, &mut forward_scratch).is_ok();
        spectrum.iter_mut().zip(&taps).for_each(|(value, tap)| *value *= *tap);
        // Products of real transforms have real ends; rounding must not say otherwise.
        for end in [0, BLOCK_POINTS / 2] {
            spectrum[end].im = 0.0;
        }
        let is_done = is_done
            && backward.process_with_scratch(&mut spectrum, &mut block, &mut backward_scratch).is_ok();
        assert!(is_done, "buffers made by the planner fit the planner");
        let start = index * new_per_block;
        for (sum, value) in output[start..start + BLOCK_POINTS].iter_mut().zip(&block) {
            *sum += scale * value;
        }
    }
    output.drain(..filter.delay);
    output.truncate(samples.len());
    output
}

/// Mean power at each frequency in hertz, so that the sum over all is the mean square of the sound: windows of 8192
/// samples under a periodic Hann window, half overlapping, the last one filled with silence.
pub(super) fn power_by_frequency(sound: &Sound) -> Vec<(f64, f64)> {
    const POINTS: usize = 8192;
    let forward = RealFftPlanner::<f32>::new().plan_fft_forward(POINTS);
    let window: Vec<f64> = (0..POINTS)
        .map(|point| 0.5 - 0.5 * (std::f64::consts::TAU * point as f64 / POINTS as f64).cos())
        .collect();
    let mut block = forward.make_input_vec();
    let mut spectrum = forward.make_output_vec();
    let mut powers = vec![0.0f64; POINTS / 2 + 1];
    let samples = sound.samples();
    // Starting half a window early weighs the first samples like all others.
    let starts = (0..).map(|step| step * POINTS / 2).take_while(|start| *start < samples.len() + POINTS / 2);
    for start in starts {
        for (point, value) in block.iter_mut().enumerate() {
            let index = (start + point).checked_sub(POINTS / 2);
            let heard = index.and_then(|index| samples.get(index)).copied().unwrap_or(0.0);
            *value = sample(f64::from(heard) * window[point]);
        }
        let is_done = forward.process(&mut block, &mut spectrum).is_ok();
        assert!(is_done, "buffers made by the planner fit the planner");
        for (power, value) in powers.iter_mut().zip(&spectrum) {
            *power += f64::from(value.norm_sqr());
        }
    }
    // Half-overlapping Hann windows add up to a squared weight of 3/4 per sample. By Parseval the energy of a block is
    // the sum over all its points divided by their number; the inner points stand for two.
    let scale = 1.0 / (0.75 * POINTS as f64 * samples.len().max(1) as f64);
    let spacing = sound.rate().hertz() / POINTS as f64;
    powers
        .into_iter()
        .enumerate()
        .map(|(point, power)| {
            let pairs = if point == 0 || point == POINTS / 2 { 1.0 } else { 2.0 };
            (point as f64 * spacing, pairs * scale * power)
        })
        .collect()
}
