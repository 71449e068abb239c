//! Energy, symmetry and the shared box.

use num_complex::Complex64;
use proptest::prelude::*;
use quantities::{Frequency, Quantity};

use super::*;
use crate::driver::tests::{dials, some_driver};
use crate::{ClosedBox, Installation, Listening};

fn tight(cubic_centimetres: f64) -> Enclosure {
    Enclosure::Box(ClosedBox::tight(crate::saturate::saturated(cubic_centimetres * 1e-6)).unwrap())
}

fn mounted(driver: Driver, millimetres: f64, mounting: Mounting) -> Mounted {
    Mounted { driver, position: Position::from_metres(millimetres * 1e-3, 0.0, 0.0).unwrap(), mounting }
}

fn volts(value: f64) -> Drive {
    Drive::Voltage(VoltagePhasor::computed(value.into()))
}

fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

proptest! {
    /// What goes in electrically is turned to heat in coils and suspensions: power in = power out.
    #[test]
    fn energy_is_conserved(one in dials(), other in dials(), at in 50.0..8e3f64, second in -2.0..2.0f64) {
        let cabinet = Cabinet {
            enclosure: tight(5.0),
            drivers: vec![
                mounted(some_driver(one), 0.0, Mounting::FrontOut),
                mounted(some_driver(other), 20.0, Mounting::MagnetOut),
            ],
        };
        let motions = cabinet.motions(hertz(at), &[volts(1.0), volts(second)], &Air::default()).unwrap();
        let (mut electrical, mut heat) = (0.0, 0.0);
        for (motion, unit) in motions.iter().zip(&cabinet.drivers) {
            let current = motion.current.as_amperes();
            electrical += (motion.voltage.as_volts() * current.conj()).re;
            let velocity = motion.volume_velocity.as_cubic_metres_per_second().norm() / unit.driver.sd();
            heat += current.norm_sqr() * unit.driver.re() + velocity.powi(2) * unit.driver.rms();
        }
        prop_assert!((electrical - heat).abs() <= 1e-9 * heat.abs(), "{electrical} W in, {heat} W out");
    }

    /// The current that a voltage drives moves the cone as the voltage did.
    #[test]
    fn current_and_voltage_agree(dials in dials(), at in 50.0..8e3f64) {
        let cabinet = Cabinet { enclosure: tight(3.0), drivers: vec![mounted(some_driver(dials), 0.0, Mounting::FrontOut)] };
        let by_voltage = cabinet.motions(hertz(at), &[volts(2.0)], &Air::default()).unwrap()[0];
        let by_current = cabinet.motions(hertz(at), &[Drive::Current(by_voltage.current)], &Air::default()).unwrap()[0];
        let flow = |motion: &Motion| motion.volume_velocity.as_cubic_metres_per_second();
        prop_assert!((flow(&by_voltage) - flow(&by_current)).norm() <= 1e-9 * flow(&by_voltage).norm());
        prop_assert!((by_current.voltage.as_volts() - 2.0).norm() < 1e-9);
    }

    /// Two equal drivers share a box as if each had half of it in phase, and none in opposition; turning one round
    /// and reversing its leads changes nothing.
    #[test]
    fn shared_box(dials in dials(), at in 50.0..4e3f64) {
        let driver = some_driver(dials);
        let shared = |mounting| Cabinet {
            enclosure: tight(8.0),
            drivers: vec![mounted(driver, 0.0, Mounting::FrontOut), mounted(driver, 20.0, mounting)],
        };
        let alone = |enclosure| Cabinet { enclosure, drivers: vec![mounted(driver, 0.0, Mounting::FrontOut)] };
        let first = |cabinet: &Cabinet, drives: &[Drive]| {
            cabinet.motions(hertz(at), drives, &Air::default()).unwrap()[0].volume_velocity.as_cubic_metres_per_second()
        };
        let near = |a: Complex64, b: Complex64| (a - b).norm() <= 1e-9 * b.norm();
        let (in_phase, opposed) = ([volts(1.0), volts(1.0)], [volts(1.0), volts(-1.0)]);
        let front = shared(Mounting::FrontOut);
        prop_assert!(near(first(&front, &in_phase), first(&alone(tight(4.0)), &[volts(1.0)])));
        prop_assert!(near(first(&front, &opposed), first(&alone(Enclosure::Separated), &[volts(1.0)])));
        prop_assert!(near(first(&shared(Mounting::MagnetOut), &opposed), first(&front, &in_phase)));
    }
}

/// Digest, section 2.10: if only A is driven, B moves as a drone unless shorted.
#[test]
fn an_idle_driver_moves_as_a_drone() {
    let driver = some_driver([0.3, 0.7, 0.4, 0.6, 0.2, 0.5, 0.3, 0.5]);
    let cabinet = Cabinet {
        enclosure: tight(5.0),
        drivers: vec![mounted(driver, 0.0, Mounting::FrontOut), mounted(driver, 20.0, Mounting::FrontOut)],
    };
    let resonance = driver.resonance();
    let second = |drive: Drive| {
        let motions = cabinet.motions(resonance, &[volts(1.0), drive], &Air::default()).unwrap();
        motions[1].volume_velocity.as_cubic_metres_per_second().norm()
    };
    let open = second(Drive::Current(CurrentPhasor::computed(Complex64::ZERO)));
    let shorted = second(volts(0.0));
    assert!(open > 2.0 * shorted, "open {open}, shorted {shorted}");
}

/// Two boxes 30 mm apart: in opposition the power falls by what the pair's formula says, and on the mid-plane nothing
/// is left; in phase the level on the axis rises by 6 dB.
#[test]
fn gain_and_loss_against_one_alone() {
    let driver = some_driver([0.5; 8]);
    let boxed = |millimetres| Cabinet {
        enclosure: tight(5.0),
        drivers: vec![mounted(driver, millimetres, Mounting::FrontOut)],
    };
    let air = Air::default();
    let alone = Installation { cabinets: vec![boxed(0.0)], air };
    let both = Installation { cabinets: vec![boxed(0.0), boxed(30.0)], air };
    let (frequency, listening) = (hertz(500.0), Listening::at_one_metre());
    let one = alone.heard(frequency, &[volts(1.0)], &listening).unwrap();
    let in_phase = both.heard(frequency, &[volts(1.0), volts(1.0)], &listening).unwrap();
    let opposed = both.heard(frequency, &[volts(1.0), volts(-1.0)], &listening).unwrap();
    assert!((in_phase.pressure_gain_over(&one).as_decibels() - 6.02).abs() < 0.01);
    assert!(opposed.pressure_gain_over(&one).as_decibels() < -200.0);
    let spacing = crate::saturate::saturated(0.030);
    for (heard, relation) in [
        (in_phase, crate::radiation::PairRelation::InPhase),
        (opposed, crate::radiation::PairRelation::Opposed),
    ] {
        let formula = crate::radiation::pair_power(relation, spacing, frequency, &air).as_decibels();
        assert!((heard.power_gain_over(&one).as_decibels() - formula).abs() < 1e-9);
    }
    assert_eq!(
        both.heard(frequency, &[volts(1.0)], &listening).unwrap_err().to_string(),
        "2 drivers need as many drives, but 1 were given"
    );
}

/// A driver with both leads in the air carries no current and has no impedance to tell.
#[test]
fn no_current_no_impedance() {
    let cabinet = Cabinet {
        enclosure: Enclosure::Separated,
        drivers: vec![mounted(some_driver([0.5; 8]), 0.0, Mounting::FrontOut)],
    };
    let nothing = Drive::Current(CurrentPhasor::computed(Complex64::ZERO));
    let motion = cabinet.motions(hertz(400.0), &[nothing], &Air::default()).unwrap()[0];
    assert_eq!(motion.impedance(), None);
    assert_eq!(motion.peak_excursion().as_si().to_bits(), 0);
}
