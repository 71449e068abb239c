//! Printing: at most four significant digits, in the unit that keeps the number between 1 and 1000.

use crate::unit::{Quantity, Unit};

/// Digits that a printed quantity shows at most. Four is finer than any meter on a bench and short enough to read.
const DIGITS: usize = 4;

/// A quantity with its unit: `620 mA`, `7.3 ohm`.
pub(crate) fn quantity<Q: Quantity>(quantity: Q) -> String {
    let si = quantity.as_si();
    let unit = best_unit(Q::UNITS, si);
    format!("{} {}", significant((si - unit.offset) / unit.factor, DIGITS), unit.symbol)
}

/// A number with at most `digits` significant digits, without trailing zeros, never in exponent form.
///
/// ```
/// assert_eq!(quantities::significant(3.57342, 3), "3.57");
/// assert_eq!(quantities::significant(12345.0, 3), "12300");
/// assert_eq!(quantities::significant(0.5, 4), "0.5");
/// ```
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value.is_finite() { "0".to_owned() } else { value.to_string() };
    }
    // Rust's own exponent form rounds correctly at the wanted digit, also across a power of ten.
    let scientific = format!("{value:.*e}", digits.saturating_sub(1));
    let rounded: f64 = scientific.parse().unwrap_or(value);
    let text = format!("{rounded}");
    if text == "-0" { "0".to_owned() } else { text }
}

/// The largest printed unit that keeps the number at 1 or more; the smallest printed one for less.
/// Zero is shown in the plain unit.
fn best_unit(units: &'static [Unit], si: f64) -> &'static Unit {
    let printed = || units.iter().filter(|unit| unit.is_printed);
    let plain = printed().find(|unit| (unit.factor - 1.0).abs() < f64::EPSILON);
    if let (0.0, Some(unit)) = (si, plain) {
        return unit;
    }
    // 0.9995 and above prints as 1 with four digits.
    let fitting = printed().rev().find(|unit| ((si - unit.offset) / unit.factor).abs() >= 0.9995);
    let Some(unit) = fitting.or_else(|| printed().next()) else {
        unreachable!("every kind has a printed unit")
    };
    unit
}
