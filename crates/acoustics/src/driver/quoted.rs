//! A sensitivity as a sheet quotes it, brought to one convention: 1 W into Re, 1 m, half space.
//!
//! Sheets mix drives (2.83 V, 1 W, 2 V, 0.1 W), distances (1 m, 10 cm, 5 cm) and surroundings. Not a measurement of
//! ours: a quoted level is a fact from a sheet.
//!
//! Source: IEC 60268-5 clauses 20.3 and 20.4 as quoted in the digest, section 0, conventions 1 to 3.

use quantities::{Length, Power, Resistance, SoundPressureLevel, Voltage};

use crate::listening::Space;
use crate::saturate::saturated;

/// What drives the loudspeaker while its level is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum QuotedDrive {
    /// An rms voltage, 2.83 V for most.
    Voltage(Voltage),
    /// A power into the nominal impedance: the voltage is `√(Zn·P)` (IEC 60268-5).
    IntoNominal(Power),
    /// A power into the resistance of the coil, as small-signal work has it.
    IntoCoil(Power),
}

/// A level as quoted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuotedLevel {
    /// The figure.
    pub level: SoundPressureLevel,
    /// At which drive.
    pub drive: QuotedDrive,
    /// At which distance on axis.
    pub distance: Length,
    /// In which surroundings.
    pub space: Space,
}

impl QuotedLevel {
    /// The same loudspeaker at 1 W into a resistance, 1 m, half space. Pass the coil's resistance for the small-signal
    /// convention and the nominal impedance for the rated one.
    ///
    /// # Quantities
    /// `nominal_impedance` and `coil_resistance` as the sheet gives them; both above zero, else the level saturates.
    ///
    /// # Source
    /// Digest, section 0; check value V27: 98 dB at 2 V, 5 cm, 8 ohm is 74.99 dB at 1 W, 1 m.
    #[must_use]
    pub fn at_one_watt(
        &self,
        into: Resistance,
        nominal_impedance: Resistance,
        coil_resistance: Resistance,
    ) -> SoundPressureLevel {
        let volts_squared = match self.drive {
            QuotedDrive::Voltage(voltage) => voltage.as_volts().powi(2),
            QuotedDrive::IntoNominal(power) => power.as_watts() * nominal_impedance.as_ohms(),
            QuotedDrive::IntoCoil(power) => power.as_watts() * coil_resistance.as_ohms(),
        };
        let to_one_watt = 10.0 * (into.as_ohms() / volts_squared).log10();
        let to_one_metre = 20.0 * self.distance.as_metres().log10();
        let to_half_space = match self.space {
            Space::Half => 0.0,
            Space::Free => 20.0 * 2f64.log10(),
        };
        saturated(self.level.as_decibels_re_20_micropascal() + to_one_watt + to_one_metre + to_half_space)
    }
}
