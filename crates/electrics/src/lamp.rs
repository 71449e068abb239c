//! A series resistor for a lamp or light-emitting diode: value from the preferred numbers, current, heat, rating.
//!
//! What it is: section 6.1 of the reference digest on acoustics and electrics.
//! What it is not: brightness, or the inrush of a cold bulb.

use quantities::{Current, Power, Resistance, Voltage};
use thiserror::Error;

use crate::saturated::saturated;

/// A series of preferred numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PreferredSeries {
    /// Twelve values to the decade, ±10 %.
    E12,
    /// Twenty-four values to the decade, ±5 %.
    E24,
}

/// IEC 60063:2015, after the reference digest on acoustics and electrics, section 6.1: the list is not `10^(k/12)` rounded.
const E12: [f64; 12] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
/// Likewise.
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8,
    7.5, 8.2, 9.1,
];

/// Power ratings that resistors of this size are sold with, in watts.
///
/// # Source
/// Reference digest on acoustics and electrics, section 6.1: chip sizes 0201 to 2512 and leaded parts.
const RATINGS: [f64; 7] = [1.0 / 20.0, 1.0 / 16.0, 1.0 / 10.0, 1.0 / 8.0, 1.0 / 4.0, 1.0 / 2.0, 1.0];

/// A resistor's rating is at least this many times its heat.
///
/// # Source
/// Reference digest on acoustics and electrics, section 6.1.
const RATING_OVER_HEAT: f64 = 2.0;

/// Why there is no series resistor.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum LampError {
    /// The lamp wants at least the whole supply voltage.
    #[error("the lamp drops {lamp} and the supply gives {supply}: nothing is left for a resistor")]
    NothingLeft {
        /// What the lamps drop together.
        lamp: Voltage,
        /// The supply voltage.
        supply: Voltage,
    },
    /// The wanted current is zero.
    #[error("the wanted current is zero: state the lamp's current")]
    NoCurrent,
}

/// A series resistor with its answers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeriesResistor {
    /// What would give exactly the wanted current.
    pub exact: Resistance,
    /// The next larger preferred value.
    pub chosen: Resistance,
    /// The current with it.
    pub current: Current,
    /// The heat in it.
    pub heat: Power,
    /// The smallest usual rating of twice the heat; none if that is above 1 W.
    pub rating: Option<Power>,
}

/// The resistor between a supply and lamps in series that drop `lamp` together, for a wanted current.
///
/// # Errors
/// The lamps leave nothing for a resistor; no current is wanted.
///
/// ```
/// use electrics::{PreferredSeries, series_resistor};
/// use quantities::{Current, Voltage};
/// let volts = |volts| Voltage::from_volts(volts).unwrap();
/// let led = series_resistor(volts(12.0), volts(3.2), Current::from_amperes(0.010).unwrap(), PreferredSeries::E12)?;
/// assert_eq!(led.chosen.to_string(), "1 kohm");
/// assert_eq!(led.current.to_string(), "8.8 mA");
/// assert_eq!(led.rating.unwrap().to_string(), "250 mW");
/// # Ok::<(), electrics::LampError>(())
/// ```
pub fn series_resistor(
    supply: Voltage,
    lamp: Voltage,
    wanted: Current,
    series: PreferredSeries,
) -> Result<SeriesResistor, LampError> {
    let left = supply - lamp;
    if left.as_volts() <= 0.0 {
        return Err(LampError::NothingLeft { lamp, supply });
    }
    if wanted.as_amperes() == 0.0 {
        return Err(LampError::NoCurrent);
    }
    let exact = left / wanted;
    let chosen = series.at_least(exact);
    let heat = Power::of_voltage(left, chosen);
    let needed = RATING_OVER_HEAT * heat.as_watts();
    let rating = RATINGS.into_iter().find(|rating| *rating >= needed).map(saturated);
    Ok(SeriesResistor { exact, chosen, current: left / chosen, heat, rating })
}

impl PreferredSeries {
    /// The smallest preferred value that is not below a resistance; at least 1 ohm.
    ///
    /// ```
    /// use electrics::PreferredSeries;
    /// use quantities::Resistance;
    /// let chosen = PreferredSeries::E24.at_least(Resistance::from_ohms(880.0).unwrap());
    /// assert_eq!(chosen.to_string(), "910 ohm");
    /// ```
    #[must_use]
    pub fn at_least(self, resistance: Resistance) -> Resistance {
        let values: &[f64] = match self {
            Self::E12 => &E12,
            Self::E24 => &E24,
        };
        // (12.6 - 6.4)/0.01 comes out a hair above 620: that much is rounding.
        let least = resistance.as_ohms() * (1.0 - 1e-9);
        let decades = (0..12).map(|decade| 10_f64.powi(decade));
        let mut preferred = decades.flat_map(|decade| values.iter().map(move |value| value * decade));
        preferred.find(|value| *value >= least).map_or(resistance, saturated)
    }
}

#[cfg(test)]
mod tests;
