//! Momentum, speed curves, stops: sections 2.2, 2.3, 4.2 and 4.3 of the digest (S-9.2, S-9.2.1, S-9.2.2), and the curve of
//! section 7 of the digest on acoustics and electrics.

use super::OnRails;
use crate::dcc::{Row, row, run};

/// The straight table: entry n holds 255·n/28, so that speed and place on the scale of steps agree to half a count.
const STRAIGHT: &str = "CV29 = 22\n";
/// Half a count of a table entry, and one idle packet of 6.028 ms of the shortest range that is measured.
const ROUNDING: f64 = 0.5 / 255.0;

struct Momentum {
    cvs: &'static str,
    /// Seconds from stop to full speed.
    full_range: f64,
}

static MOMENTUM: &[Row<Momentum>] = &[
    row("T CV3 = 2", "4.3: 1.792 s", Momentum { cvs: "CV3 = 2\n", full_range: 1.792 }),
    row("T CV3 = 25; K58", "4.3: 22.4 s", Momentum { cvs: "CV3 = 25\n", full_range: 22.4 }),
    row("T CV3 = 100", "4.3: 89.6 s", Momentum { cvs: "CV3 = 100\n", full_range: 89.6 }),
    row("T CV3 = 255", "4.3: 228.48 s", Momentum { cvs: "CV3 = 255\n", full_range: 228.48 }),
    row(
        "K59",
        "S-9.2.2 CV23: 20 − 10, 0.32 s per step of 28",
        Momentum { cvs: "CV3 = 20\nCV23 = 138\n", full_range: 28.0 * 0.32 },
    ),
];

#[test]
fn acceleration_takes_as_long_as_cv3_says() {
    run(MOMENTUM, |case, name| {
        let mut on_rails = OnRails::new("nmra", &format!("{STRAIGHT}{}", case.cvs));
        // Step 28 forward to address 3 (K19).
        on_rails.operations("1 03 7F 7C");
        for quarter in 1..=4 {
            on_rails.idle(case.full_range / 4.0 + if quarter == 4 { 0.02 } else { 0.0 });
            let (expected, found) = (f64::from(quarter) / 4.0, on_rails.seen().speed);
            let tolerance = ROUNDING + 0.0121 / case.full_range * f64::from(quarter);
            assert!((found - expected).abs() <= tolerance, "{name}: {found} after {quarter} quarters");
        }
    });
}

#[test]
fn k57_one_step_in_64_milliseconds() {
    // CV3 = 2 at 28 steps (S-9.2.2 CV3, printed): step 14 after 14 · 0.064 s.
    let mut on_rails = OnRails::new("nmra", &format!("{STRAIGHT}CV3 = 2\n"));
    on_rails.operations("1 03 7F 7C");
    on_rails.idle(14.0 * 0.064);
    assert!((on_rails.seen().speed - 0.5).abs() <= ROUNDING + 0.006_028 / 1.792, "{}", on_rails.seen().speed);
}

#[test]
fn k60_an_adjustment_below_zero_is_no_delay() {
    let mut on_rails = OnRails::new("nmra", &format!("{STRAIGHT}CV3 = 5\nCV23 = 148\n"));
    on_rails.operations("1 03 7F 7C");
    assert!((on_rails.seen().speed - 1.0).abs() < 1e-9);
}

struct Level {
    packet: &'static str,
    /// Motor level of 255.
    level: f64,
}

/// 28 steps, 4 / 70 / 180 with the middle at step 14.
static CURVE: &[Row<Level>] = &[
    row("T step 1", "acoustics digest, section 7", Level { packet: "1 03 62 61", level: 4.00 }),
    row("T step 2", "acoustics digest, section 7", Level { packet: "1 03 72 71", level: 9.08 }),
    row("T step 3", "acoustics digest, section 7", Level { packet: "1 03 63 60", level: 14.15 }),
    row("T step 13", "acoustics digest, section 7", Level { packet: "1 03 68 6B", level: 64.92 }),
    row("T step 14", "acoustics digest, section 7", Level { packet: "1 03 78 7B", level: 70.00 }),
    row("T step 15", "acoustics digest, section 7", Level { packet: "1 03 69 6A", level: 77.86 }),
    row("T step 27", "acoustics digest, section 7", Level { packet: "1 03 6F 6C", level: 172.14 }),
    row("K19, step 28", "acoustics digest, section 7", Level { packet: "1 03 7F 7C", level: 180.00 }),
];

#[test]
fn three_points_make_the_curve() {
    run(CURVE, |case, name| {
        let mut on_rails = OnRails::new("nmra", "CV2 = 4\nCV6 = 70\nCV5 = 180\n");
        on_rails.operations(case.packet);
        let found = on_rails.seen().speed * 255.0;
        // The source prints two decimals.
        assert!((found - case.level).abs() <= 0.0051, "{name}: {found}");
    });
}

struct Stop {
    packet: &'static str,
    is_at_once: bool,
}

static STOPS: &[Row<Stop>] = &[
    row("K07", "S-9.2 §B broadcast stop", Stop { packet: "1 00 60 60", is_at_once: false }),
    row("K08", "S-9.2 §B broadcast, motor cut", Stop { packet: "1 00 61 61", is_at_once: true }),
    row(
        "K09",
        "S-9.2 §B broadcast stop, direction ignored",
        Stop { packet: "1 00 50 50", is_at_once: false },
    ),
    row(
        "K10",
        "S-9.2 §B broadcast, motor cut, direction ignored",
        Stop { packet: "1 00 51 51", is_at_once: true },
    ),
    row("K22", "S-9.2.1 §C stop in 126 steps", Stop { packet: "1 03 3F 80 BC", is_at_once: false }),
    row("K26", "S-9.2.1 §C emergency stop", Stop { packet: "1 03 3F 81 BD", is_at_once: true }),
    row("K05", "S-9.2 §B reset", Stop { packet: "1 00 00 00", is_at_once: true }),
];

#[test]
fn stops_slow_down_or_cut_off() {
    run(STOPS, |case, name| {
        let mut on_rails = OnRails::new("nmra", &format!("{STRAIGHT}CV4 = 10\n"));
        on_rails.operations("1 03 7F 7C");
        on_rails.operations(case.packet);
        on_rails.idle(1.0);
        let seen = on_rails.seen();
        assert_eq!(seen.speed <= 0.0, case.is_at_once, "{name}: {}", seen.speed);
        on_rails.idle(10.0);
        assert!(on_rails.seen().speed <= 0.0, "{name}");
    });
}

/// K11: `03 3F B3 8E` has a wrong check octet. K13, K14: nine ones are no preamble, twelve are.
#[test]
fn packets_that_are_none_are_not_obeyed() {
    for (octets, preamble, is_obeyed) in [
        ([3, 0x3F, 0xB3, 0x8E], 16, false),
        ([3, 0x3F, 0xB3, 0x8F], 9, false),
        ([3, 0x3F, 0xB3, 0x8F], 12, true),
    ] {
        let mut on_rails = OnRails::new("nmra", STRAIGHT);
        // A zero ends whatever ones were there, so that the preamble has the length that is meant.
        track::Rails::drive(&mut on_rails.locomotive, &[100, 100], &mut on_rails.milliamperes);
        on_rails.send_octets(&octets, preamble);
        assert_eq!(on_rails.seen().speed > 0.0, is_obeyed, "{preamble} ones");
    }
}
