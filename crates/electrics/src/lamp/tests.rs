//! The series resistor by its own laws. The table of the reference digest, section 6.1, is checked in the room `refcheck`.

use proptest::prelude::*;
use quantities::{Current, Voltage};

use super::{LampError, PreferredSeries, series_resistor};

fn volts(value: f64) -> Voltage {
    Voltage::from_volts(value).unwrap()
}

fn amperes(value: f64) -> Current {
    Current::from_amperes(value).unwrap()
}

proptest! {
    /// The current is never above what was wanted, nor less than the next step of the series allows; the heat is what the
    /// lamps leave of the power, and the rating twice that.
    #[test]
    fn chosen_resistor_is_safe_and_near(supply in 5.0..20.0, lamp in 0.5..4.5, wanted in 0.5e-3..60e-3) {
        for (series, step) in [(PreferredSeries::E12, 1.25), (PreferredSeries::E24, 1.16)] {
            let found = series_resistor(volts(supply), volts(lamp), amperes(wanted), series).unwrap();
            let current = found.current.as_amperes();
            prop_assert!(current <= wanted * (1.0 + 1e-9) && current >= wanted / step);
            let heat = (supply - lamp) * current;
            prop_assert!((found.heat.as_watts() - heat).abs() < 1e-12);
            prop_assert!(found.rating.is_none_or(|rating| rating.as_watts() >= 2.0 * heat));
            prop_assert!(found.rating.is_some() || heat > 0.5);
        }
    }
}

#[test]
fn lamps_that_leave_nothing_are_refused() {
    let error = series_resistor(volts(3.0), volts(3.2), amperes(0.01), PreferredSeries::E12).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the lamp drops 3.2 V and the supply gives 3 V: nothing is left for a resistor"
    );
    let error = series_resistor(volts(12.0), volts(3.2), amperes(0.0), PreferredSeries::E12).unwrap_err();
    assert_eq!(error, LampError::NoCurrent);
}
