//! A response over frequency, sampled: complex pressure per volt on an ascending grid, with what curves, bands and
//! rendering ask of it. Not a filter yet: [`crate::render`] makes one of it.
//!
//! Source: own; band means by plain summation over the logarithm of frequency.

use num_complex::Complex64;
use quantities::{Frequency, SoundPressureLevel, Voltage};

use crate::bands::{Band, NoiseColour};
use crate::phasor::level_of_pressure;
use crate::saturate::{count, saturated};

#[cfg(test)]
mod tests;

/// Frequencies even in logarithm from `least` to `most`, both included, with a number per octave (at least one).
/// Empty unless `0 < least < most`.
#[must_use]
pub fn logarithmic_grid(least: Frequency, most: Frequency, per_octave: u32) -> Vec<Frequency> {
    let (least, most) = (least.as_hertz(), most.as_hertz());
    if least <= 0.0 || most <= least {
        return Vec::new();
    }
    let octaves = (most / least).log2();
    let steps = count((octaves * f64::from(per_octave.max(1))).ceil()).max(1);
    (0..=steps).map(|step| saturated(least * (octaves * step as f64 / steps as f64).exp2())).collect()
}

/// A grid is not usable.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ResponseError {
    /// Nothing to interpolate between.
    #[error("a response needs at least two points, not {points}")]
    TooFewPoints {
        /// How many there were.
        points: usize,
    },
    /// Frequencies that do not rise.
    #[error("the frequencies of a response must rise, but point {point} does not")]
    NotRising {
        /// Which one, counted from zero.
        point: usize,
    },
    /// Infinite or not a number.
    #[error("point {point} of the response is not a finite number")]
    NotFinite {
        /// Which one, counted from zero.
        point: usize,
    },
}

/// Complex pressure in pascals per volt of the amplifier over frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    points: Vec<(f64, Complex64)>,
}

impl Response {
    /// From points of rising frequency above zero.
    ///
    /// # Errors
    /// See [`ResponseError`].
    pub fn new(points: &[(Frequency, Complex64)]) -> Result<Self, ResponseError> {
        if points.len() < 2 {
            return Err(ResponseError::TooFewPoints { points: points.len() });
        }
        let mut last = 0.0;
        for (point, (frequency, value)) in points.iter().enumerate() {
            if frequency.as_hertz() <= last {
                return Err(ResponseError::NotRising { point });
            }
            if !value.is_finite() {
                return Err(ResponseError::NotFinite { point });
            }
            last = frequency.as_hertz();
        }
        Ok(Self { points: points.iter().map(|(frequency, value)| (frequency.as_hertz(), *value)).collect() })
    }

    /// By evaluating a model on a grid.
    ///
    /// # Errors
    /// See [`ResponseError`].
    pub fn sampled(
        grid: &[Frequency],
        pascals_per_volt: impl Fn(Frequency) -> Complex64,
    ) -> Result<Self, ResponseError> {
        let points: Vec<_> =
            grid.iter().map(|frequency| (*frequency, pascals_per_volt(*frequency))).collect();
        Self::new(&points)
    }

    /// The points.
    pub fn points(&self) -> impl Iterator<Item = (Frequency, Complex64)> + '_ {
        self.points.iter().map(|(hertz, value)| (saturated(*hertz), *value))
    }

    /// Modulus in Pa/V between the points: straight in the logarithms of both; outside the grid the slope of its ends
    /// goes on.
    #[must_use]
    pub fn pascals_per_volt(&self, frequency: Frequency) -> f64 {
        /// Keeps the logarithm of a silent point finite, far below any sound.
        const LEAST_MODULUS: f64 = 1e-30;
        let hertz = frequency.as_hertz().max(1e-3);
        let after = self.points.partition_point(|(point, _)| *point < hertz).clamp(1, self.points.len() - 1);
        let ((low, at_low), (high, at_high)) = (self.points[after - 1], self.points[after]);
        let logarithm = |value: Complex64| value.norm().max(LEAST_MODULUS).ln();
        let slope = (logarithm(at_high) - logarithm(at_low)) / (high / low).ln();
        (logarithm(at_low) + slope * (hertz / low).ln()).exp()
    }

    /// Level at a frequency for an rms voltage.
    #[must_use]
    pub fn level(&self, frequency: Frequency, voltage: Voltage) -> SoundPressureLevel {
        level_of_pressure(self.pascals_per_volt(frequency) * voltage.as_volts().abs())
    }

    /// Root of the mean square modulus over a band in Pa/V, for a noise of a colour: what a sound level meter with this
    /// band's filter shows against the voltage in the band.
    #[must_use]
    pub fn band_pascals_per_volt(&self, band: Band, colour: NoiseColour) -> f64 {
        const POINTS: u32 = 64;
        let (mut energy, mut weights) = (0.0, 0.0);
        for point in 0..POINTS {
            let frequency = band.at((f64::from(point) + 0.5) / f64::from(POINTS));
            // Even in logarithm is pink; white noise has more in the upper part of the band.
            let weight = match colour {
                NoiseColour::Pink => 1.0,
                NoiseColour::White => frequency.as_hertz(),
            };
            energy += weight * self.pascals_per_volt(frequency).powi(2);
            weights += weight;
        }
        (energy / weights).sqrt()
    }

    /// Level in each band when every band is fed the same rms voltage of pink noise.
    #[must_use]
    pub fn band_levels(&self, bands: &[Band], voltage_per_band: Voltage) -> Vec<(Band, SoundPressureLevel)> {
        bands
            .iter()
            .map(|band| {
                let pressure = self.band_pascals_per_volt(*band, NoiseColour::Pink);
                (*band, level_of_pressure(pressure * voltage_per_band.as_volts().abs()))
            })
            .collect()
    }
}
