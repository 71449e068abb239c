//! Limits and limits of validity of the impedance models.
//! Their check numbers are those of the reference digest and are checked in the room `refcheck`.

use num_complex::Complex64;
use proptest::prelude::*;
use quantities::{Compliance, ForceFactor, Frequency, Inductance, Mass, MechanicalResistance, Resistance};

use super::{DriverImpedance, ImpedanceTable, Load, Motional};
use crate::{CoilModel, DriverError};

fn ohms(value: f64) -> Resistance {
    Resistance::from_ohms(value).unwrap()
}

fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

fn henries(value: f64) -> Inductance {
    Inductance::from_henries(value).unwrap()
}

fn moving(mass: f64, compliance: f64, resistance: f64, box_stiffness: f64) -> Motional {
    Motional {
        bl: ForceFactor::from_tesla_metres(2.2).unwrap(),
        mms: Mass::from_kilograms(mass).unwrap(),
        cms: Compliance::from_metres_per_newton(compliance).unwrap(),
        rms: MechanicalResistance::from_newton_seconds_per_metre(resistance).unwrap(),
        box_stiffness,
    }
}

fn coils() -> [CoilModel; 6] {
    [
        CoilModel::Ideal(henries(0.29e-3)),
        CoilModel::Lr2 { le: henries(0.1e-3), l2: henries(0.2e-3), r2: ohms(5.0) },
        CoilModel::SemiInductor { k: 0.02 },
        CoilModel::Wright { kr: 0.0022, xr: 0.75, ki: 0.0048, xi: 0.76 },
        CoilModel::Leach { k: 6.89e-3, n: 0.7 },
        CoilModel::ThorborgFuttrup {
            leb: henries(0.1258e-3),
            le: henries(1.1774e-3),
            rss: ohms(562.4),
            ke: 0.0386,
        },
    ]
}

#[test]
fn every_coil_is_a_short_at_dc_and_grows_with_frequency() {
    for coil in coils() {
        assert_eq!(coil.impedance(hertz(0.0)), Complex64::ZERO);
        let sizes: Vec<f64> =
            [20.0, 200.0, 2000.0, 20_000.0].map(|f| coil.impedance(hertz(f)).norm()).to_vec();
        assert!(sizes.is_sorted_by(|a, b| a < b), "{coil:?}: {sizes:?}");
    }
}

/// Models that have another as their limit.
#[test]
fn limits_of_the_coil_models_meet() {
    let at = hertz(1234.0);
    let near = |a: CoilModel, b: CoilModel| {
        let (a, b) = (a.impedance(at), b.impedance(at));
        assert!((a - b).norm() < 1e-9 * b.norm(), "{a} is not {b}");
    };
    near(CoilModel::Leach { k: 0.29e-3, n: 1.0 }, CoilModel::Ideal(henries(0.29e-3)));
    near(CoilModel::Leach { k: 0.02, n: 0.5 }, CoilModel::SemiInductor { k: 0.02 });
    let lossless = CoilModel::Lr2 { le: henries(0.1e-3), l2: henries(0.2e-3), r2: ohms(1e12) };
    near(lossless, CoilModel::Ideal(henries(0.3e-3)));
    near(
        CoilModel::Lr2 { le: henries(0.1e-3), l2: henries(0.2e-3), r2: ohms(0.0) },
        CoilModel::Ideal(henries(0.1e-3)),
    );
}

#[test]
fn dc_is_the_coil_alone() {
    let driver =
        DriverImpedance::new(ohms(7.0), coils()[0], Some(moving(0.5e-3, 0.68e-3, 0.3, 0.0))).unwrap();
    assert_eq!(driver.impedance(hertz(0.0)), Complex64::from(7.0));
    assert!((driver.impedance(hertz(1e-3)) - 7.0).norm() < 1e-4);
}

proptest! {
    /// At resonance the motion is a pure resistance Bl²/Rms on top of the coil's; no other frequency has a larger real part.
    #[test]
    fn resonance_is_where_mass_and_stiffness_cancel(mass in 1e-4..2e-3, compliance in 1e-4..2e-3, resistance in 0.05..1.0, stiffness in 0.0..5000.0, off in 0.1..10.0) {
        let motional = moving(mass, compliance, resistance, stiffness);
        let driver = DriverImpedance::new(ohms(7.0), CoilModel::Ideal(henries(0.0)), Some(motional)).unwrap();
        let resonance = ((1.0 / compliance + stiffness) / mass).sqrt() / std::f64::consts::TAU;
        let peak = driver.impedance(hertz(resonance));
        let expected = 7.0 + 2.2 * 2.2 / resistance;
        prop_assert!((peak - expected).norm() < 1e-9 * expected);
        prop_assert!(driver.impedance(hertz(resonance * off)).re <= peak.re * (1.0 + 1e-12));
    }

    /// The admittance that the solver uses is the reciprocal of the impedance.
    #[test]
    fn admittance_is_reciprocal(f in 20.0..20_000.0) {
        for coil in coils() {
            let driver = DriverImpedance::new(ohms(7.0), coil, Some(moving(0.5e-3, 0.68e-3, 0.3, 2157.0))).unwrap();
            let lanes = Load::Driver(driver).admittances(&crate::lanes::Angular::of(&[hertz(f)]));
            prop_assert!((lanes.lane(0) * driver.impedance(hertz(f)) - 1.0).norm() < 1e-12);
        }
    }
}

#[test]
fn table_is_kept_at_its_ends_and_straight_between() {
    let rows = [(hertz(100.0), Complex64::new(8.0, 1.0)), (hertz(400.0), Complex64::new(16.0, -3.0))];
    let table = ImpedanceTable::new(ohms(7.0), &rows).unwrap();
    let near = |f: f64, re: f64, im: f64| {
        let z = table.impedance(hertz(f));
        assert!((z - Complex64::new(re, im)).norm() < 1e-9, "{f} Hz: {z}");
    };
    near(0.0, 7.0, 0.0);
    near(10.0, 8.0, 1.0);
    near(100.0, 8.0, 1.0);
    near(200.0, 12.0, -1.0);
    near(400.0, 16.0, -3.0);
    near(5000.0, 16.0, -3.0);
}

#[test]
fn what_cannot_be_is_refused() {
    let row = |f: f64, re: f64| (hertz(f), Complex64::new(re, 0.0));
    let ideal = coils()[0];
    let errors = [
        DriverImpedance::new(ohms(0.0), ideal, None).unwrap_err(),
        DriverImpedance::new(ohms(7.0), CoilModel::Leach { k: 1.0, n: 1.5 }, None).unwrap_err(),
        DriverImpedance::new(ohms(7.0), CoilModel::SemiInductor { k: f64::NAN }, None).unwrap_err(),
        DriverImpedance::new(ohms(7.0), ideal, Some(moving(0.0, 1e-3, 0.3, 0.0))).unwrap_err(),
        DriverImpedance::new(ohms(7.0), ideal, Some(moving(1e-3, 1e-3, 0.3, -1.0))).unwrap_err(),
        ImpedanceTable::new(ohms(7.0), &[row(100.0, 8.0), row(100.0, 8.0)]).unwrap_err(),
        ImpedanceTable::new(ohms(7.0), &[]).unwrap_err(),
    ];
    let expected = [
        "the DC resistance of the coil is zero: measure it or take 0.88 of the nominal impedance",
        "the coil constant n is 1.5: it must be above 0 and at most 1",
        "the coil constant K is NaN: it must be zero or more",
        "the moving mass in kg is 0: it must be above zero",
        "the stiffness of the box in N/m is -1: it must be zero or more",
        "row 2 of the impedance table is wrong: frequencies must rise and every real part be above zero",
        "row 1 of the impedance table is wrong: frequencies must rise and every real part be above zero",
    ];
    assert_eq!(errors.map(|error: DriverError| error.to_string()), expected);
}
