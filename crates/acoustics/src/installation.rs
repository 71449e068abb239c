//! All speakers of a model together: several cabinets, each driver with its drive, heard at one place and as total
//! power. Answers "what is gained or lost against one speaker alone". The drives come from the electrical room.
//!
//! Source: digest, sections 2.9 to 2.11; superposition.

use quantities::{Frequency, Gain, Power, SoundPressureLevel};

use crate::air::Air;
use crate::cabinet::{Cabinet, Drive, DriveCountError, Motion};
use crate::listening::Listening;
use crate::phasor::PressurePhasor;
use crate::sources::{Source, pressure_on_axis, radiated_power};

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
}
