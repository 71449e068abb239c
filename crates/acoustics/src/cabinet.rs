//! Drivers on one enclosure: how each moves when all share the air behind them. Force, mass, spring and damping of
//! each; the box as the spring between them. Not the sum of their sound, which is [`crate::sources`].
//!
//! Source: digest, sections 2.2, 2.5, 2.7 and 2.10; Newton's and Kirchhoff's laws for the lumped circuit.

use num_complex::Complex64;
use quantities::Frequency;

use crate::air::Air;
use crate::driver::Driver;
use crate::enclosure::Enclosure;
use crate::phasor::{CurrentPhasor, ImpedancePhasor, VoltagePhasor, VolumeVelocityPhasor, angular};
use crate::sources::{Position, Source};

#[cfg(test)]
mod tests;

/// Which side of a driver faces the listener.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mounting {
    /// The front of the cone outward: a positive voltage pushes air out.
    #[default]
    FrontOut,
    /// The magnet outward: a positive voltage pulls air in.
    MagnetOut,
}

impl Mounting {
    fn sign(self) -> f64 {
        match self {
            Self::FrontOut => 1.0,
            Self::MagnetOut => -1.0,
        }
    }
}

/// A driver in its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mounted {
    /// The driver.
    pub driver: Driver,
    /// Where its cone is.
    pub position: Position,
    /// Which side faces the listener.
    pub mounting: Mounting,
}

/// What the electrical side does to one driver, into its terminal marked `+`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drive {
    /// A known voltage across it; zero volts is a short-circuited driver.
    Voltage(VoltagePhasor),
    /// A known current through it; zero amperes is a driver that nothing is joined to, which still moves as a drone.
    Current(CurrentPhasor),
}

/// Drives and drivers do not pair up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{drivers} drivers need as many drives, but {drives} were given")]
pub struct DriveCountError {
    /// How many drivers there are.
    pub drivers: usize,
    /// How many drives were given.
    pub drives: usize,
}

/// One or more drivers on one enclosure.
#[derive(Debug, Clone, PartialEq)]
pub struct Cabinet {
    /// What is behind the cones, shared by all of them.
    pub enclosure: Enclosure,
    /// The drivers.
    pub drivers: Vec<Mounted>,
}

/// How one driver of a cabinet moves and what it draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// Volume velocity of its cone, outward positive.
    pub volume_velocity: VolumeVelocityPhasor,
    /// Peak excursion in metres.
    pub(crate) peak_excursion_metres: f64,
    /// Current through it.
    pub current: CurrentPhasor,
    /// Voltage across it.
    pub voltage: VoltagePhasor,
}

impl Motion {
    /// Peak excursion to one side.
    #[must_use]
    pub fn peak_excursion(&self) -> quantities::Length {
        crate::saturate::saturated(self.peak_excursion_metres)
    }

    /// Impedance as seen at its terminals in this state, box and neighbours included; none without current.
    #[must_use]
    pub fn impedance(&self) -> Option<ImpedancePhasor> {
        ImpedancePhasor::from_ohms(self.voltage.as_volts() / self.current.as_amperes())
    }
}

impl Cabinet {
    /// How every driver moves when each is driven as given, in the order of the drivers.
    ///
    /// # Errors
    /// [`DriveCountError`] unless there is one drive per driver.
    pub fn motions(
        &self,
        frequency: Frequency,
        drives: &[Drive],
        air: &Air,
    ) -> Result<Vec<Motion>, DriveCountError> {
        if drives.len() != self.drivers.len() {
            return Err(DriveCountError { drivers: self.drivers.len(), drives: drives.len() });
        }
        let omega = angular(frequency);
        let units: Vec<Unit> = self
            .drivers
            .iter()
            .zip(drives)
            .map(|(mounted, drive)| Unit::new(mounted, *drive, omega, self.box_loss(&mounted.driver, air)))
            .collect();
        // Pressure of the box on all cones: p = −Q/Y with Q the sum of the outward volume velocities. Each cone then
        // obeys Z·v = F + S·p, and the sum over all gives Q in closed form.
        let box_impedance = self.box_impedance(omega, air);
        let forced: Complex64 = units.iter().map(|unit| unit.force * unit.area / unit.impedance).sum();
        let loading: Complex64 = units.iter().map(|unit| unit.area * unit.area / unit.impedance).sum();
        let total = forced / (1.0 + loading * box_impedance);
        let pressure = -total * box_impedance;
        Ok(units
            .iter()
            .zip(&self.drivers)
            .map(|(unit, mounted)| unit.motion(pressure, &mounted.driver, omega))
            .collect())
    }

    /// Everything that radiates: cones, the openings of a box, the rear waves of drivers without one.
    ///
    /// The flow through a box's openings is placed at its first driver, since nobody states where a leak is.
    #[must_use]
    pub fn sources(&self, frequency: Frequency, motions: &[Motion], air: &Air) -> Vec<Source> {
        let mut sources: Vec<Source> = self
            .drivers
            .iter()
            .zip(motions)
            .map(|(mounted, motion)| Source {
                position: mounted.position,
                volume_velocity: motion.volume_velocity,
            })
            .collect();
        match &self.enclosure {
            Enclosure::Separated => {}
            Enclosure::Unboxed { path } => {
                let rear: Vec<Source> = sources
                    .iter()
                    .map(|front| Source {
                        position: front.position.toward_listener(-path.as_metres()),
                        volume_velocity: VolumeVelocityPhasor::computed(
                            -front.volume_velocity.as_cubic_metres_per_second(),
                        ),
                    })
                    .collect();
                sources.extend(rear);
            }
            Enclosure::Box(closed) if closed.openings().is_empty() => {}
            Enclosure::Box(closed) => {
                let omega = angular(frequency);
                let opening = closed.opening_admittance(omega, air);
                let share = opening / (opening + Complex64::new(0.0, omega * closed.compliance(air)));
                let total: Complex64 =
                    sources.iter().map(|source| source.volume_velocity.as_cubic_metres_per_second()).sum();
                if let Some(first) = sources.first() {
                    sources.push(Source {
                        position: first.position,
                        volume_velocity: VolumeVelocityPhasor::computed(-total * share),
                    });
                }
            }
        }
        sources
    }

    /// Acoustic impedance of the air behind the cones in Pa·s/m³; zero where nothing pushes back.
    fn box_impedance(&self, omega: f64, air: &Air) -> Complex64 {
        match &self.enclosure {
            Enclosure::Box(closed) => {
                let compliance = Complex64::new(0.0, omega * closed.compliance(air));
                (compliance + closed.opening_admittance(omega, air)).inv()
            }
            Enclosure::Unboxed { .. } | Enclosure::Separated => Complex64::ZERO,
        }
    }

    /// The box's losses as a mechanical resistance at one driver: `ωc·Mms/Q` with ωc of that driver alone in the box.
    fn box_loss(&self, driver: &Driver, air: &Air) -> f64 {
        let Enclosure::Box(closed) = &self.enclosure else { return 0.0 };
        let Some(q) = closed.loss_q() else { return 0.0 };
        let ratio = driver.vas(air) / closed.effective_volume().as_cubic_metres();
        driver.angular_resonance() * (1.0 + ratio).sqrt() * driver.mms() / q
    }
}

/// One driver as a force on an impedance.
struct Unit {
    force: Complex64,
    /// Mechanical impedance in N·s/m, the electrical side included where a voltage source brakes the cone.
    impedance: Complex64,
    area: f64,
    /// +1 when a positive current moves the cone outward.
    sign: f64,
    drive: Drive,
}

impl Unit {
    fn new(mounted: &Mounted, drive: Drive, omega: f64, box_loss: f64) -> Self {
        let driver = &mounted.driver;
        let sign = mounted.mounting.sign();
        let own = mechanical_impedance(driver, omega) + box_loss;
        let (force, impedance) = match drive {
            Drive::Current(current) => (driver.bl() * current.as_amperes(), own),
            Drive::Voltage(voltage) => {
                let blocked = blocked_impedance(driver, omega);
                let braking = driver.bl().powi(2) / blocked;
                (driver.bl() * voltage.as_volts() / blocked, own + braking)
            }
        };
        Self { force: sign * force, impedance, area: driver.sd(), sign, drive }
    }

    fn motion(&self, pressure: Complex64, driver: &Driver, omega: f64) -> Motion {
        let velocity = (self.force + self.area * pressure) / self.impedance;
        // The voltage that the moving coil makes, in the sense of the terminals.
        let motional = self.sign * driver.bl() * velocity;
        let blocked = blocked_impedance(driver, omega);
        let (voltage, current) = match self.drive {
            Drive::Voltage(voltage) => {
                (voltage, CurrentPhasor::computed((voltage.as_volts() - motional) / blocked))
            }
            Drive::Current(current) => {
                (VoltagePhasor::computed(current.as_amperes() * blocked + motional), current)
            }
        };
        Motion {
            volume_velocity: VolumeVelocityPhasor::computed(self.area * velocity),
            peak_excursion_metres: std::f64::consts::SQRT_2 * velocity.norm() / omega,
            current,
            voltage,
        }
    }
}

/// `jωMms + Rms + 1/(jωCms)`.
pub(crate) fn mechanical_impedance(driver: &Driver, omega: f64) -> Complex64 {
    Complex64::new(driver.rms(), omega * driver.mms() - 1.0 / (omega * driver.cms()))
}

/// `Re + jωLe`: the coil held still.
pub(crate) fn blocked_impedance(driver: &Driver, omega: f64) -> Complex64 {
    Complex64::new(driver.re(), omega * driver.le())
}
