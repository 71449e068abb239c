//! What a sheet prints about a driver, every value optional, and the driver that follows from it without guessing.
//! Not a file format: the room of part sheets reads files and fills this.
//!
//! Source: Small 1972; digest, sections 2.1 and 10.

use quantities::{
    Area, Compliance, ForceFactor, Frequency, Inductance, Length, Mass, MechanicalResistance, Power,
    Quantity, Resistance, SoundPressureLevel, Volume, significant,
};

use super::assume::{self, Completed};
use super::check::{self, SheetCheck};
use super::quoted::QuotedLevel;
use super::solve::{System, Unknown};
use super::{Driver, DriverError, Parameters, equivalent_volume_from_resonances, level_of_one_acoustic_watt};
use crate::air::Air;
use crate::saturate::saturated;

/// A value that a sheet may print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SheetValue {
    /// Nominal impedance.
    NominalImpedance,
    /// Re.
    CoilResistance,
    /// Le.
    CoilInductance,
    /// Bl.
    ForceFactor,
    /// Mms.
    MovingMass,
    /// Cms.
    Compliance,
    /// Rms.
    MechanicalResistance,
    /// Sd.
    PistonArea,
    /// fs.
    Resonance,
    /// Qms.
    MechanicalQ,
    /// Qes.
    ElectricalQ,
    /// Qts.
    TotalQ,
    /// Vas.
    EquivalentVolume,
    /// Sensitivity.
    Sensitivity,
    /// xmax.
    PeakExcursion,
    /// Rated noise power.
    RatedPower,
    /// Outside dimensions.
    Outline,
}

impl std::fmt::Display for SheetValue {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NominalImpedance => "nominal impedance",
            Self::CoilResistance => "coil resistance Re",
            Self::CoilInductance => "coil inductance Le",
            Self::ForceFactor => "force factor Bl",
            Self::MovingMass => "moving mass Mms",
            Self::Compliance => "compliance Cms",
            Self::MechanicalResistance => "mechanical resistance Rms",
            Self::PistonArea => "piston area Sd",
            Self::Resonance => "resonance fs",
            Self::MechanicalQ => "mechanical Q Qms",
            Self::ElectricalQ => "electrical Q Qes",
            Self::TotalQ => "total Q Qts",
            Self::EquivalentVolume => "equivalent volume Vas",
            Self::Sensitivity => "sensitivity",
            Self::PeakExcursion => "peak excursion xmax",
            Self::RatedPower => "rated power",
            Self::Outline => "outline",
        })
    }
}

impl SheetValue {
    /// A value of this kind as a person reads it, from its SI value (dB for a sensitivity).
    #[must_use]
    pub fn print(self, si: f64) -> String {
        fn with_unit<Q: Quantity>(si: f64) -> String {
            saturated::<Q>(si).to_string()
        }
        match self {
            Self::NominalImpedance | Self::CoilResistance => with_unit::<Resistance>(si),
            Self::CoilInductance => with_unit::<Inductance>(si),
            Self::ForceFactor => with_unit::<ForceFactor>(si),
            Self::MovingMass => with_unit::<Mass>(si),
            Self::Compliance => with_unit::<Compliance>(si),
            Self::MechanicalResistance => with_unit::<MechanicalResistance>(si),
            Self::PistonArea => with_unit::<Area>(si),
            Self::Resonance => with_unit::<Frequency>(si),
            Self::MechanicalQ | Self::ElectricalQ | Self::TotalQ => significant(si, 4),
            Self::EquivalentVolume => with_unit::<Volume>(si),
            Self::Sensitivity => with_unit::<SoundPressureLevel>(si),
            Self::PeakExcursion | Self::Outline => with_unit::<Length>(si),
            Self::RatedPower => with_unit::<Power>(si),
        }
    }
}

/// Outside dimensions of a part in the plane of the cone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outline {
    /// Diameter of a round frame.
    Round(Length),
    /// Length and width of a rectangular or oval frame.
    Rectangular(Length, Length),
}

impl Outline {
    pub(super) fn square_metres(self) -> f64 {
        match self {
            Self::Round(diameter) => std::f64::consts::FRAC_PI_4 * diameter.as_metres().powi(2),
            Self::Rectangular(length, width) => length.as_metres() * width.as_metres(),
        }
    }
}

/// Which printed values win where a sheet prints more than enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Preference {
    /// Bl, Mms, Cms, Rms, Sd first: the construction values.
    #[default]
    Construction,
    /// fs, Qms, Qes, Vas first. Better for level where a sheet prints Mms with one digit, since the efficiency
    /// holds it squared (digest, section 10.2).
    SmallSignal,
}

/// The values that a sheet prints. What it leaves out is `None`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// Nominal impedance.
    pub nominal_impedance: Option<Resistance>,
    /// Re.
    pub coil_resistance: Option<Resistance>,
    /// Le.
    pub coil_inductance: Option<Inductance>,
    /// Bl.
    pub force_factor: Option<ForceFactor>,
    /// Mms.
    pub moving_mass: Option<Mass>,
    /// Cms.
    pub compliance: Option<Compliance>,
    /// Rms.
    pub mechanical_resistance: Option<MechanicalResistance>,
    /// Sd.
    pub piston_area: Option<Area>,
    /// fs in free air.
    pub resonance: Option<Frequency>,
    /// A resonance in a closed box of a volume, as phone-type sheets print it.
    pub boxed_resonance: Option<(Volume, Frequency)>,
    /// Qms.
    pub mechanical_q: Option<f64>,
    /// Qes.
    pub electrical_q: Option<f64>,
    /// Qts.
    pub total_q: Option<f64>,
    /// Vas.
    pub equivalent_volume: Option<Volume>,
    /// Sensitivities, the most trusted first.
    pub sensitivity: Vec<QuotedLevel>,
    /// xmax, peak (half of a peak-to-peak figure).
    pub peak_excursion: Option<Length>,
    /// Rated noise power.
    pub rated_power: Option<Power>,
    /// Outside dimensions.
    pub outline: Option<Outline>,
}

/// A sheet does not settle the driver.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// Values are missing that nothing printed leads to; [`Sheet::complete`] would assume them.
    #[error("the sheet does not settle {}", list(missing))]
    Missing {
        /// What is not settled.
        missing: Vec<SheetValue>,
    },
    /// The values lead to something that is no driver.
    #[error("the sheet describes no driver")]
    NoDriver {
        /// Why.
        #[from]
        source: DriverError,
    },
}

fn list(values: &[SheetValue]) -> String {
    values.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

impl Sheet {
    /// The driver that follows from the printed values alone.
    ///
    /// Any sufficient subset will do: Re, Bl, Mms, Cms, Rms, Sd; or Re, fs, Qms, Qes, Vas, Sd; or a mixture. Where
    /// more is printed than needed, `preference` says what wins; run [`Sheet::check`] first to see whether it matters.
    /// Nominal impedance, xmax and rating must be printed; a missing coil inductance counts as missing too.
    ///
    /// # Errors
    /// [`SheetError::Missing`] with everything that is not settled; [`SheetError::NoDriver`] for zeros.
    pub fn determine(&self, air: &Air, preference: Preference) -> Result<Driver, SheetError> {
        let system = self.solved(air, preference);
        let mut missing = Vec::new();
        for (value, unknown) in PRIMARY {
            if system.value(unknown).is_none() {
                missing.push(value);
            }
        }
        let mut wants = |value, is_printed: bool| {
            if !is_printed {
                missing.push(value);
            }
        };
        wants(SheetValue::NominalImpedance, self.nominal_impedance.is_some());
        wants(SheetValue::CoilInductance, self.coil_inductance.is_some());
        wants(SheetValue::PeakExcursion, self.peak_excursion.is_some());
        wants(SheetValue::RatedPower, self.rated_power.is_some());
        match (self.nominal_impedance, self.coil_inductance, self.peak_excursion, self.rated_power) {
            (Some(nominal), Some(inductance), Some(excursion), Some(power)) if missing.is_empty() => {
                Ok(assemble(&system, nominal, inductance, excursion, power)?)
            }
            _ => Err(SheetError::Missing { missing }),
        }
    }

    /// The driver that follows from the printed values and, where they do not suffice, from stated assumptions.
    ///
    /// # Errors
    /// [`DriverError`] where a printed value is zero.
    pub fn complete(&self, air: &Air, preference: Preference) -> Result<Completed, DriverError> {
        assume::complete(self, air, preference)
    }

    /// Compares every printed value with what the others lead to.
    #[must_use]
    pub fn check(&self, air: &Air) -> SheetCheck {
        check::check(self, air)
    }

    /// The equations of this sheet, in order of trust.
    pub(super) fn solved(&self, air: &Air, preference: Preference) -> System {
        let mut system = System::of_identities(air);
        let construction = [
            (Unknown::Bl, self.force_factor.map(Quantity::as_si)),
            (Unknown::Mms, self.moving_mass.map(Quantity::as_si)),
            (Unknown::Cms, self.compliance.map(Quantity::as_si)),
            (Unknown::Rms, self.mechanical_resistance.map(Quantity::as_si)),
        ];
        let small_signal = [
            (Unknown::Fs, self.resonance.map(Quantity::as_si)),
            (Unknown::Qms, self.mechanical_q),
            (Unknown::Qes, self.electrical_q),
            (Unknown::Vas, self.equivalent_volume.or_else(|| self.volume_from_box()).map(Quantity::as_si)),
        ];
        let always = [
            (Unknown::Re, self.coil_resistance.map(Quantity::as_si)),
            (Unknown::Sd, self.piston_area.map(Quantity::as_si)),
        ];
        let (first, second) = match preference {
            Preference::Construction => (construction, small_signal),
            Preference::SmallSignal => (small_signal, construction),
        };
        for (unknown, si) in always.into_iter().chain(first).chain(second) {
            if let Some(si) = si {
                system.know(unknown, si);
            }
        }
        self.split_total_q(&mut system);
        if let Some(efficiency) = self.quoted_efficiency(air, &system) {
            system.know(Unknown::Efficiency, efficiency);
            self.split_total_q(&mut system);
        }
        system
    }

    /// Where Qts is printed and one of the two others known, the remaining one follows; this identity is a sum and
    /// has no place among the products of the equations.
    pub(super) fn split_total_q(&self, system: &mut System) {
        let Some(total) = self.total_q else { return };
        let other = |one: f64| 1.0 / (1.0 / total - 1.0 / one);
        match (system.value(Unknown::Qms), system.value(Unknown::Qes)) {
            (Some(mechanical), None) => system.know(Unknown::Qes, other(mechanical)),
            (None, Some(electrical)) => system.know(Unknown::Qms, other(electrical)),
            (Some(_), Some(_)) | (None, None) => false,
        };
    }

    fn volume_from_box(&self) -> Option<Volume> {
        let (volume, boxed) = self.boxed_resonance?;
        equivalent_volume_from_resonances(volume, self.resonance?, boxed)
    }

    fn quoted_efficiency(&self, air: &Air, system: &System) -> Option<f64> {
        let quoted = self.sensitivity.first()?;
        let coil: Resistance = saturated(system.value(Unknown::Re)?);
        let level = quoted.at_one_watt(coil, self.nominal_impedance.unwrap_or(coil), coil);
        let against = level.as_decibels_re_20_micropascal() - level_of_one_acoustic_watt(air);
        Some(10f64.powf(against / 10.0))
    }
}

/// The primary parameters that the equations must settle.
pub(super) const PRIMARY: [(SheetValue, Unknown); 6] = [
    (SheetValue::CoilResistance, Unknown::Re),
    (SheetValue::ForceFactor, Unknown::Bl),
    (SheetValue::MovingMass, Unknown::Mms),
    (SheetValue::Compliance, Unknown::Cms),
    (SheetValue::MechanicalResistance, Unknown::Rms),
    (SheetValue::PistonArea, Unknown::Sd),
];

/// The driver of a settled system; an unsettled value becomes zero and is refused by [`Driver::new`].
pub(super) fn assemble(
    system: &System,
    nominal_impedance: Resistance,
    coil_inductance: Inductance,
    peak_excursion: Length,
    rated_power: Power,
) -> Result<Driver, DriverError> {
    let value = |unknown| system.value(unknown).unwrap_or(0.0);
    Driver::new(Parameters {
        nominal_impedance,
        coil_resistance: saturated(value(Unknown::Re)),
        coil_inductance,
        force_factor: saturated(value(Unknown::Bl)),
        moving_mass: saturated(value(Unknown::Mms)),
        compliance: saturated(value(Unknown::Cms)),
        mechanical_resistance: saturated(value(Unknown::Rms)),
        piston_area: saturated(value(Unknown::Sd)),
        peak_excursion,
        rated_power,
    })
}
