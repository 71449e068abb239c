//! What a piece of wire adds to a circuit.
//!
//! What it is: section 6.5 of the reference digest on acoustics and electrics: American wire gauges in copper.
//! What it is not: stranding (a few per cent more) or what current a wire stands.

use quantities::{Length, Resistance, Temperature};

use crate::saturated::saturated;

/// Resistivity of copper at 20 °C in ohm-metres: 100 % IACS.
///
/// # Source
/// IEC 60028, from memory, after the reference digest on acoustics and electrics, section 6.5.
const COPPER: f64 = 1.7241e-8;

/// Temperature coefficient of copper at 20 °C, per kelvin.
///
/// # Source
/// IEC 60028, from memory, after the reference digest on acoustics and electrics, section 6.5.
const PER_KELVIN: f64 = 0.003_93;

/// Diameter of a wire of an American gauge: `0.127 mm · 92^((36 - n)/39)`.
///
/// # Source
/// ASTM B258, from memory, after the reference digest on acoustics and electrics, section 6.5.
#[must_use]
pub fn wire_diameter(gauge: u8) -> Length {
    saturated(0.127e-3 * 92_f64.powf((36.0 - f64::from(gauge)) / 39.0))
}

/// Resistance of a length of solid copper wire at 20 °C.
///
/// ```
/// use quantities::Length;
/// // Both leads of 0.15 m.
/// let loop_of_leads = electrics::wire_resistance(32, Length::from_metres(0.30).unwrap());
/// assert_eq!(loop_of_leads.to_string(), "0.1615 ohm");
/// ```
#[must_use]
pub fn wire_resistance(gauge: u8, length: Length) -> Resistance {
    let radius = wire_diameter(gauge).as_metres() / 2.0;
    saturated(COPPER * length.as_metres() / (std::f64::consts::PI * radius * radius))
}

/// What a copper winding or wire reads at another temperature, from its reading at 20 °C.
///
/// ```
/// use quantities::{Resistance, Temperature};
/// let hot = electrics::copper_at(Resistance::from_ohms(7.0).unwrap(), Temperature::from_kelvins(373.15).unwrap());
/// assert_eq!(hot.to_string(), "9.201 ohm");
/// ```
#[must_use]
pub fn copper_at(at_20_degrees: Resistance, temperature: Temperature) -> Resistance {
    let rise = temperature.as_kelvins() - 293.15;
    saturated(at_20_degrees.as_ohms() * (1.0 + PER_KELVIN * rise))
}
