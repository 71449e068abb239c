//! One driver in one enclosure: impedance, excursion, level, and the limits of travel and heat. The everyday case of
//! [`crate::cabinet`], and the one that has closed forms.
//!
//! Source: digest, sections 2.2 to 2.7 and 2.11; Small 1972-73.

use num_complex::Complex64;
use quantities::{Frequency, Gain, Length, Percent, Power, SoundPressureLevel, Voltage};

use crate::air::Air;
use crate::alignment::Alignment;
use crate::cabinet::{Cabinet, Drive, Motion, Mounted, Mounting};
use crate::driver::Driver;
use crate::enclosure::Enclosure;
use crate::listening::Listening;
use crate::phasor::{
    CurrentPhasor, ImpedancePhasor, PressurePhasor, VoltagePhasor, VolumeVelocityPhasor, angular,
    level_of_pressure,
};
use crate::response::{Response, ResponseError};
use crate::saturate::saturated;
use crate::sources::{Position, pressure_on_axis};

#[cfg(test)]
mod tests;

/// One driver in one enclosure, in air.
///
/// ```
/// use acoustics::{Air, ClosedBox, Enclosure, System};
/// use acoustics::driver::{Outline, Preference, Sheet};
/// use quantities::*;
/// let sheet = Sheet {
///     nominal_impedance: Some(Resistance::parse("8 ohm")?),
///     outline: Some(Outline::Rectangular(Length::parse("15 mm")?, Length::parse("11 mm")?)),
///     rated_power: Some(Power::parse("0.7 W")?),
///     ..Sheet::default()
/// };
/// let part = sheet.complete(&Air::default(), Preference::Construction)?;
/// let cube = Enclosure::Box(ClosedBox::tight(Volume::parse("1 cm3")?)?);
/// let system = System::new(part.driver, cube, Air::default());
/// assert_eq!(system.alignment().map(|a| a.resonance().to_string()).as_deref(), Some("958.4 Hz"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct System {
    cabinet: Cabinet,
    driver: Driver,
    air: Air,
}

impl System {
    /// A driver, front outward, in an enclosure.
    #[must_use]
    pub fn new(driver: Driver, enclosure: Enclosure, air: Air) -> Self {
        let mounted = Mounted { driver, position: Position::default(), mounting: Mounting::FrontOut };
        Self { cabinet: Cabinet { enclosure, drivers: vec![mounted] }, driver, air }
    }

    /// The driver.
    #[must_use]
    pub fn driver(&self) -> &Driver {
        &self.driver
    }

    /// The enclosure.
    #[must_use]
    pub fn enclosure(&self) -> &Enclosure {
        &self.cabinet.enclosure
    }

    /// The air.
    #[must_use]
    pub fn air(&self) -> &Air {
        &self.air
    }

    /// Ratio of the driver's equivalent volume to the box, `α = Vas/V`; 0 without a box.
    #[must_use]
    pub fn compliance_ratio(&self) -> f64 {
        match &self.cabinet.enclosure {
            Enclosure::Box(closed) => {
                self.driver.vas(&self.air) / closed.effective_volume().as_cubic_metres()
            }
            Enclosure::Unboxed { .. } | Enclosure::Separated => 0.0,
        }
    }

    /// Resonance and Q in the enclosure: `fc = fs·√(1+α)`; `1/Qtc = 1/Qec + 1/Qmc`, which is `Qts·√(1+α)` when the box
    /// itself has no losses. Leaks and coil inductance are left out, so none for a box with openings: it is no
    /// second-order system.
    #[must_use]
    pub fn alignment(&self) -> Option<Alignment> {
        let stretch = (1.0 + self.compliance_ratio()).sqrt();
        let box_loss = match &self.cabinet.enclosure {
            Enclosure::Box(closed) if !closed.openings().is_empty() => return None,
            Enclosure::Box(closed) => closed.loss_q().map_or(0.0, f64::recip),
            Enclosure::Unboxed { .. } | Enclosure::Separated => 0.0,
        };
        let total_q = 1.0 / (1.0 / (self.driver.total_q() * stretch) + box_loss);
        Alignment::new(self.driver.resonance() * stretch, total_q)
    }

    /// How the driver moves.
    #[must_use]
    pub fn motion(&self, frequency: Frequency, drive: Drive) -> Motion {
        match self.cabinet.motions(frequency, &[drive], &self.air).as_deref() {
            Ok([motion]) => *motion,
            _ => unreachable!("one driver and one drive give one motion"),
        }
    }

    /// Impedance at the terminals: `Re + jωLe + Bl²/Zm`.
    #[must_use]
    pub fn impedance(&self, frequency: Frequency) -> ImpedancePhasor {
        let ampere = CurrentPhasor::computed(Complex64::ONE);
        ImpedancePhasor::computed(self.motion(frequency, Drive::Current(ampere)).voltage.as_volts())
    }

    /// Volume velocity of the cone for a current, as a circuit solver gives it.
    #[must_use]
    pub fn volume_velocity(&self, frequency: Frequency, drive: Drive) -> VolumeVelocityPhasor {
        self.motion(frequency, drive).volume_velocity
    }

    /// Sound pressure on axis: `jωρ·U·e^{−jkr}/(Ω·r)` of the cone, the openings and the rear wave together.
    #[must_use]
    pub fn pressure(&self, frequency: Frequency, drive: Drive, listening: &Listening) -> PressurePhasor {
        let motion = self.motion(frequency, drive);
        let sources = self.cabinet.sources(frequency, &[motion], &self.air);
        pressure_on_axis(&sources, frequency, listening, &self.air)
    }

    /// Level on axis for an rms voltage.
    #[must_use]
    pub fn level(&self, frequency: Frequency, voltage: Voltage, listening: &Listening) -> SoundPressureLevel {
        self.pressure(frequency, Drive::Voltage(VoltagePhasor::of(voltage)), listening).level()
    }

    /// Peak excursion for an rms voltage: `√2·Bl·I/(ω·|Zm|)`.
    #[must_use]
    pub fn excursion(&self, frequency: Frequency, voltage: Voltage) -> Length {
        self.motion(frequency, Drive::Voltage(VoltagePhasor::of(voltage))).peak_excursion()
    }

    /// Peak excursion far below resonance for an rms voltage: `√2·E·Bl·Cms/(Re·(1+α))`; a direct voltage moves the
    /// cone by this over √2. For a box with a leak this is what it would be were it tight.
    #[must_use]
    pub fn low_frequency_excursion(&self, voltage: Voltage) -> Length {
        let driver = &self.driver;
        let stiffened = driver.cms() / (1.0 + self.compliance_ratio());
        let newtons = voltage.as_volts().abs() * driver.bl() / driver.re();
        saturated(std::f64::consts::SQRT_2 * newtons * stiffened)
    }

    /// Complex pressure per volt over a grid.
    ///
    /// # Errors
    /// [`ResponseError`] for a grid of fewer than two rising frequencies.
    pub fn response(&self, grid: &[Frequency], listening: &Listening) -> Result<Response, ResponseError> {
        let volt = Drive::Voltage(VoltagePhasor::computed(Complex64::ONE));
        Response::sampled(grid, |frequency| self.pressure(frequency, volt, listening).as_pascals())
    }

    /// Lowest frequency down to which the level stays within a drop of the reference level (the flat part of the ideal
    /// closed box: `η0` at this drive), sought downward from 2 kHz on the axis, coil inductance left out. None when it
    /// is already lower there, as for a small driver without box.
    #[must_use]
    pub fn low_end(&self, drop: Gain) -> Option<Frequency> {
        const START_HERTZ: f64 = 2000.0;
        const STOP_HERTZ: f64 = 20.0;
        const PER_OCTAVE: f64 = 48.0;
        let least = self.reference_pascals_per_volt() * 10f64.powf(-drop.as_decibels().abs() / 20.0);
        let ideal = self.without_inductance();
        let volt = Drive::Voltage(VoltagePhasor::computed(Complex64::ONE));
        let holds = |hertz: f64| {
            let listening = Listening::at_one_metre();
            ideal.pressure(saturated(hertz), volt, &listening).as_pascals().norm() >= least
        };
        if !holds(START_HERTZ) {
            return None;
        }
        let mut held = START_HERTZ;
        while held > STOP_HERTZ {
            let next = held * (-1.0 / PER_OCTAVE).exp2();
            if !holds(next) {
                return Some(saturated(bisect(next, held, holds)));
            }
            held = next;
        }
        Some(saturated(STOP_HERTZ))
    }

    /// Voltage that brings the cone to xmax at a frequency.
    #[must_use]
    pub fn voltage_at_peak_excursion(&self, frequency: Frequency) -> Voltage {
        let metres = self.motion(frequency, unit_drive()).peak_excursion_metres;
        saturated(self.driver.xmax() / metres)
    }

    /// Voltage that puts the rated power into the driver at a frequency: `√(P/Re(1/Z))`. A steady tone counts as
    /// continuous (digest, section 2.6).
    #[must_use]
    pub fn voltage_at_rated_power(&self, frequency: Frequency) -> Voltage {
        let conductance = self.impedance(frequency).as_ohms().inv().re;
        saturated((self.driver.parameters().rated_power.as_watts() / conductance).sqrt())
    }

    /// Power that the driver takes from an rms voltage at a frequency: `U²·Re(1/Z)`.
    #[must_use]
    pub fn power(&self, frequency: Frequency, voltage: Voltage) -> Power {
        saturated(voltage.as_volts().powi(2) * self.impedance(frequency).as_ohms().inv().re)
    }

    /// Level that xmax allows at a frequency, however much voltage that takes: the closed form
    /// `20·log10[ρ·Vd·ω²/(Ω·√2·p0·r)]`, of the cone alone.
    #[must_use]
    pub fn excursion_limited_level(&self, frequency: Frequency, listening: &Listening) -> SoundPressureLevel {
        let omega = angular(frequency);
        let volume = self.driver.sd() * self.driver.xmax() / std::f64::consts::SQRT_2;
        let solid_angle = listening.space.solid_angle();
        level_of_pressure(self.air.rho() * omega * omega * volume / (solid_angle * listening.metres()))
    }

    /// Power that displacement limits, as Small rates it: acoustic, and the electrical power that makes it. None for
    /// a box with openings.
    #[must_use]
    pub fn displacement_limited_power(&self) -> Option<(Power, Power)> {
        let acoustic =
            self.alignment()?.displacement_limited_power(self.driver.displaced_volume(), &self.air);
        Some((acoustic, saturated(acoustic.as_watts() / self.driver.efficiency(&self.air))))
    }

    /// Half-space efficiency above resonance, η0.
    #[must_use]
    pub fn reference_efficiency(&self) -> Percent {
        self.driver.reference_efficiency(&self.air)
    }

    /// Pressure per volt at 1 m in half space of the flat part: `ρ·Sd·Bl/(2π·Re·Mms)`.
    pub(crate) fn reference_pascals_per_volt(&self) -> f64 {
        let driver = &self.driver;
        self.air.rho() * driver.sd() * driver.bl() / (std::f64::consts::TAU * driver.re() * driver.mms())
    }

    fn without_inductance(&self) -> Self {
        let mut parameters = *self.driver.parameters();
        parameters.coil_inductance = saturated(0.0);
        // The other parameters were checked when the driver was made.
        let driver = Driver::new(parameters).unwrap_or(self.driver);
        Self::new(driver, self.cabinet.enclosure.clone(), self.air)
    }
}

pub(crate) fn unit_drive() -> Drive {
    Drive::Voltage(VoltagePhasor::computed(Complex64::ONE))
}

/// The edge between a frequency where something fails and a higher one where it holds.
fn bisect(mut fails: f64, mut holds: f64, is_held: impl Fn(f64) -> bool) -> f64 {
    const ROUNDS: u32 = 50;
    for _ in 0..ROUNDS {
        let middle = (fails * holds).sqrt();
        if is_held(middle) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    holds
}
