//! The bridge amplifier of a sound decoder: what it can deliver, and what it may be loaded with.
//!
//! What it is: section 1.4 of the reference digest on acoustics and electrics.
//! What it is not: heat, efficiency, protection circuits. The switches are taken as ideal, so the powers are upper ends.

use quantities::{Current, Power, Resistance, Voltage};

use crate::saturated::saturated;

/// The share of its nominal impedance that a speaker's modulus may dip to within its frequency range.
///
/// # Source
/// IEC 60268-5:2003, clause 16.1, after the reference digest on acoustics and electrics, section 1.4.
pub const LEAST_SHARE_OF_NOMINAL: f64 = 0.8;

/// A bridge amplifier: both outputs swing against each other, neither is ground.
///
/// ```
/// use electrics::BridgeAmplifier;
/// use quantities::{Resistance, Voltage};
/// let ohms = |ohms| Resistance::from_ohms(ohms).unwrap();
/// let amplifier = BridgeAmplifier::on_supply(Voltage::from_volts(5.0).unwrap(), ohms(4.0));
/// assert_eq!(amplifier.sine_power(ohms(4.0)).to_string(), "3.125 W");
/// assert_eq!(amplifier.peak_current(ohms(4.0)).to_string(), "1.25 A");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BridgeAmplifier {
    sine: Voltage,
    least_load: Resistance,
}

impl BridgeAmplifier {
    /// From its supply voltage `Vs`: the largest unclipped sine has the peak `Vs`, thus `Vs/√2` RMS.
    #[must_use]
    pub fn on_supply(supply: Voltage, least_load: Resistance) -> Self {
        Self { sine: supply / std::f64::consts::SQRT_2, least_load }
    }

    /// From what its sheet promises: sine power before clipping into a load.
    #[must_use]
    pub fn of_power(power: Power, into: Resistance, least_load: Resistance) -> Self {
        Self { sine: Voltage::of_power(power, into), least_load }
    }

    /// The largest unclipped sine, RMS: `Vs/√2`.
    #[must_use]
    pub fn sine_voltage(self) -> Voltage {
        self.sine
    }

    /// The peak of that sine, which is the supply voltage `Vs`.
    #[must_use]
    pub fn peak_voltage(self) -> Voltage {
        self.sine * std::f64::consts::SQRT_2
    }

    /// The least nominal load that its sheet allows.
    #[must_use]
    pub fn least_load(self) -> Resistance {
        self.least_load
    }

    /// Sine power before clipping into a resistance: `Vs²/(2R)`.
    #[must_use]
    pub fn sine_power(self, load: Resistance) -> Power {
        Power::of_voltage(self.sine, load)
    }

    /// Power of a fully clipped square wave into a resistance, `Vs²/R`: 3.01 dB more than the sine.
    #[must_use]
    pub fn square_power(self, load: Resistance) -> Power {
        Power::of_voltage(self.peak_voltage(), load)
    }

    /// Peak current into a resistance: `Vs/R`.
    #[must_use]
    pub fn peak_current(self, load: Resistance) -> Current {
        self.peak_voltage() / load
    }

    /// The least modulus that a load may have at any frequency: 80 % of the least nominal load.
    #[must_use]
    pub fn least_modulus(self) -> Resistance {
        saturated(LEAST_SHARE_OF_NOMINAL * self.least_load.as_ohms())
    }

    /// Judges a load: nominal with nominal, and the least modulus, when it is known, with 80 % of the least load.
    ///
    /// A hair of rounding is forgiven: two 8-ohm drivers in parallel are 4 ohm.
    #[must_use]
    pub fn judge(self, nominal: Resistance, least_modulus: Option<Resistance>) -> LoadVerdict {
        let is_below =
            |value: Resistance, least: Resistance| value.as_ohms() < least.as_ohms() * (1.0 - 1e-9);
        if is_below(nominal, self.least_load) {
            return LoadVerdict::NominalTooLow { nominal, least: self.least_load };
        }
        match least_modulus {
            Some(modulus) if is_below(modulus, self.least_modulus()) => {
                LoadVerdict::DipsTooLow { modulus, least: self.least_modulus() }
            }
            _ => LoadVerdict::Fits,
        }
    }
}

/// Whether an amplifier stands a load.
///
/// # Source
/// Reference digest on acoustics and electrics, section 1.4: nominal is compared with nominal, real values with 80 %.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadVerdict {
    /// It does.
    Fits,
    /// The nominal load is below the least the amplifier allows.
    NominalTooLow {
        /// The nominal load.
        nominal: Resistance,
        /// What it must be at least.
        least: Resistance,
    },
    /// The nominal load would do, but the real one dips below 80 % of the least load at some frequency.
    DipsTooLow {
        /// The least modulus of the load.
        modulus: Resistance,
        /// What it must be at least.
        least: Resistance,
    },
}
