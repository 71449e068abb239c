//! The pair's formulas against the sum over sources, and their limits.

use proptest::prelude::*;
use quantities::{Frequency, Gain, Quantity};

use super::*;
use crate::{Air, Position, Source, Space, VolumeVelocityPhasor, radiated_power};

fn pair(sign: f64, millimetres: f64) -> [Source; 2] {
    let flow = |value: f64| VolumeVelocityPhasor::computed((value * 1e-6).into());
    let place = Position::from_metres(millimetres * 1e-3, 0.0, 0.0).unwrap();
    [
        Source { position: Position::default(), volume_velocity: flow(1.0) },
        Source { position: place, volume_velocity: flow(sign) },
    ]
}

proptest! {
    /// Two ways to the same power: the closed form of the pair, and the sum over sources.
    #[test]
    fn pair_is_the_sum_of_two(millimetres in 5.0..100.0f64, hertz in 100.0..10e3f64) {
        let (air, frequency) = (Air::default(), Frequency::from_hertz(hertz).unwrap());
        let spacing = crate::saturate::saturated(millimetres * 1e-3);
        for (relation, sign) in [(PairRelation::InPhase, 1.0), (PairRelation::Opposed, -1.0)] {
            let sources = pair(sign, millimetres);
            let both = radiated_power(&sources, frequency, Space::Half, &air).as_watts();
            let one = radiated_power(&sources[..1], frequency, Space::Half, &air).as_watts();
            let closed = pair_power(relation, spacing, frequency, &air).as_decibels();
            // Opposition at small kd is a difference of near equals in the sum, hence not to the last digit.
            prop_assert!((10.0 * (both / one).log10() - closed).abs() < 1e-6);
        }
    }

    /// Opposition never radiates more than two sources that do not know of each other would at best, nor less than
    /// nothing, and in phase plus opposition is always four.
    #[test]
    fn in_phase_and_opposed_share_the_power(millimetres in 5.0..100.0f64, hertz in 20.0..20e3f64) {
        let (air, frequency) = (Air::default(), Frequency::from_hertz(hertz).unwrap());
        let spacing = crate::saturate::saturated(millimetres * 1e-3);
        let ratio = |relation| 10f64.powf(pair_power(relation, spacing, frequency, &air).as_decibels() / 10.0);
        prop_assert!((ratio(PairRelation::InPhase) + ratio(PairRelation::Opposed) - 4.0).abs() < 1e-6);
    }
}

/// The whole curve of what opposition costs a pair 30 mm apart, octave by octave: against one alone, and against the
/// pair in phase. The figures are those of the same mean taken with numpy in 20 000 steps.
#[test]
fn band_losses_of_a_common_spacing() {
    let losses = pair_band_losses(PairRelation::Opposed, mm(30.0), &Air::default());
    let table: Vec<String> = losses
        .iter()
        .map(|loss| {
            let rounded = |gain: Gain| format!("{:.1}", gain.as_decibels());
            format!(
                "{}: {} {}",
                loss.band.nominal(),
                rounded(loss.against_one),
                rounded(loss.against_in_phase)
            )
        })
        .collect();
    assert_eq!(
        table,
        [
            "125 Hz: -27.6 -33.7",
            "250 Hz: -21.6 -27.7",
            "500 Hz: -15.7 -21.6",
            "1 kHz: -9.7 -15.6",
            "2 kHz: -4.0 -9.5",
            "4 kHz: 1.1 -3.3",
            "8 kHz: 3.6 1.2",
        ]
    );
}

fn mm(millimetres: f64) -> quantities::Length {
    crate::saturate::saturated(millimetres * 1e-3)
}

/// At low frequency resistance is `(ka)²/2` and reactance `8ka/(3π)`; at high frequency resistance is 1.
#[test]
fn piston_limits() {
    let (air, radius) = (Air::default(), mm(10.0));
    let at = |ka: f64| {
        let hertz = ka * air.sound_speed().as_si() / (std::f64::consts::TAU * 0.01);
        let frequency = Frequency::from_hertz(hertz).unwrap();
        (piston_resistance(radius, frequency, &air), piston_reactance(radius, frequency, &air))
    };
    let (resistance, reactance) = at(1e-3);
    assert!((resistance / 0.5e-6 - 1.0).abs() < 1e-6);
    assert!((reactance / (8e-3 / (3.0 * std::f64::consts::PI)) - 1.0).abs() < 1e-6);
    assert!((at(50.0).0 - 1.0).abs() < 0.01);
    // Both branches of the resistance meet where one takes over from the other: no step beyond the slope.
    assert!((at(0.499_999).0 / at(0.500_001).0 - 1.0).abs() < 1e-5);
}
