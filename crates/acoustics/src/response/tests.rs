//! Grids, interpolation, band means.

use proptest::prelude::*;
use quantities::Quantity;

use super::*;
use crate::bands::Width;

fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

#[test]
fn grids() {
    let grid = logarithmic_grid(hertz(100.0), hertz(800.0), 1);
    let printed: Vec<String> = grid.iter().map(ToString::to_string).collect();
    assert_eq!(printed, ["100 Hz", "200 Hz", "400 Hz", "800 Hz"]);
    assert!(logarithmic_grid(hertz(0.0), hertz(800.0), 3).is_empty());
    assert!(logarithmic_grid(hertz(800.0), hertz(100.0), 3).is_empty());
}

#[test]
fn bad_points_are_named() {
    let point = |at: f64, value: f64| (hertz(at), Complex64::from(value));
    let error = |points: &[_]| Response::new(points).unwrap_err().to_string();
    assert_eq!(error(&[point(1.0, 1.0)]), "a response needs at least two points, not 1");
    let falling = [point(2.0, 1.0), point(1.0, 1.0)];
    assert_eq!(error(&falling), "the frequencies of a response must rise, but point 1 does not");
    let infinite = [point(1.0, 1.0), point(2.0, f64::INFINITY)];
    assert_eq!(error(&infinite), "point 1 of the response is not a finite number");
}

proptest! {
    /// A power of the frequency is straight in logarithms: interpolated and continued exactly.
    #[test]
    fn powers_are_exact(power in -3.0..3.0f64, at in 5.0..40e3f64) {
        let response = Response::sampled(
            &logarithmic_grid(hertz(20.0), hertz(20e3), 2),
            |frequency| frequency.as_hertz().powf(power).into(),
        ).unwrap();
        prop_assert!((response.pascals_per_volt(hertz(at)) / at.powf(power) - 1.0).abs() < 1e-9);
    }
}

/// Over a band the mean square of `f` has closed forms: pink `(f2² − f1²)/(2·ln(f2/f1))`, white `(f2³ − f1³)/(3·(f2 − f1))`.
#[test]
fn band_means_by_colour() {
    let response =
        Response::sampled(&logarithmic_grid(hertz(20.0), hertz(20e3), 24), |f| f.as_hertz().into()).unwrap();
    let band = Band::containing(1000.0, Width::Octave).unwrap();
    let (low, high) = (band.lower().as_hertz(), band.upper().as_hertz());
    let pink = ((high.powi(2) - low.powi(2)) / (2.0 * (high / low).ln())).sqrt();
    let white = ((high.powi(3) - low.powi(3)) / (3.0 * (high - low))).sqrt();
    // 64 steps over an octave: error of the midpoint rule below a ten-thousandth.
    assert!((response.band_pascals_per_volt(band, NoiseColour::Pink) / pink - 1.0).abs() < 1e-4);
    assert!((response.band_pascals_per_volt(band, NoiseColour::White) / white - 1.0).abs() < 1e-4);
}

/// Bands of a series lie edge to edge.
#[test]
fn bands_touch() {
    let thirds = Band::thirds_125_to_8000();
    for pair in thirds.windows(2) {
        assert!((pair[0].upper().as_si() / pair[1].lower().as_si() - 1.0).abs() < 1e-12);
    }
    assert_eq!(thirds.first().map(|band| band.nominal().to_string()).as_deref(), Some("125 Hz"));
    assert_eq!(thirds.last().map(|band| band.nominal().to_string()).as_deref(), Some("8 kHz"));
    assert_eq!(Band::containing(0.0, Width::Octave), None);
}
