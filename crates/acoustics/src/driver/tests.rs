//! Drivers from subsets, from poor sheets, and the gate on sheets that are right by construction.

use proptest::prelude::*;
use quantities::{Frequency, Quantity, Resistance};

use super::*;

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

/// A driver of model size from eight numbers between 0 and 1.
pub(crate) fn some_driver(dials: [f64; 8]) -> Driver {
    let [re, bl, mass, compliance, damping, area, le, excursion] = dials;
    let between = |least: f64, most: f64, dial: f64| least * (most / least).powf(dial);
    Driver::new(Parameters {
        nominal_impedance: saturated(between(3.0, 32.0, re) / 0.88),
        coil_resistance: saturated(between(3.0, 32.0, re)),
        coil_inductance: saturated(between(1e-5, 5e-4, le)),
        force_factor: saturated(between(0.3, 4.0, bl)),
        moving_mass: saturated(between(0.03e-3, 2e-3, mass)),
        compliance: saturated(between(1e-4, 2e-3, compliance)),
        mechanical_resistance: saturated(between(0.02, 0.5, damping)),
        piston_area: saturated(between(0.3e-4, 10e-4, area)),
        peak_excursion: saturated(between(0.2e-3, 2e-3, excursion)),
        rated_power: saturated(1.0),
    })
    .unwrap()
}

pub(crate) fn dials() -> impl Strategy<Value = [f64; 8]> {
    prop::array::uniform8(0.0..1.0f64)
}

/// Everything that a sheet could print about a driver.
fn everything_printed(driver: &Driver) -> Sheet {
    let air = Air::default();
    let p = driver.parameters();
    Sheet {
        nominal_impedance: Some(p.nominal_impedance),
        coil_resistance: Some(p.coil_resistance),
        coil_inductance: Some(p.coil_inductance),
        force_factor: Some(p.force_factor),
        moving_mass: Some(p.moving_mass),
        compliance: Some(p.compliance),
        mechanical_resistance: Some(p.mechanical_resistance),
        piston_area: Some(p.piston_area),
        resonance: Some(driver.resonance()),
        boxed_resonance: None,
        mechanical_q: Some(driver.mechanical_q()),
        electrical_q: Some(driver.electrical_q()),
        total_q: Some(driver.total_q()),
        equivalent_volume: Some(driver.equivalent_volume(&air)),
        sensitivity: vec![QuotedLevel {
            level: driver.level_at_one_watt(&air),
            drive: QuotedDrive::IntoCoil(saturated(1.0)),
            distance: saturated(1.0),
            space: crate::Space::Half,
        }],
        peak_excursion: Some(p.peak_excursion),
        rated_power: Some(p.rated_power),
        outline: None,
    }
}

#[track_caller]
fn same(one: &Driver, other: &Driver) {
    let of = |driver: &Driver| {
        let p = driver.parameters();
        [
            p.coil_resistance.as_si(),
            p.force_factor.as_si(),
            p.moving_mass.as_si(),
            p.compliance.as_si(),
            p.mechanical_resistance.as_si(),
            p.piston_area.as_si(),
        ]
    };
    for (a, b) in of(one).into_iter().zip(of(other)) {
        assert!((a / b - 1.0).abs() < 1e-9, "{one:?}\n{other:?}");
    }
}

proptest! {
    /// Any one way to leave out construction values still leads to the same driver.
    #[test]
    fn subsets_lead_back(dials in dials(), way in 0..6usize) {
        let driver = some_driver(dials);
        let mut sheet = everything_printed(&driver);
        let s = &mut sheet;
        match way {
            // fs, Qms, Qes, Vas, Sd, Re.
            0 => (s.force_factor, s.moving_mass, s.compliance, s.mechanical_resistance, s.total_q) = (None, None, None, None, None),
            // Qts for Qes.
            1 => (s.force_factor, s.electrical_q) = (None, None),
            // The sensitivity for the volume.
            2 => (s.force_factor, s.moving_mass, s.compliance, s.equivalent_volume) = (None, None, None, None),
            // Bl, Cms and Qes with Re: the mass and the resonance follow together only.
            3 => (s.moving_mass, s.resonance, s.equivalent_volume, s.mechanical_q, s.total_q) = (None, None, None, None, None),
            // The piston area from the volume.
            4 => s.piston_area = None,
            // Re from Qes.
            _ => s.coil_resistance = None,
        }
        if way == 3 {
            s.sensitivity.clear();
        }
        let again = sheet.determine(&Air::default(), Preference::SmallSignal);
        same(&again.unwrap(), &driver);
    }

    /// A sheet that was computed from a driver does not contradict itself, whatever is left out of it.
    #[test]
    fn right_sheets_pass_the_gate(dials in dials(), leave_out in 0..8usize) {
        let mut sheet = everything_printed(&some_driver(dials));
        match leave_out {
            0 => sheet.compliance = None,
            1 => sheet.moving_mass = None,
            2 => sheet.resonance = None,
            3 => sheet.total_q = None,
            _ => {}
        }
        let check = sheet.check(&Air::default());
        prop_assert_eq!(check, SheetCheck::default());
    }

    /// One misprinted value is among the suspects, and the sheet is said to contradict itself.
    #[test]
    fn a_misprint_is_suspected(dials in dials(), which in 0..7usize, factor in prop::sample::select(vec![0.1, 0.5, 2.0, 10.0])) {
        let mut sheet = everything_printed(&some_driver(dials));
        let spoilt = |si: f64| si * factor;
        let value = match which {
            0 => { sheet.resonance = sheet.resonance.map(|v| saturated(spoilt(v.as_si()))); SheetValue::Resonance }
            1 => { sheet.mechanical_q = sheet.mechanical_q.map(spoilt); SheetValue::MechanicalQ }
            2 => { sheet.electrical_q = sheet.electrical_q.map(spoilt); SheetValue::ElectricalQ }
            3 => { sheet.total_q = sheet.total_q.map(spoilt); SheetValue::TotalQ }
            4 => { sheet.equivalent_volume = sheet.equivalent_volume.map(|v| saturated(spoilt(v.as_si()))); SheetValue::EquivalentVolume }
            5 => { sheet.compliance = sheet.compliance.map(|v| saturated(spoilt(v.as_si()))); SheetValue::Compliance }
            _ => { sheet.moving_mass = sheet.moving_mass.map(|v| saturated(spoilt(v.as_si()))); SheetValue::MovingMass }
        };
        let check = sheet.check(&Air::default());
        prop_assert!(check.contradicts_itself());
        prop_assert!(check.suspects.contains(&value), "{:?} not among {:?}: {:?}", value, check.suspects, check.contradictions);
    }

    /// A poor sheet of any size makes a driver of the size's kind, says what it assumed, and keeps what is printed.
    #[test]
    fn poor_sheets_are_completed(millimetres in 8.0..40.0f64, watts in 0.2..3.0f64, ohms in prop::sample::select(vec![4.0, 8.0, 16.0])) {
        let sheet = Sheet {
            nominal_impedance: Resistance::from_ohms(ohms),
            outline: Some(Outline::Round(saturated(millimetres * 1e-3))),
            rated_power: Some(saturated(watts)),
            ..Sheet::default()
        };
        let completed = sheet.complete(&Air::default(), Preference::Construction).unwrap();
        let part = completed.driver;
        prop_assert_eq!(part.parameters().rated_power, saturated(watts));
        prop_assert!((0.85..0.91).contains(&(part.parameters().coil_resistance.as_ohms() / ohms)));
        prop_assert!((100.0..=750.3).contains(&part.resonance().as_hertz()), "fs {}", part.resonance());
        prop_assert!((0.4..6.0).contains(&part.total_q()), "Qts {}", part.total_q());
        prop_assert_eq!(completed.assumed.len(), 8);
    }
}

#[test]
fn zero_is_refused() {
    let mut parameters = *some_driver([0.5; 8]).parameters();
    parameters.moving_mass = saturated(0.0);
    let error = Driver::new(parameters).unwrap_err();
    assert_eq!(error, DriverError::Zero { value: SheetValue::MovingMass });
    assert_eq!(error.to_string(), "a driver cannot have zero moving mass Mms");
}

#[test]
fn missing_values_are_all_named() {
    let sheet = Sheet { coil_resistance: Some(q("7 ohm")), resonance: Some(q("500 Hz")), ..Sheet::default() };
    let error = sheet.determine(&Air::default(), Preference::Construction).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the sheet does not settle force factor Bl, moving mass Mms, compliance Cms, mechanical resistance Rms, \
         piston area Sd, nominal impedance, coil inductance Le, peak excursion xmax, rated power"
    );
}

#[test]
fn assumptions_say_their_rule() {
    let sheet = Sheet { nominal_impedance: Some(q("8 ohm")), ..everything_printed(&some_driver([0.5; 8])) };
    let completed =
        Sheet { peak_excursion: None, ..sheet }.complete(&Air::default(), Preference::Construction);
    let assumed: Vec<String> = completed.unwrap().assumed.iter().map(ToString::to_string).collect();
    assert_eq!(
        assumed,
        [
            "peak excursion xmax taken as 0.463 mm: 0.35 mm at 1.0 cm² with the square root of Sd, 0.7 mm at 3.9 cm² \
          (digest, sections 10.3 (from memory) and 10.1 set S1)"
        ]
    );
}

/// A phone-type sheet that prints a free and a boxed resonance: Vas follows from them, and mass and compliance from it.
#[test]
fn printed_resonances_come_before_assumptions() {
    let sheet = Sheet {
        nominal_impedance: Some(q("8 ohm")),
        resonance: Some(q("500 Hz")),
        boxed_resonance: Some((q("0.5 cm3"), q("800 Hz"))),
        outline: Some(Outline::Rectangular(q("12 mm"), q("8 mm"))),
        ..Sheet::default()
    };
    let completed = sheet.complete(&Air::default(), Preference::Construction).unwrap();
    assert_eq!(completed.driver.resonance().to_string(), "500 Hz");
    assert_eq!(completed.driver.equivalent_volume(&Air::default()).to_string(), "780 mm³");
    let assumed: Vec<SheetValue> = completed.assumed.iter().map(|one| one.value).collect();
    assert!(!assumed.contains(&SheetValue::MovingMass) && !assumed.contains(&SheetValue::Resonance));
}

/// Where the coil alone is known, the nominal impedance is the usual one nearest.
#[test]
fn nominal_impedance_by_the_coil() {
    for (coil, nominal) in [("3.5 ohm", 4.0), ("7.3 ohm", 8.0), ("14 ohm", 16.0), ("29 ohm", 32.0)] {
        let sheet = Sheet { coil_resistance: Some(q(coil)), ..Sheet::default() };
        let part = sheet.complete(&Air::default(), Preference::Construction).unwrap().driver;
        assert_eq!(part.parameters().nominal_impedance, saturated(nominal), "{coil}");
    }
}

/// With a preference for small-signal values the mass of one digit does not spoil the level.
#[test]
fn preference_decides_what_wins() {
    let mut sheet = everything_printed(&some_driver([0.5; 8]));
    sheet.moving_mass = sheet.moving_mass.map(|mass| saturated(mass.as_si() * 1.2));
    let by = |preference| sheet.determine(&Air::default(), preference).unwrap();
    let printed: Frequency = sheet.resonance.unwrap();
    assert_eq!(by(Preference::SmallSignal).resonance().to_string(), printed.to_string());
    assert!(by(Preference::Construction).resonance() < printed * 0.95);
}
