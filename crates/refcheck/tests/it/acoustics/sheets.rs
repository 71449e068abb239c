//! Digest, section 10: the consistency gate on every published set. "Traps found" is the digest's own column.

use std::collections::BTreeMap;

use acoustics::Air;
use acoustics::driver::{ContradictionKind, Preference, SheetCheck, SheetValue};
use quantities::Quantity;

use super::cases::{driver, file, near, published, rows, sheet};

fn checks() -> BTreeMap<String, SheetCheck> {
    let file = file("published/drivers.json");
    let all = rows(&file, "rows");
    all.iter()
        .map(|row| (row["set"].as_str().unwrap().to_owned(), sheet(row).check(&Air::default())))
        .collect()
}

fn parameters(check: &SheetCheck) -> Vec<SheetValue> {
    let of_kind = check.contradictions.iter().filter(|c| c.kind == ContradictionKind::Parameter);
    of_kind.map(|c| c.value).collect()
}

/// Sections 10.1 and 10.4: Vas of S2, S3, S4, Qts of S5, Cms of H2 contradict, and no other set does.
#[test]
fn exactly_the_contradictory_sets() {
    let contradictory: Vec<String> =
        checks().into_iter().filter(|(_, check)| check.contradicts_itself()).map(|(set, _)| set).collect();
    assert_eq!(contradictory, ["H2", "S2", "S3", "S4", "S5"]);
}

#[test]
fn and_which_values() {
    let checks = checks();
    let found = |set: &str| parameters(&checks[set]);
    for set in ["S1", "D1", "D3", "D4", "D5", "W1"] {
        assert_eq!(found(set), [], "{set}: {:?}", checks[set]);
    }
    for (set, printed, computed) in
        [("S2", 10e-6, 52.467e-6), ("S3", 56.6e-6, 62.941e-6), ("S4", 150e-6, 14.842e-6)]
    {
        assert_eq!(found(set), [SheetValue::EquivalentVolume], "{set}");
        let contradiction = &checks[set].contradictions[0];
        near(set, contradiction.printed, printed, 1e-9);
        near(set, contradiction.computed, computed, 1e-3);
        assert!(!contradiction.rounding_explains);
        assert_eq!(checks[set].suspects, [SheetValue::PistonArea, SheetValue::EquivalentVolume]);
    }
    assert_eq!(checks["S4"].contradictions[0].misplaced_decimal, Some(1), "150 cm³ is ten times too large");
    assert_eq!(checks["S2"].contradictions[0].misplaced_decimal, None);
    assert_eq!(
        checks["S4"].contradictions[0].to_string(),
        "equivalent volume Vas is printed as 150 cm³, but compliance Cms, piston area Sd give 14.84 cm³"
    );
    // S5: "Qts from Qms, Qes is 0.92", printed 0.80.
    assert_eq!(
        (found("S5"), checks["S5"].suspects.as_slice()),
        (vec![SheetValue::TotalQ], &[SheetValue::TotalQ][..])
    );
    near("S5", checks["S5"].contradictions[0].computed, 0.92, 0.001);
}

/// Section 10.4, H2: "printed Cms 11.7 µm/N (must be mm/N)", "Bl, Re, Mms, fs give Qes 0.864, not 1.01". The latter
/// could be the rounding of a mass printed as 0.3 g, and the gate says so; the former could not.
#[test]
fn headphone_set_h2() {
    let check = &checks()["H2"];
    // Vas comes with them: 1.79 l from a mass of 0.3 g, 1.64 l printed; 0.33 g would mend it.
    assert_eq!(
        parameters(check),
        [SheetValue::Compliance, SheetValue::ElectricalQ, SheetValue::EquivalentVolume]
    );
    assert_eq!(check.suspects, [SheetValue::Compliance]);
    let [compliance, electrical_q, volume] = &check.contradictions[..] else { panic!("three: {check:?}") };
    assert_eq!((compliance.misplaced_decimal, compliance.rounding_explains), (Some(-3), false));
    near("Qes", electrical_q.computed, 0.864, 1e-3);
    assert!(electrical_q.rounding_explains && volume.rounding_explains);
}

/// Section 10.2: "Mms with one digit" makes fs of D2 (558 Hz for 589.1 Hz) pass the 5 % gate the wrong way; a mass of
/// 0.36 g, which rounds to 0.4 g, mends it.
#[test]
fn one_digit_mass_of_d2() {
    let check = &checks()["D2"];
    assert_eq!(parameters(check), [SheetValue::Resonance]);
    assert!(check.contradictions[0].rounding_explains && !check.contradicts_itself());
    near("D2", check.contradictions[0].computed, 557.97, 1e-4);
}

/// Section 10.1, S5: "type code says 8, Re says 4".
#[test]
fn nominal_impedance_of_s5() {
    let mut sheet = published("S5");
    sheet.nominal_impedance = quantities::Resistance::from_ohms(8.0);
    let check = sheet.check(&Air::default());
    let nominal =
        check.contradictions.iter().find(|c| c.kind == ContradictionKind::NominalImpedance).unwrap();
    near("Re/0.88", nominal.computed, 3.4 / 0.88, 1e-9);
    assert!(
        published("S5")
            .check(&Air::default())
            .contradictions
            .iter()
            .all(|c| c.value != SheetValue::NominalImpedance)
    );
}

/// The printed sensitivities of S1, S3, S4 agree with the parameters within 1 dB (76.5, 77.3, 76.2 for 75.87, 77.35,
/// 75.94; V11, V13, V14); S2 prints 80.0 for 78.02 (V12) and is reported, as a level and not as a broken identity.
#[test]
fn levels() {
    let checks = checks();
    let levels =
        |set: &str| checks[set].contradictions.iter().filter(|c| c.kind == ContradictionKind::Level).count();
    assert_eq!(["S1", "S3", "S4"].map(levels), [0, 0, 0]);
    assert_eq!(levels("S2"), 1);
}

/// Every printed fs, Qms, Qes, Qts of the sound sets is reproduced within the gate of section 2.1.
#[test]
fn stated_values_are_reproduced() {
    let file = file("published/drivers.json");
    let mut compared = 0;
    for row in rows(&file, "rows") {
        let name = row["set"].as_str().unwrap();
        if ["S1", "S2", "S3", "S4", "D1", "D4"].contains(&name) {
            let printed = sheet(&row);
            let driver = driver(name);
            near(name, driver.resonance().as_hertz(), printed.resonance.unwrap().as_hertz(), 0.05);
            near(name, driver.mechanical_q(), printed.mechanical_q.unwrap(), 0.05);
            near(name, driver.electrical_q(), printed.electrical_q.unwrap(), 0.05);
            near(name, driver.total_q(), printed.total_q.unwrap(), 0.05);
            compared += 1;
        }
    }
    assert_eq!(compared, 6);
}

/// A driver from Re, fs, Qms, Qes, Vas, Sd alone is the driver from Bl, Mms, Cms, Rms: set S1, whose Vas agrees.
#[test]
fn small_signal_values_lead_to_the_same_driver() {
    let air = Air::default();
    let s1 = driver("S1");
    let mut poor = published("S1");
    poor.force_factor = None;
    poor.moving_mass = None;
    poor.compliance = None;
    poor.mechanical_resistance = None;
    poor.resonance = Some(s1.resonance());
    poor.mechanical_q = Some(s1.mechanical_q());
    poor.electrical_q = Some(s1.electrical_q());
    poor.total_q = None;
    poor.equivalent_volume = Some(s1.equivalent_volume(&air));
    let again = poor.determine(&air, Preference::Construction).unwrap();
    for (one, other) in [
        (again.parameters().force_factor.as_si(), 2.20),
        (again.parameters().moving_mass.as_si(), 0.5e-3),
        (again.parameters().compliance.as_si(), 680e-6),
        (again.parameters().mechanical_resistance.as_si(), 0.30),
    ] {
        near("S1", one, other, 1e-9);
    }
}
