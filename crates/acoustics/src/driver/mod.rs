//! A moving-coil loudspeaker as its lumped parameters, and what follows from them: resonance, Q, Vas, efficiency.
//! Not the box around it ([`crate::Enclosure`]) and not its electrical network.
//!
//! Source: R. H. Small, *Direct-Radiator Loudspeaker System Analysis*, JAES 20 (5) 383-395, 1972; digest, section 2.1.

mod assume;
mod check;
mod measured;
mod quoted;
mod sheet;
mod solve;

#[cfg(test)]
pub(crate) mod tests;

pub use assume::{Assumed, Completed};
pub use check::{Contradiction, ContradictionKind, LEVEL_GATE_DECIBELS, PARAMETER_GATE, SheetCheck};
pub use measured::{
    equivalent_volume_from_box, equivalent_volume_from_resonances, moving_mass_from_added_mass,
    resonance_in_volume,
};
pub use quoted::{QuotedDrive, QuotedLevel};
pub use sheet::{Outline, Preference, Sheet, SheetError, SheetValue};

use quantities::{
    Area, Compliance, ForceFactor, Frequency, Inductance, Length, Mass, MechanicalResistance, Percent, Power,
    Quantity, Resistance, SoundPressureLevel, Volume,
};

use crate::air::{Air, REFERENCE_PRESSURE};
use crate::saturate::saturated;

/// The primary parameters of a driver, unchecked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameters {
    /// Nominal (rated) impedance: the number printed on the part.
    pub nominal_impedance: Resistance,
    /// Direct-current resistance of the coil, Re.
    pub coil_resistance: Resistance,
    /// Inductance of the coil, Le; may be zero.
    pub coil_inductance: Inductance,
    /// Force factor Bl.
    pub force_factor: ForceFactor,
    /// Moving mass with its air load, Mms.
    pub moving_mass: Mass,
    /// Compliance of the suspension, Cms.
    pub compliance: Compliance,
    /// Mechanical resistance of the suspension, Rms.
    pub mechanical_resistance: MechanicalResistance,
    /// Area of the piston that moves the same air, Sd.
    pub piston_area: Area,
    /// Travel to one side that stays clean, peak, xmax. Phone-type sheets often print peak to peak: halve that.
    pub peak_excursion: Length,
    /// Rated noise power.
    pub rated_power: Power,
}

/// Why parameters do not describe a driver.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DriverError {
    /// A parameter that everything else divides by is zero.
    #[error("a driver cannot have zero {value}")]
    Zero {
        /// Which one.
        value: SheetValue,
    },
}

/// A driver: every parameter present and above zero (the coil inductance may be zero).
///
/// ```
/// use acoustics::driver::{Driver, Parameters};
/// use quantities::*;
/// # fn q<Q: Quantity>(text: &str) -> Q { Q::parse(text).unwrap() }
/// let driver = Driver::new(Parameters {
///     nominal_impedance: q("8 ohm"), coil_resistance: q("7.0 ohm"), coil_inductance: q("0.29 mH"),
///     force_factor: q("2.20 T·m"), moving_mass: q("0.5 g"), compliance: q("680 µm/N"),
///     mechanical_resistance: q("0.30 kg/s"), piston_area: q("3.9 cm2"), peak_excursion: q("0.7 mm"),
///     rated_power: q("2 W"),
/// })?;
/// assert_eq!(driver.resonance().to_string(), "272.9 Hz");
/// assert_eq!(format!("{:.3}", driver.total_q()), "0.865");
/// # Ok::<(), acoustics::driver::DriverError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Driver {
    parameters: Parameters,
}

impl Driver {
    /// Checks the parameters.
    ///
    /// # Errors
    /// [`DriverError::Zero`] for the first parameter that is zero and must not be.
    pub fn new(parameters: Parameters) -> Result<Self, DriverError> {
        let p = &parameters;
        let must_be_positive = [
            (SheetValue::NominalImpedance, p.nominal_impedance.as_si()),
            (SheetValue::CoilResistance, p.coil_resistance.as_si()),
            (SheetValue::ForceFactor, p.force_factor.as_si()),
            (SheetValue::MovingMass, p.moving_mass.as_si()),
            (SheetValue::Compliance, p.compliance.as_si()),
            (SheetValue::MechanicalResistance, p.mechanical_resistance.as_si()),
            (SheetValue::PistonArea, p.piston_area.as_si()),
            (SheetValue::PeakExcursion, p.peak_excursion.as_si()),
            (SheetValue::RatedPower, p.rated_power.as_si()),
        ];
        match must_be_positive.into_iter().find(|(_, si)| *si <= 0.0) {
            Some((value, _)) => Err(DriverError::Zero { value }),
            None => Ok(Self { parameters }),
        }
    }

    /// The primary parameters.
    #[must_use]
    pub fn parameters(&self) -> &Parameters {
        &self.parameters
    }

    /// Free-air resonance `fs = 1/(2π·√(Mms·Cms))`.
    #[must_use]
    pub fn resonance(&self) -> Frequency {
        saturated(self.angular_resonance() / std::f64::consts::TAU)
    }

    /// Mechanical quality factor `Qms = ωs·Mms/Rms`.
    #[must_use]
    pub fn mechanical_q(&self) -> f64 {
        self.angular_resonance() * self.mms() / self.rms()
    }

    /// Electrical quality factor `Qes = ωs·Mms·Re/Bl²`.
    #[must_use]
    pub fn electrical_q(&self) -> f64 {
        self.angular_resonance() * self.mms() * self.re() / self.bl().powi(2)
    }

    /// Total quality factor `Qts = Qms·Qes/(Qms + Qes)`.
    #[must_use]
    pub fn total_q(&self) -> f64 {
        let (mechanical, electrical) = (self.mechanical_q(), self.electrical_q());
        mechanical * electrical / (mechanical + electrical)
    }

    /// The volume of air that is as compliant as the suspension: `Vas = ρc²·Sd²·Cms`.
    #[must_use]
    pub fn equivalent_volume(&self, air: &Air) -> Volume {
        saturated(self.vas(air))
    }

    /// Half-space reference efficiency `η0 = ρ·Bl²·Sd²/(2π·c·Re·Mms²)`.
    #[must_use]
    pub fn reference_efficiency(&self, air: &Air) -> Percent {
        saturated(100.0 * self.efficiency(air))
    }

    /// Level of 1 W into Re at 1 m in half space above the resonance: `112.16 dB + 10·log10 η0`.
    #[must_use]
    pub fn level_at_one_watt(&self, air: &Air) -> SoundPressureLevel {
        saturated(level_of_one_acoustic_watt(air) + 10.0 * self.efficiency(air).log10())
    }

    /// Level at 2.83 V (that is √8 V) and 1 m in half space above the resonance. It flatters a 4-ohm driver by 3 dB,
    /// because it feeds it 2 W.
    #[must_use]
    pub fn level_at_2_83_volts(&self, air: &Air) -> SoundPressureLevel {
        let watts_into_coil = 8.0 / self.re();
        saturated(
            level_of_one_acoustic_watt(air)
                + 10.0 * self.efficiency(air).log10()
                + 10.0 * watts_into_coil.log10(),
        )
    }

    /// Efficiency-bandwidth product `fs/Qes`.
    #[must_use]
    pub fn efficiency_bandwidth_product(&self) -> Frequency {
        saturated(self.resonance().as_hertz() / self.electrical_q())
    }

    /// Peak displaced volume `Vd = Sd·xmax`.
    #[must_use]
    pub fn displaced_volume(&self) -> Volume {
        saturated(self.sd() * self.xmax())
    }

    /// Radius of the piston, `a = √(Sd/π)`.
    #[must_use]
    pub fn piston_radius(&self) -> Length {
        saturated((self.sd() / std::f64::consts::PI).sqrt())
    }

    pub(crate) fn angular_resonance(&self) -> f64 {
        1.0 / (self.mms() * self.cms()).sqrt()
    }

    pub(crate) fn efficiency(&self, air: &Air) -> f64 {
        air.rho() * self.bl().powi(2) * self.sd().powi(2)
            / (std::f64::consts::TAU * air.c() * self.re() * self.mms().powi(2))
    }

    pub(crate) fn vas(&self, air: &Air) -> f64 {
        air.bulk_modulus() * self.sd().powi(2) * self.cms()
    }

    pub(crate) fn re(&self) -> f64 {
        self.parameters.coil_resistance.as_ohms()
    }

    pub(crate) fn le(&self) -> f64 {
        self.parameters.coil_inductance.as_henries()
    }

    pub(crate) fn bl(&self) -> f64 {
        self.parameters.force_factor.as_tesla_metres()
    }

    pub(crate) fn mms(&self) -> f64 {
        self.parameters.moving_mass.as_kilograms()
    }

    pub(crate) fn cms(&self) -> f64 {
        self.parameters.compliance.as_metres_per_newton()
    }

    pub(crate) fn rms(&self) -> f64 {
        self.parameters.mechanical_resistance.as_newton_seconds_per_metre()
    }

    pub(crate) fn sd(&self) -> f64 {
        self.parameters.piston_area.as_square_metres()
    }

    pub(crate) fn xmax(&self) -> f64 {
        self.parameters.peak_excursion.as_metres()
    }
}

/// Level of 1 W of sound into a half space at 1 m: `10·log10(ρc/(2π)/p0²)`, 112.16 dB at 20 °C (digest, section 0).
pub(crate) fn level_of_one_acoustic_watt(air: &Air) -> f64 {
    10.0 * (air.rho() * air.c() / std::f64::consts::TAU / REFERENCE_PRESSURE.powi(2)).log10()
}
