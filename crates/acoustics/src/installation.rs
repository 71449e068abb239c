//! All speakers of a model together: several cabinets, each driver with its drive, heard at one place and as total
//! power. Answers "what is gained or lost against one speaker alone". The drives come from the electrical room.
//!
//! Source: digest, sections 2.9 to 2.11; superposition.

use quantities::{Frequency, Gain, Power, SoundPressureLevel};

use crate::air::Air;
use crate::bands::{Band, a_weighted_sum};
use crate::cabinet::{Cabinet, Drive, DriveCountError, Motion};
use crate::listening::Listening;
use crate::phasor::{PressurePhasor, level_of_pressure};
use crate::response::{Response, ResponseError};
use crate::sources::{Source, pressure_on_axis, radiated_power};

#[cfg(test)]
mod tests;

/// Several cabinets in one air.
#[derive(Debug, Clone, PartialEq)]
pub struct Installation {
    /// The cabinets; drivers count through them in order.
    pub cabinets: Vec<Cabinet>,
    /// The air.
    pub air: Air,
}

/// What is heard of an installation at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heard {
    /// Pressure on the axis through the middle of all that radiates.
    pub pressure: PressurePhasor,
    /// Total radiated power: what a room hears.
    pub power: Power,
}

impl Heard {
    /// Level on the axis.
    #[must_use]
    pub fn level(&self) -> SoundPressureLevel {
        self.pressure.level()
    }

    /// Gain of pressure on the axis against another state, for instance one speaker alone.
    #[must_use]
    pub fn pressure_gain_over(&self, other: &Self) -> Gain {
        Gain::of_amplitudes(self.pressure.as_pascals().norm(), other.pressure.as_pascals().norm())
    }

    /// Gain of total power against another state. Two cones in opposition lose here what a single place in the room
    /// may not show.
    #[must_use]
    pub fn power_gain_over(&self, other: &Self) -> Gain {
        Gain::of_powers(self.power.as_watts(), other.power.as_watts())
    }
}

/// What is heard of an installation in one band of pink noise, the energy mean over the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandHeard {
    /// The band.
    pub band: Band,
    /// Level on the axis.
    pub on_axis: SoundPressureLevel,
    /// Level at the same distance averaged over all directions: what people hear who do not sit on the axis. A pair in
    /// opposition still has this where the axis has nothing.
    pub around: SoundPressureLevel,
}

/// The A-weighted sum of what is heard around, over all bands.
#[must_use]
pub fn a_weighted_around(bands: &[BandHeard]) -> SoundPressureLevel {
    let levels: Vec<(Band, SoundPressureLevel)> =
        bands.iter().map(|heard| (heard.band, heard.around)).collect();
    a_weighted_sum(&levels)
}

/// Why an installation has no response.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum InstallationError {
    /// Drives and drivers do not pair up.
    #[error(transparent)]
    Drives(#[from] DriveCountError),
    /// The grid is not usable.
    #[error(transparent)]
    Grid(#[from] ResponseError),
}

impl Installation {
    /// How many drivers there are, and so how many drives are wanted.
    #[must_use]
    pub fn drivers(&self) -> usize {
        self.cabinets.iter().map(|cabinet| cabinet.drivers.len()).sum()
    }

    /// How every driver moves, cabinet by cabinet.
    ///
    /// # Errors
    /// [`DriveCountError`] unless there is one drive per driver.
    pub fn motions(
        &self,
        frequency: Frequency,
        drives: &[Drive],
    ) -> Result<Vec<Vec<Motion>>, DriveCountError> {
        if drives.len() != self.drivers() {
            return Err(DriveCountError { drivers: self.drivers(), drives: drives.len() });
        }
        let mut rest = drives;
        self.cabinets
            .iter()
            .map(|cabinet| {
                let (own, others) = rest.split_at(cabinet.drivers.len());
                rest = others;
                cabinet.motions(frequency, own, &self.air)
            })
            .collect()
    }

    /// Everything that radiates.
    ///
    /// # Errors
    /// [`DriveCountError`] unless there is one drive per driver.
    pub fn sources(&self, frequency: Frequency, drives: &[Drive]) -> Result<Vec<Source>, DriveCountError> {
        let motions = self.motions(frequency, drives)?;
        let by_cabinet = self.cabinets.iter().zip(&motions);
        Ok(by_cabinet.flat_map(|(cabinet, moving)| cabinet.sources(frequency, moving, &self.air)).collect())
    }

    /// What is heard.
    ///
    /// # Errors
    /// [`DriveCountError`] unless there is one drive per driver.
    pub fn heard(
        &self,
        frequency: Frequency,
        drives: &[Drive],
        listening: &Listening,
    ) -> Result<Heard, DriveCountError> {
        let sources = self.sources(frequency, drives)?;
        Ok(Heard {
            pressure: pressure_on_axis(&sources, frequency, listening, &self.air),
            power: radiated_power(&sources, frequency, listening.space, &self.air),
        })
    }

    /// Complex pressure on the axis over a grid. With the drives that 1 V of the amplifier makes at each frequency this
    /// is the response in pascals per volt that [`crate::render::render`] takes.
    ///
    /// # Errors
    /// [`InstallationError`]: a grid of fewer than two rising frequencies, or drives that do not pair up with drivers.
    pub fn response(
        &self,
        grid: &[Frequency],
        drives_of_one_volt: impl Fn(Frequency) -> Vec<Drive>,
        listening: &Listening,
    ) -> Result<Response, InstallationError> {
        let mut points = Vec::with_capacity(grid.len());
        for frequency in grid {
            let heard = self.heard(*frequency, &drives_of_one_volt(*frequency), listening)?;
            points.push((*frequency, heard.pressure.as_pascals()));
        }
        Ok(Response::new(&points)?)
    }

    /// What is heard band by band with the drives given at each frequency: mean squares over sixteen frequencies even
    /// in logarithm. The difference of two such lists is what a wiring gains or loses, as people hear it.
    ///
    /// # Errors
    /// [`DriveCountError`] unless there is one drive per driver at every frequency.
    pub fn heard_in_bands(
        &self,
        bands: &[Band],
        drives: impl Fn(Frequency) -> Vec<Drive>,
        listening: &Listening,
    ) -> Result<Vec<BandHeard>, DriveCountError> {
        const POINTS: u32 = 16;
        // Intensity all round is power over area, and mean square pressure is intensity times ρc.
        let area = listening.space.solid_angle() * listening.metres().powi(2);
        let per_watt = self.air.rho() * self.air.c() / area;
        let mut table = Vec::with_capacity(bands.len());
        for band in bands {
            let (mut on_axis, mut around) = (0.0, 0.0);
            for point in 0..POINTS {
                let frequency = band.at((f64::from(point) + 0.5) / f64::from(POINTS));
                let heard = self.heard(frequency, &drives(frequency), listening)?;
                on_axis += heard.pressure.as_pascals().norm_sqr() / f64::from(POINTS);
                around += per_watt * heard.power.as_watts() / f64::from(POINTS);
            }
            table.push(BandHeard {
                band: *band,
                on_axis: level_of_pressure(on_axis.sqrt()),
                around: level_of_pressure(around.sqrt()),
            });
        }
        Ok(table)
    }
}
