//! Digest, section 4: firing frequencies, notches, head-end power, horn notes (V48 to V51, V67).

use acoustics::sound::{
    CHORDS, Cycle, Engine, Notch, Pitch, chuffs_per_second, cycle_frequency, firing_frequency, power_share,
    synchronous_speed,
};
use quantities::{Frequency, Length, RotationalSpeed, Speed};

use super::cases::{agrees, file, near, number, q, rows};

/// Section 4.1, table (V48).
#[test]
fn firing() {
    let file = file("digest/firing.json");
    for row in rows(&file, "rows") {
        let cycle = if number(&row["strokes"]) < 3.0 { Cycle::TwoStroke } else { Cycle::FourStroke };
        let cylinders = u32::try_from(row["cylinders"].as_u64().unwrap()).unwrap();
        let speed = RotationalSpeed::from_rpm(number(&row["rpm"])).unwrap();
        agrees(
            "firing",
            firing_frequency(cylinders, cycle, speed).as_hertz(),
            row["firing"].as_str().unwrap(),
        );
        agrees("cycle", cycle_frequency(cycle, speed).as_hertz(), row["cycle"].as_str().unwrap());
    }
}

/// Section 4.1, steam (V50).
#[test]
fn chuffs() {
    let at = |cylinders, speed: &str, wheel: &str| {
        chuffs_per_second(cylinders, q::<Speed>(speed), q::<Length>(wheel)).as_hertz()
    };
    agrees("V50", at(2, "40 km/h", "1.6 m"), "8.842");
    agrees("three cylinders", at(3, "40 km/h", "1.6 m"), "13.26");
    agrees("63 inch at 25 mph", at(2, "25 mph", "63 in"), "8.89");
}

/// Section 4.3 (V49).
#[test]
fn head_end_power() {
    let rpm = |supply: &str, poles| synchronous_speed(q::<Frequency>(supply), poles).unwrap().as_rpm();
    for (poles, expected) in [(2, 3600.0), (4, 1800.0), (6, 1200.0), (8, 900.0), (10, 720.0), (12, 600.0)] {
        near("60 Hz", rpm("60 Hz", poles), expected, 1e-12);
    }
    for (poles, expected) in [(4, 1500.0), (6, 1000.0), (8, 750.0)] {
        near("50 Hz", rpm("50 Hz", poles), expected, 1e-12);
    }
    // A generator set at 1800 rpm, V12 four-stroke: 180 Hz.
    let set = Engine::generator_set(12, Cycle::FourStroke, q("60 Hz"), 4).unwrap();
    near("set", set.firing_frequency(set.speed(Notch::Idle)).as_hertz(), 180.0, 1e-12);
}

/// Section 4.2: the published powers, the step from notch 4 to 8, and V67 (40 CFR 1033.530 Table 1 with White's
/// powers; idle and dynamic brake counted as no power there).
#[test]
fn notches() {
    let share = |number: u8| power_share(Notch::run(number).unwrap()).as_percent();
    for (number, text) in (1..=8).zip(["3.3", "9.6", "20.0", "32.4", "48.8", "64.1", "83.0", "100.0"]) {
        agrees("share", share(number), text);
    }
    agrees("4 to 8", 10.0 * (share(8) / share(4)).log10(), "4.9");
    let mean =
        |times: [f64; 8]| -> f64 { (1..=8).zip(times).map(|(number, time)| time * share(number)).sum() };
    agrees("V67 line haul", mean([0.065, 0.065, 0.052, 0.044, 0.038, 0.039, 0.030, 0.162]), "26.35");
    agrees("V67 switching", mean([0.124, 0.123, 0.058, 0.036, 0.036, 0.015, 0.002, 0.008]), "7.60");
}

/// Section 4.4, notes (V51).
#[test]
fn notes() {
    let file = file("digest/notes.json");
    for row in rows(&file, "rows") {
        let name = row["note"].as_str().unwrap();
        let pitch = Pitch::parse(name).unwrap();
        agrees(name, pitch.frequency().as_hertz(), row["hertz"].as_str().unwrap());
        assert_eq!(pitch.to_string(), name);
    }
}

/// Section 4.4, chords.
#[test]
fn chords() {
    let file = file("digest/chords.json");
    let expected = rows(&file, "rows");
    assert_eq!(expected.len(), CHORDS.len());
    for (chord, row) in CHORDS.iter().zip(expected) {
        let names: Vec<String> = chord.notes.iter().map(ToString::to_string).collect();
        assert_eq!(serde_json::json!(names), row["notes"], "{}", chord.name);
        for (note, text) in chord.notes.iter().zip(rows(&row, "hertz")) {
            agrees(chord.name, note.frequency().as_hertz(), text.as_str().unwrap());
        }
    }
}
