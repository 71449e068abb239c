//! How loud a system can safely go: travel of the cone, heat of the coil, voltage of the amplifier. Not a life test.
//!
//! Source: digest, sections 2.5 and 2.6; copper coefficient of IEC 60028 (from memory).

use quantities::{Frequency, Gain, Resistance, SoundPressureLevel, Temperature, Voltage};

use crate::listening::Listening;
use crate::saturate::saturated;
use crate::system::System;

/// What stops a system from going louder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitCause {
    /// The cone reaches xmax.
    Excursion,
    /// The coil takes its rated power.
    Heat,
    /// The amplifier has no more voltage.
    Amplifier,
}

impl std::fmt::Display for LimitCause {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Excursion => "the cone reaches its greatest clean travel",
            Self::Heat => "the coil takes its rated power",
            Self::Amplifier => "the amplifier has no more voltage",
        })
    }
}

/// The greatest safe voltage and why it is that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SafeVoltage {
    /// Rms.
    pub voltage: Voltage,
    /// What comes first.
    pub cause: LimitCause,
    /// The frequency at which it comes first.
    pub at: Frequency,
}

impl System {
    /// Greatest rms voltage of a steady tone at a frequency, and what stops it.
    #[must_use]
    pub fn safe_voltage_at(&self, frequency: Frequency, amplifier: Option<Voltage>) -> SafeVoltage {
        let limits = [
            (LimitCause::Excursion, Some(self.voltage_at_peak_excursion(frequency))),
            (LimitCause::Heat, Some(self.voltage_at_rated_power(frequency))),
            (LimitCause::Amplifier, amplifier),
        ];
        let mut safe =
            SafeVoltage { voltage: saturated(f64::MAX), cause: LimitCause::Excursion, at: frequency };
        for (cause, voltage) in limits {
            if let Some(voltage) = voltage.filter(|voltage| *voltage < safe.voltage) {
                safe = SafeVoltage { voltage, cause, at: frequency };
            }
        }
        safe
    }

    /// Greatest rms voltage that is safe at every frequency of a grid. None for an empty grid.
    #[must_use]
    pub fn safe_voltage(&self, grid: &[Frequency], amplifier: Option<Voltage>) -> Option<SafeVoltage> {
        let by_frequency = grid.iter().map(|frequency| self.safe_voltage_at(*frequency, amplifier));
        by_frequency.min_by(|one, other| one.voltage.as_volts().total_cmp(&other.voltage.as_volts()))
    }

    /// Highest safe level of a steady tone at a frequency.
    #[must_use]
    pub fn highest_safe_level(
        &self,
        frequency: Frequency,
        amplifier: Option<Voltage>,
        listening: &Listening,
    ) -> (SoundPressureLevel, LimitCause) {
        let safe = self.safe_voltage_at(frequency, amplifier);
        (self.level(frequency, safe.voltage, listening), safe.cause)
    }
}

/// Temperature coefficient of copper at 20 °C, per kelvin.
const COPPER_PER_KELVIN: f64 = 0.003_93;
/// 20 °C in kelvins.
const ROOM_KELVINS: f64 = 293.15;

/// Resistance of a copper coil at a temperature: `Re20·[1 + 0.00393·(T − 20 °C)]`.
///
/// ```
/// use acoustics::limits::resistance_at;
/// use quantities::{Quantity, Resistance, Temperature};
/// let hot = resistance_at(Resistance::parse("7.0 ohm")?, Temperature::parse("100 °C")?);
/// assert_eq!(hot.to_string(), "9.201 ohm");
/// # Ok::<(), quantities::QuantityError>(())
/// ```
#[must_use]
pub fn resistance_at(at_20_celsius: Resistance, temperature: Temperature) -> Resistance {
    at_20_celsius * (1.0 + COPPER_PER_KELVIN * (temperature.as_kelvins() - ROOM_KELVINS))
}

/// Temperature of a coil from its resistance: the inverse of [`resistance_at`].
#[must_use]
pub fn coil_temperature(at_20_celsius: Resistance, hot: Resistance) -> Temperature {
    let rise = (hot.as_ohms() / at_20_celsius.as_ohms() - 1.0) / COPPER_PER_KELVIN;
    saturated(ROOM_KELVINS + rise)
}

/// How much quieter a hot coil is above resonance at the same voltage: `−20·log10(Re(T)/Re20)`.
#[must_use]
pub fn power_compression(at_20_celsius: Resistance, hot: Resistance) -> Gain {
    Gain::of_amplitudes(at_20_celsius.as_ohms(), hot.as_ohms())
}
