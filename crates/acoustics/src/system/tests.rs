//! What a box, a leak, the lack of a box and the limits do, as properties and as a story.

use proptest::prelude::*;
use quantities::{Frequency, Gain, Quantity, Voltage};

use super::*;
use crate::driver::tests::{dials, some_driver};
use crate::limits::LimitCause;
use crate::{ClosedBox, Opening, logarithmic_grid};

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

fn boxed(driver: Driver, cubic_centimetres: f64) -> System {
    let tight = ClosedBox::tight(saturated(cubic_centimetres * 1e-6)).unwrap();
    System::new(driver, Enclosure::Box(tight), Air::default())
}

proptest! {
    /// A smaller box always stiffens: higher resonance, higher Q, less travel at low frequency, never less safe.
    #[test]
    fn smaller_boxes_are_stiffer(dials in dials(), volume in 1.0..50.0f64, share in 0.1..0.9f64) {
        let driver = some_driver(dials);
        let (large, small) = (boxed(driver, volume), boxed(driver, volume * share));
        let (of_large, of_small) = (large.alignment().unwrap(), small.alignment().unwrap());
        prop_assert!(of_small.resonance() > of_large.resonance());
        prop_assert!(of_small.total_q() > of_large.total_q());
        let low = Frequency::from_hertz(of_large.resonance().as_hertz() / 20.0).unwrap();
        prop_assert!(small.excursion(low, q("1 V")) < large.excursion(low, q("1 V")));
        prop_assert!(small.voltage_at_peak_excursion(low) > large.voltage_at_peak_excursion(low));
    }

    /// Without coil inductance and losses of the box the full model is the closed form: the response against its flat
    /// level is G.
    #[test]
    fn full_model_is_the_alignment(dials in dials(), volume in 1.0..50.0f64, at in 50.0..8e3f64) {
        let mut parameters = *some_driver(dials).parameters();
        parameters.coil_inductance = saturated(0.0);
        let system = boxed(Driver::new(parameters).unwrap(), volume);
        let frequency = Frequency::from_hertz(at).unwrap();
        let pressure = system.pressure(frequency, unit_drive(), &Listening::at_one_metre()).as_pascals().norm();
        let relative = pressure / system.reference_pascals_per_volt();
        let expected = system.alignment().unwrap().response(frequency).norm();
        prop_assert!((relative / expected - 1.0).abs() < 1e-9, "{relative} for {expected}");
    }

    /// At the safe voltage nothing is exceeded and something is reached.
    #[test]
    fn safe_voltage_is_tight(dials in dials(), volume in 0.5..20.0f64, at in 100.0..6e3f64, amplifier in 0.5..8.0f64) {
        let system = boxed(some_driver(dials), volume);
        let (frequency, most) = (Frequency::from_hertz(at).unwrap(), Voltage::from_volts(amplifier).unwrap());
        let safe = system.safe_voltage_at(frequency, Some(most));
        let travel = system.excursion(frequency, safe.voltage).as_si() / system.driver().xmax();
        let heat = system.power(frequency, safe.voltage).as_si() / system.driver().parameters().rated_power.as_si();
        let voltage = safe.voltage.as_si() / amplifier;
        let reached = match safe.cause {
            LimitCause::Excursion => travel,
            LimitCause::Heat => heat,
            LimitCause::Amplifier => voltage,
        };
        prop_assert!(travel < 1.0 + 1e-9 && heat < 1.0 + 1e-9 && voltage < 1.0 + 1e-9);
        prop_assert!((reached - 1.0).abs() < 1e-9);
    }

    /// Half the distance is 6.02 dB more, free field 6.02 dB less than half space, twice the voltage 6.02 dB more.
    #[test]
    fn conventions_of_propagation(dials in dials(), at in 100.0..6e3f64) {
        let system = boxed(some_driver(dials), 5.0);
        let frequency = Frequency::from_hertz(at).unwrap();
        let level = |metres: f64, space, volts: f64| {
            let listening = Listening { distance: saturated(metres), space };
            system.level(frequency, Voltage::from_volts(volts).unwrap(), &listening).as_si()
        };
        use crate::Space::{Free, Half};
        let reference = level(1.0, Half, 1.0);
        let six = 20.0 * 2f64.log10();
        prop_assert!((level(0.5, Half, 1.0) - reference - six).abs() < 1e-9);
        prop_assert!((level(1.0, Free, 1.0) - reference + six).abs() < 1e-9);
        prop_assert!((level(1.0, Half, 2.0) - reference - six).abs() < 1e-9);
    }
}

/// Set S1 of the digest, section 10.1.
fn set_s1() -> Driver {
    Driver::new(crate::driver::Parameters {
        nominal_impedance: q("8 ohm"),
        coil_resistance: q("7.0 ohm"),
        coil_inductance: q("0.29 mH"),
        force_factor: q("2.20 T·m"),
        moving_mass: q("0.5 g"),
        compliance: q("680 µm/N"),
        mechanical_resistance: q("0.30 kg/s"),
        piston_area: q("3.9 cm2"),
        peak_excursion: q("0.7 mm"),
        rated_power: q("2 W"),
    })
    .unwrap()
}

/// One driver tight, with the harmless hole, with the hole that "already ruins a 10 cm³ box" (digest, section 2.7),
/// and without a box: level at 0.3 m for 1 V at 75, 150, 325, 500 and 1000 Hz.
#[test]
fn one_driver_four_ways() {
    let driver = set_s1();
    let with = |openings: &[Opening]| {
        let tight = ClosedBox::tight(q("10 cm3")).unwrap();
        let opened = openings.iter().fold(tight, |closed, opening| closed.opened(*opening));
        System::new(driver, Enclosure::Box(opened), Air::default())
    };
    let hole = |diameter| Opening::Round { diameter: q(diameter), length: q("1.5 mm") };
    let bare = System::new(driver, Enclosure::Unboxed { path: q("35 mm") }, Air::default());
    let row = |system: &System| {
        [75.0, 150.0, 325.0, 500.0, 1000.0].map(|hertz| {
            let level = system.level(saturated(hertz), q("1 V"), &Listening::default()).as_si();
            format!("{level:.0}")
        })
    };
    assert_eq!(row(&with(&[])), ["48", "60", "76", "81", "79"]);
    assert_eq!(
        row(&with(&[hole("0.5 mm")])),
        ["47", "60", "76", "82", "80"],
        "a finger on it changes little"
    );
    assert_eq!(row(&with(&[hole("1 mm")])), ["33", "58", "76", "86", "80"], "a tuned box: bass gone, honk");
    assert_eq!(row(&bare), ["29", "48", "64", "69", "74"], "front and rear cancel");
    // The leak also takes the air spring away that protects the driver at low frequency.
    let travel = |system: &System| system.excursion(q("100 Hz"), q("2.83 V")).as_si();
    assert!(travel(&with(&[hole("1 mm")])) > 2.0 * travel(&with(&[])));
}

/// Losses of the box lower Q and nothing else; the closed form and the full model agree on it.
#[test]
fn box_losses_lower_q() {
    let mut parameters = *some_driver([0.5; 8]).parameters();
    parameters.coil_inductance = saturated(0.0);
    let driver = Driver::new(parameters).unwrap();
    let lossy = ClosedBox::tight(q("4 cm3")).unwrap().lossy(3.0).unwrap();
    let system = System::new(driver, Enclosure::Box(lossy), Air::default());
    let (alignment, without) = (system.alignment().unwrap(), boxed(driver, 4.0).alignment().unwrap());
    assert_eq!(alignment.resonance(), without.resonance());
    assert!((1.0 / alignment.total_q() - 1.0 / without.total_q() - 1.0 / 3.0).abs() < 1e-12);
    let at_resonance = system.pressure(alignment.resonance(), unit_drive(), &Listening::at_one_metre());
    let ratio = at_resonance.as_pascals().norm() / system.reference_pascals_per_volt();
    assert!((ratio / alignment.total_q() - 1.0).abs() < 1e-9);
}

/// The search for the low end finds the closed form's; bare drivers have none above their cancellation.
#[test]
fn low_end() {
    let system = boxed(some_driver([0.5; 8]), 5.0);
    let six: Gain = q("6 dB");
    let (searched, closed) =
        (system.low_end(six).unwrap(), system.alignment().unwrap().frequency_of_drop(six));
    assert!((searched.as_si() / closed.as_si() - 1.0).abs() < 1e-9);
    let bare = System::new(some_driver([0.5; 8]), Enclosure::Unboxed { path: q("12 mm") }, Air::default());
    assert_eq!(bare.low_end(six), None);
}

/// Nothing blows up at the ends: direct current, a megahertz, no distance.
#[test]
fn extremes_stay_finite() {
    let system = boxed(some_driver([0.5; 8]), 5.0);
    for hertz in [0.0, 1e-6, 1e6] {
        let frequency = Frequency::from_hertz(hertz).unwrap();
        assert!(system.impedance(frequency).as_ohms().is_finite());
        assert!(system.excursion(frequency, q("1 V")).as_si().is_finite());
        let nowhere = Listening { distance: q("0 mm"), ..Listening::default() };
        assert!(system.level(frequency, q("1 V"), &nowhere).as_si().is_finite());
    }
    assert!(system.safe_voltage(&logarithmic_grid(q("0 Hz"), q("1 kHz"), 3), None).is_none());
}
