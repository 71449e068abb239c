//! What is behind the cone: a closed box with its leaks, vents and fill, free air, or an endless wall. Not the driver.
//!
//! Source: digest, sections 2.4, 2.7 and 2.11; Small 1972-73; end corrections of Levine & Schwinger 1948.

use num_complex::Complex64;
use quantities::{Frequency, Length, Volume};

use crate::air::{Air, VISCOSITY};
use crate::saturate::saturated;

#[cfg(test)]
mod tests;

/// What is behind the cone.
#[derive(Debug, Clone, PartialEq)]
pub enum Enclosure {
    /// A box: tight, leaking or vented; the shell of a model counts as one.
    Box(ClosedBox),
    /// Nothing: the rear wave comes round to the front. The length is the detour from rear to front, about the
    /// basket's diameter plus its depth for a bare driver.
    Unboxed {
        /// The detour.
        path: Length,
    },
    /// The rear wave goes to another room and nothing pushes back: the infinite baffle of the small-signal papers.
    Separated,
}

/// A box is not usable.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum EnclosureError {
    /// No air inside.
    #[error("a box needs a volume above zero")]
    NoVolume,
    /// Fill makes the air between 1 and 1.4 times as compliant.
    #[error("fill can raise the effective volume 1 to 1.4 times, not {factor} times")]
    Fill {
        /// What was asked.
        factor: f64,
    },
    /// A quality factor of zero or less would mean that the box gives power.
    #[error("the Q of the box's losses must be above zero, not {q}")]
    LossQ {
        /// What was asked.
        q: f64,
    },
}

/// A box of rigid walls, with what is wrong or right about it.
#[derive(Debug, Clone, PartialEq)]
pub struct ClosedBox {
    volume: Volume,
    fill: f64,
    loss_q: Option<f64>,
    openings: Vec<Opening>,
}

impl ClosedBox {
    /// A tight, empty box. The volume is the air left inside, without the driver's magnet.
    ///
    /// # Errors
    /// [`EnclosureError::NoVolume`].
    pub fn tight(volume: Volume) -> Result<Self, EnclosureError> {
        if volume.as_cubic_metres() > 0.0 {
            Ok(Self { volume, fill: 1.0, loss_q: None, openings: Vec::new() })
        } else {
            Err(EnclosureError::NoVolume)
        }
    }

    /// Fill that makes the air `factor` times as compliant: 1.1 to 1.25 in practice, at most the 1.4 of isothermal
    /// air. It must not touch the cone.
    ///
    /// # Errors
    /// [`EnclosureError::Fill`] outside 1 to 1.4.
    pub fn filled(self, factor: f64) -> Result<Self, EnclosureError> {
        if (1.0..=1.4).contains(&factor) {
            Ok(Self { fill: factor, ..self })
        } else {
            Err(EnclosureError::Fill { factor })
        }
    }

    /// Losses of the box and its fill as a Q at the system's resonance: 7 to 10 unfilled, 2 to 5 filled, found in
    /// boxes much larger than ours (digest, section 2.7). They act beside the driver's own losses:
    /// `1/Qmc = 1/(Qms·√(1+α)) + 1/Q`.
    ///
    /// # Errors
    /// [`EnclosureError::LossQ`] unless finite and above zero.
    pub fn lossy(self, q: f64) -> Result<Self, EnclosureError> {
        if q > 0.0 && q.is_finite() {
            Ok(Self { loss_q: Some(q), ..self })
        } else {
            Err(EnclosureError::LossQ { q })
        }
    }

    /// One more opening to the outside: a leak, or a vent on purpose.
    #[must_use]
    pub fn opened(mut self, opening: Opening) -> Self {
        self.openings.push(opening);
        self
    }

    /// The same box with another volume, for instance half of it.
    ///
    /// # Errors
    /// [`EnclosureError::NoVolume`].
    pub fn resized(self, volume: Volume) -> Result<Self, EnclosureError> {
        Self::tight(volume).map(|tight| Self { volume: tight.volume, ..self })
    }

    /// The air inside.
    #[must_use]
    pub fn volume(&self) -> Volume {
        self.volume
    }

    /// The volume that an empty box of the same compliance would have.
    #[must_use]
    pub fn effective_volume(&self) -> Volume {
        self.volume * self.fill
    }

    /// The openings.
    #[must_use]
    pub fn openings(&self) -> &[Opening] {
        &self.openings
    }

    pub(crate) fn loss_q(&self) -> Option<f64> {
        self.loss_q
    }

    /// Acoustic compliance `C_AB = V/(ρc²)` in m³/Pa.
    pub(crate) fn compliance(&self, air: &Air) -> f64 {
        self.effective_volume().as_cubic_metres() / air.bulk_modulus()
    }

    /// Acoustic admittance of all openings together, m³/(s·Pa).
    pub(crate) fn opening_admittance(&self, angular: f64, air: &Air) -> Complex64 {
        self.openings.iter().map(|opening| opening.impedance(angular, air).inv()).sum()
    }
}

/// A hole from the box to the outside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Opening {
    /// A round hole.
    Round {
        /// Its diameter.
        diameter: Length,
        /// Its length: the thickness of the wall.
        length: Length,
    },
    /// A long gap, as between shell and frame.
    Slit {
        /// The narrow dimension.
        width: Length,
        /// The long dimension in the plane of the wall.
        span: Length,
        /// The thickness of the wall.
        length: Length,
    },
}

/// End correction of a flanged and of an unflanged end, in radii (Levine & Schwinger 1948, as in digest, section 2.7).
const END_CORRECTION: f64 = 0.8216 + 0.6133;

impl Opening {
    /// Acoustic resistance of laminar flow in Pa·s/m³: `8μl/(πa⁴)` for a hole (digest, section 2.7),
    /// `12μl/(s·w³)` for a slit (Beranek & Mellow, from memory).
    #[must_use]
    pub fn resistance_pascal_seconds_per_cubic_metre(&self) -> f64 {
        match *self {
            Self::Round { diameter, length } => {
                let radius = diameter.as_metres() / 2.0;
                8.0 * VISCOSITY * length.as_metres() / (std::f64::consts::PI * radius.powi(4))
            }
            Self::Slit { width, span, length } => {
                12.0 * VISCOSITY * length.as_metres() / (span.as_metres() * width.as_metres().powi(3))
            }
        }
    }

    /// Acoustic mass in kg/m⁴, end corrections included: `ρ·l'/(πa²)` with `l' = l + 1.4349·a` for a hole; for a slit
    /// `1.2·ρ·l/(s·w)` (Beranek & Mellow, from memory) and the ends of a hole of the same area (our approximation).
    #[must_use]
    pub fn mass_kilograms_per_metre_to_the_fourth(&self, air: &Air) -> f64 {
        let area = self.square_metres();
        let ends = END_CORRECTION * (area / std::f64::consts::PI).sqrt();
        let (length, profile) = match *self {
            Self::Round { length, .. } => (length, 1.0),
            Self::Slit { length, .. } => (length, 1.2),
        };
        air.rho() * (profile * length.as_metres() + ends) / area
    }

    /// Helmholtz resonance with a volume: `1/(2π·√(M·C_AB))`, losses neglected.
    ///
    /// # Source
    /// Digest, section 2.7. A hole of 1 mm through 1.5 mm into 10 cm³: 325 Hz.
    #[must_use]
    pub fn resonance_with(&self, volume: Volume, air: &Air) -> Frequency {
        let compliance = volume.as_cubic_metres() / air.bulk_modulus();
        let mass = self.mass_kilograms_per_metre_to_the_fourth(air);
        saturated(1.0 / (std::f64::consts::TAU * (mass * compliance).sqrt()))
    }

    /// Below this frequency the box no longer pushes back, were the hole a resistance only: `1/(2π·R·C_AB)`.
    #[must_use]
    pub fn leak_frequency(&self, volume: Volume, air: &Air) -> Frequency {
        let compliance = volume.as_cubic_metres() / air.bulk_modulus();
        let resistance = self.resistance_pascal_seconds_per_cubic_metre();
        saturated(1.0 / (std::f64::consts::TAU * resistance * compliance))
    }

    /// Whether friction outweighs the mass of the air at the Helmholtz resonance: then the hole cannot tune the box
    /// and is harmless at higher frequencies.
    #[must_use]
    pub fn is_choked(&self, volume: Volume, air: &Air) -> bool {
        let angular = std::f64::consts::TAU * self.resonance_with(volume, air).as_hertz();
        self.resistance_pascal_seconds_per_cubic_metre()
            > angular * self.mass_kilograms_per_metre_to_the_fourth(air)
    }

    fn square_metres(&self) -> f64 {
        match *self {
            Self::Round { diameter, .. } => std::f64::consts::FRAC_PI_4 * diameter.as_metres().powi(2),
            Self::Slit { width, span, .. } => width.as_metres() * span.as_metres(),
        }
    }

    fn impedance(&self, angular: f64, air: &Air) -> Complex64 {
        Complex64::new(
            self.resistance_pascal_seconds_per_cubic_metre(),
            angular * self.mass_kilograms_per_metre_to_the_fourth(air),
        )
    }
}
