//! A sound as it comes out of an amplifier, speaker and box whose response was computed: clipping, filtering, level.
//!
//! Clipping is that of the amplifier's output voltage, sample by sample and without oversampling, so hard clipping of
//! treble leaves some aliasing (a listening aid, not a measurement). The speaker is linear here: its own distortion
//! near xmax is not modelled.
//!
//! Source: textbook signal processing (overlap-add convolution; minimum phase by the folded cepstrum: Oppenheim &
//! Schafer, *Discrete-Time Signal Processing*, from memory).

mod filter;
mod overlap;

#[cfg(test)]
mod tests;

pub use filter::Phase;

use quantities::{Frequency, Gain, Percent, Voltage};

use crate::bands::a_weighting;
use crate::response::Response;
use crate::saturate::{sample, saturated};
use crate::sound::Sound;
use overlap::convolved;

/// The amplifier's output stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amplifier {
    full_scale: f64,
    rail: f64,
    knee: f64,
}

/// The settings do not make an amplifier or a rendering.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RenderError {
    /// Voltages must be above zero.
    #[error("the {what} must be above 0 V, not {voltage}")]
    Voltage {
        /// Which.
        what: &'static str,
        /// What was asked.
        voltage: Voltage,
    },
    /// The knee lies between nothing and the rail.
    #[error("the knee of clipping must lie between 0 and 100 % of the rail, not at {knee}")]
    Knee {
        /// What was asked.
        knee: Percent,
    },
    /// The pressure that becomes full scale must be above zero.
    #[error("full scale must stand for a sound pressure above 0 Pa, not {pascals} Pa")]
    Pascals {
        /// What was asked.
        pascals: f64,
    },
}

impl Amplifier {
    /// An amplifier by its peak voltages: what a full-scale sample asks for, and the rail where it clips. The first
    /// may be above the second: that is overdriving.
    ///
    /// `knee` is where the curve leaves the straight line, as a share of the rail; from there the output approaches the
    /// rail along a hyperbolic tangent with the same slope. 100 % clips sharply. Class-D stages clip nearly sharply; 90 %
    /// is our choice when nothing is known.
    ///
    /// # Errors
    /// [`RenderError::Voltage`], [`RenderError::Knee`].
    pub fn new(full_scale_peak: Voltage, rail: Voltage, knee: Percent) -> Result<Self, RenderError> {
        for (what, voltage) in [("full-scale voltage", full_scale_peak), ("rail", rail)] {
            if voltage.as_volts() <= 0.0 {
                return Err(RenderError::Voltage { what, voltage });
            }
        }
        let share = knee.as_percent() / 100.0;
        if !(0.0..=1.0).contains(&share) {
            return Err(RenderError::Knee { knee });
        }
        Ok(Self { full_scale: full_scale_peak.as_volts(), rail: rail.as_volts(), knee: share })
    }

    /// Output voltage for a sample.
    #[must_use]
    pub fn output(&self, sample: f32) -> Voltage {
        saturated(self.volts(f64::from(sample)))
    }

    fn volts(&self, sample: f64) -> f64 {
        let wanted = sample * self.full_scale;
        let knee = self.knee * self.rail;
        if wanted.abs() <= knee {
            return wanted;
        }
        let room = self.rail - knee;
        if room <= 0.0 {
            return wanted.clamp(-self.rail, self.rail);
        }
        (knee + room * ((wanted.abs() - knee) / room).tanh()).copysign(wanted)
    }
}

/// What the output samples mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutputLevel {
    /// Full scale stands for this peak sound pressure in pascals; the difference between two wirings stays audible.
    PeakPascals(f64),
    /// As loud as the input: the same A-weighted root-mean-square value; only the colour changes. Silence, or sound
    /// outside all hearing, is passed as it is.
    Matched,
}

/// How to render.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rendering {
    /// What drives the speaker.
    pub amplifier: Amplifier,
    /// Phase of the filter.
    pub phase: Phase,
    /// Level of the result.
    pub level: OutputLevel,
}

/// A rendered sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Rendered {
    /// The sound, as long as the input; it may pass full scale, which [`crate::sound::to_wav`] would cut.
    pub sound: Sound,
    /// Share of samples for which the amplifier left the straight part of its curve.
    pub clipped: Percent,
    /// Gain from pascals at the ear to full scale that was applied.
    pub gain: Gain,
}

/// Renders a sound through an amplifier and a response in pascals per volt.
///
/// The filter's magnitude follows the response from 20 Hz to 0.45 of the sample rate; octave and third-octave levels
/// agree with the curve within 0.5 dB from 100 Hz up (tested). A linear-phase filter's delay is taken out.
///
/// # Errors
/// [`RenderError::Pascals`].
pub fn render(sound: &Sound, response: &Response, how: &Rendering) -> Result<Rendered, RenderError> {
    if let OutputLevel::PeakPascals(pascals) = how.level
        && !(pascals > 0.0 && pascals.is_finite())
    {
        return Err(RenderError::Pascals { pascals });
    }
    let amplifier = &how.amplifier;
    let volts: Vec<f32> =
        sound.samples().iter().map(|value| sample(amplifier.volts(f64::from(*value)))).collect();
    let straight = amplifier.knee * amplifier.rail;
    let bent =
        sound.samples().iter().filter(|value| f64::from(value.abs()) * amplifier.full_scale > straight);
    let clipped = 100.0 * bent.count() as f64 / sound.samples().len().max(1) as f64;
    let filter = filter::design(response, sound.rate(), how.phase);
    let pascals = Sound::new(sound.rate(), convolved(&volts, &filter));
    let factor = match how.level {
        OutputLevel::PeakPascals(full_scale) => 1.0 / full_scale,
        OutputLevel::Matched => {
            let (before, after) = (a_weighted_rms(sound), a_weighted_rms(&pascals));
            if before > 0.0 && after > 0.0 { before / after } else { 1.0 }
        }
    };
    Ok(Rendered {
        sound: pascals.multiplied(factor),
        clipped: saturated(clipped),
        gain: Gain::of_amplitudes(factor, 1.0),
    })
}

/// A-weighted root-mean-square value of a sound, full scale 1.
#[must_use]
pub fn a_weighted_rms(sound: &Sound) -> f64 {
    let energy: f64 = power_spectrum(sound)
        .into_iter()
        .map(|(hertz, power)| {
            let weighting = a_weighting(saturated::<Frequency>(hertz)).as_amplitude_ratio();
            power * weighting * weighting
        })
        .sum();
    energy.sqrt()
}

/// Mean power of a sound at each frequency in hertz; the sum over all is its mean square. 5.9 Hz apart at 48 kHz, under
/// a Hann window of 8192 samples, the mean of half-overlapping ones (Welch).
#[must_use]
pub fn power_spectrum(sound: &Sound) -> Vec<(f64, f64)> {
    overlap::power_by_frequency(sound)
}
