//! The air that sound goes through: density, speed of sound, viscosity. Not a weather model: dry air at sea level.
//!
//! Source: the project's digest on acoustics and electrics, section 0: ISO 9613-1 (from memory) for the speed of
//! sound, the ideal gas law for the density.

use quantities::{Speed, Temperature};

/// Dynamic viscosity of air near 20 °C in Pa·s (digest, section 2.7).
pub(crate) const VISCOSITY: f64 = 1.81e-5;

/// Reference pressure of sound levels, 20 µPa (ISO 1683, from memory).
pub(crate) const REFERENCE_PRESSURE: f64 = 20e-6;

/// The state of the air.
///
/// ```
/// let air = acoustics::Air::default();
/// assert_eq!(air.sound_speed().as_metres_per_second(), 343.21);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    speed: f64,
    density: f64,
}

impl Default for Air {
    /// Air at 20 °C and 101.325 kPa: 343.21 m/s and 1.2041 kg/m³ (digest, section 0).
    fn default() -> Self {
        Self { speed: 343.21, density: 1.2041 }
    }
}

impl Air {
    /// Air of a temperature at 101.325 kPa: `c = 331.3·√(1 + T/273.15)` with T in °C, `ρ = p/(287.05·T)` with T in K.
    ///
    /// # Source
    /// ISO 9613-1 (from memory); ideal gas law. Digest, section 0.
    #[must_use]
    pub fn at(temperature: Temperature) -> Self {
        // Below the boiling point of nitrogen there is no air to speak of; the floor keeps the quotient finite.
        let kelvins = temperature.as_kelvins().max(77.0);
        Self { speed: 331.3 * (kelvins / 273.15).sqrt(), density: 101_325.0 / (287.05 * kelvins) }
    }

    /// Air as a paper states it, for instance 345 m/s and 1.18 kg/m³. `None` unless both are finite and above zero.
    #[must_use]
    pub fn of(sound_speed: Speed, kilograms_per_cubic_metre: f64) -> Option<Self> {
        let speed = sound_speed.as_metres_per_second();
        let is_usable =
            speed > 0.0 && kilograms_per_cubic_metre > 0.0 && kilograms_per_cubic_metre.is_finite();
        is_usable.then_some(Self { speed, density: kilograms_per_cubic_metre })
    }

    /// Speed of sound.
    #[must_use]
    pub fn sound_speed(&self) -> Speed {
        crate::saturate::saturated(self.speed)
    }

    /// Density in kg/m³.
    #[must_use]
    pub fn kilograms_per_cubic_metre(&self) -> f64 {
        self.density
    }

    /// Speed of sound in m/s.
    pub(crate) fn c(&self) -> f64 {
        self.speed
    }

    /// Density in kg/m³.
    pub(crate) fn rho(&self) -> f64 {
        self.density
    }

    /// Adiabatic bulk modulus ρc² in Pa.
    pub(crate) fn bulk_modulus(&self) -> f64 {
        self.density * self.speed * self.speed
    }

    /// Wave number k = ω/c in rad/m.
    pub(crate) fn wave_number(&self, angular: f64) -> f64 {
        angular / self.speed
    }
}
