//! Complex amplitudes of sinusoids: voltage, current, impedance, volume velocity, pressure. Values are rms, phases are
//! against one common clock of the whole computation (`e^{+jωt}`). Not time signals: those are [`crate::sound::Sound`].
//!
//! Source: the usual complex notation of alternating quantities; digest on acoustics and electrics, introduction.

use num_complex::Complex64;
use quantities::{Current, Resistance, SoundPressureLevel, Voltage};

use crate::air::REFERENCE_PRESSURE;
use crate::saturate::saturated;

macro_rules! phasor {
    ($(#[doc = $doc:literal])* $type:ident, $from:ident / $as:ident) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $type(Complex64);

        impl $type {
            /// From the complex SI value; `None` unless both parts are finite.
            #[must_use]
            pub fn $from(value: Complex64) -> Option<Self> {
                value.is_finite().then_some(Self(value))
            }

            /// The complex SI value.
            #[must_use]
            pub fn $as(self) -> Complex64 {
                self.0
            }

            /// From a value of our own computation, which is finite as its inputs are.
            pub(crate) fn computed(value: Complex64) -> Self {
                Self(if value.is_finite() { value } else { Complex64::ZERO })
            }
        }
    };
}

phasor! {
    /// Voltage in V, rms.
    VoltagePhasor, from_volts / as_volts
}
phasor! {
    /// Current in A, rms; positive into the terminal marked `+`.
    CurrentPhasor, from_amperes / as_amperes
}
phasor! {
    /// Electrical impedance in ohm.
    ImpedancePhasor, from_ohms / as_ohms
}
phasor! {
    /// Volume velocity in m³/s, rms; positive outward, toward the listener.
    VolumeVelocityPhasor, from_cubic_metres_per_second / as_cubic_metres_per_second
}
phasor! {
    /// Sound pressure in Pa, rms.
    PressurePhasor, from_pascals / as_pascals
}

impl VoltagePhasor {
    /// A voltage of phase zero.
    #[must_use]
    pub fn of(voltage: Voltage) -> Self {
        Self(Complex64::from(voltage.as_volts()))
    }

    /// Its rms value.
    #[must_use]
    pub fn rms(self) -> Voltage {
        saturated(self.0.norm())
    }
}

impl CurrentPhasor {
    /// Its rms value.
    #[must_use]
    pub fn rms(self) -> Current {
        saturated(self.0.norm())
    }
}

impl ImpedancePhasor {
    /// Its modulus.
    #[must_use]
    pub fn modulus(self) -> Resistance {
        saturated(self.0.norm())
    }
}

impl PressurePhasor {
    /// The level of this pressure: 20·log10(p/20 µPa); silence stops at the low end of the kind.
    #[must_use]
    pub fn level(self) -> SoundPressureLevel {
        level_of_pressure(self.0.norm())
    }
}

/// Level of an rms pressure in Pa.
pub(crate) fn level_of_pressure(pascals: f64) -> SoundPressureLevel {
    saturated(20.0 * (pascals / REFERENCE_PRESSURE).log10())
}

/// `jω` for a frequency. Below a millihertz the models divide by nothing; the floor answers as at a millihertz.
pub(crate) fn angular(frequency: quantities::Frequency) -> f64 {
    const LEAST_HERTZ: f64 = 1e-3;
    std::f64::consts::TAU * frequency.as_hertz().max(LEAST_HERTZ)
}
