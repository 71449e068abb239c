//! Digest, sections 2.8 to 2.11 (V28 to V32): pistons, pairs, unboxed drivers. Special functions are in `scipy`.

use acoustics::radiation::{
    MassLoad, PairRelation, dipole_gain, dipole_null, dipole_peak, dipole_unity, directivity,
    first_null_angle_degrees, opposition_residual, pair_end_fire, pair_power,
};
use acoustics::{Air, Enclosure, Listening, System, table_top_limit};
use quantities::{Frequency, Length};

use super::cases::{agrees, driver, file, near, number, printed, q, rows};

/// The frequency at which a spacing of 100 mm has this kd.
fn at_kd(kd: f64) -> (Length, Frequency) {
    let spacing = q::<Length>("100 mm");
    let hertz = kd * Air::default().sound_speed().as_metres_per_second() / (std::f64::consts::TAU * 0.1);
    (spacing, Frequency::from_hertz(hertz).unwrap())
}

/// Section 2.9, first table (V28, V29).
#[test]
fn pairs_by_kd() {
    let air = Air::default();
    let file = file("digest/pair.json");
    for row in rows(&file, "rows") {
        let kd = number(&row["kd"]);
        let (spacing, frequency) = at_kd(kd);
        let power = |relation| pair_power(relation, spacing, frequency, &air).as_decibels();
        let (in_phase, opposed) = (power(PairRelation::InPhase), power(PairRelation::Opposed));
        let what = format!("kd {kd}");
        agrees(&what, in_phase, row["in_phase"].as_str().unwrap());
        agrees(&what, opposed, row["opposed"].as_str().unwrap());
        agrees(&what, opposed - in_phase, row["difference"].as_str().unwrap());
        if let Some(text) = row["end_fire"].as_str() {
            agrees(&what, pair_end_fire(PairRelation::Opposed, spacing, frequency, &air).as_decibels(), text);
        }
    }
    // V28: ratios 3.682942 and 0.317058 at kd = 1.
    let (spacing, frequency) = at_kd(1.0);
    let ratio = |relation| 10f64.powf(pair_power(relation, spacing, frequency, &air).as_decibels() / 10.0);
    agrees("V28", ratio(PairRelation::InPhase), "3.682942");
    agrees("V28", ratio(PairRelation::Opposed), "0.317058");
    // The dipole's null at kd = 2π is deep.
    let (spacing, frequency) = at_kd(std::f64::consts::TAU);
    assert!(pair_end_fire(PairRelation::Opposed, spacing, frequency, &air).as_decibels() < -250.0);
}

/// Section 2.9, second table, and V30.
#[test]
fn opposition_at_real_spacings() {
    let air = Air::default();
    let loss = |spacing: Length, frequency: Frequency| {
        pair_power(PairRelation::Opposed, spacing, frequency, &air).as_decibels()
            - pair_power(PairRelation::InPhase, spacing, frequency, &air).as_decibels()
    };
    let file = file("digest/opposition-loss.json");
    let frequencies = rows(&file, "hertz");
    for row in rows(&file, "rows") {
        let spacing = Length::from_metres(number(&row["mm"]) * 1e-3).unwrap();
        for (frequency, text) in frequencies.iter().zip(rows(&row, "db")) {
            let frequency = Frequency::from_hertz(number(frequency)).unwrap();
            // The digest rounded twice (-23.949, -23.95, -24.0), so a half of the next digit comes on top.
            let (expected, half_digit) = printed(text.as_str().unwrap());
            let error = (loss(spacing, frequency) - expected).abs();
            assert!(error <= half_digit + 0.005, "{spacing} at {frequency}: off by {error}");
        }
    }
    agrees("V30", loss(q("30 mm"), q("1 kHz")), "-15.95");
}

/// Section 2.9, unequal drivers (V31).
#[test]
fn mismatch() {
    for (percent, decibels) in [(5.0, "-31.8"), (10.0, "-25.58"), (20.0, "-19.1"), (30.0, "-15.1")] {
        agrees("mismatch", opposition_residual(1.0, 1.0 - percent / 100.0).as_decibels(), decibels);
    }
}

/// Section 2.11 (V32).
#[test]
fn unboxed() {
    let air = Air::default();
    let decibels = |path: &str, hertz: &str| dipole_gain(q(path), q(hertz), &air).as_decibels();
    // The same on a whole driver: level without box against level with the rear wave kept away.
    let whole_driver = |path: &str, hertz: &str| {
        let level = |enclosure| {
            let system = System::new(driver("S1"), enclosure, air);
            system.level(q(hertz), q("1 V"), &Listening::default()).as_decibels_re_20_micropascal()
        };
        level(Enclosure::Unboxed { path: q(path) }) - level(Enclosure::Separated)
    };
    for (path, levels) in [
        ("20 mm", ["-22.7", "-14.8", "-8.8", "-2.9"]),
        ("30 mm", ["-19.2", "-11.3", "-5.3", "0.4"]),
        ("40 mm", ["-16.7", "-8.8", "-2.9", "2.5"]),
    ] {
        for (hertz, text) in ["200 Hz", "500 Hz", "1 kHz", "2 kHz"].into_iter().zip(levels) {
            agrees(&format!("{path}, {hertz}"), decibels(path, hertz), text);
            agrees(&format!("{path}, {hertz}, whole driver"), whole_driver(path, hertz), text);
        }
    }
    let path = q::<Length>("20 mm");
    agrees("unity", dipole_unity(path, &air).as_hertz(), "2860");
    agrees("peak", dipole_peak(path, &air).as_hertz(), "8580");
    agrees("null", dipole_null(path, &air).as_hertz(), "17161");
    agrees("30 mm", dipole_unity(q("30 mm"), &air).as_hertz(), "1907");
    agrees("40 mm", dipole_unity(q("40 mm"), &air).as_hertz(), "1430");
}

/// Section 2.8: mass factors, and the first null at `ka·sin θ = 3.8317`.
#[test]
fn pistons() {
    let air = Air::default();
    let radius = q::<Length>("11.14 mm");
    let unit = air.kilograms_per_cubic_metre() * std::f64::consts::PI * radius.as_metres().powi(3);
    for (load, factor) in
        [(MassLoad::Free, "0.4244"), (MassLoad::ClosedBack, "0.6366"), (MassLoad::Baffled, "0.8488")]
    {
        agrees("mass", load.mass(radius, &air).as_kilograms() / unit, factor);
    }
    let high = q::<Frequency>("20 kHz");
    let angle = first_null_angle_degrees(radius, high, &air).unwrap();
    let ka = std::f64::consts::TAU * high.as_hertz() / air.sound_speed().as_metres_per_second()
        * radius.as_metres();
    near("null", ka * angle.to_radians().sin(), 3.8317, 1e-4);
    assert!(directivity(radius, high, angle, &air).abs() < 1e-12);
    // ka = 1 at 4903 Hz: no null there.
    assert_eq!(first_null_angle_degrees(radius, q("4903 Hz"), &air), None);
}

/// Section 0, convention 3: `c/(2π·height)`, worked by hand for 30 mm: 343.21/0.188496 = 1820.8 Hz.
#[test]
fn table_top() {
    near("30 mm", table_top_limit(q("30 mm"), &Air::default()).as_hertz(), 1820.8, 1e-4);
}
