//! The voice: levels and engine speeds, sections 4.1, 4.3 and 5 of the digest on acoustics and electrics.

use bench::{Heard, Locomotive, read_truth};
use datasheets::{Deed, Shelf, read_sheet};
use dcc::timing::SenderTiming;
use dcc::{PREAMBLE_OPERATIONS, Packet};
use track::Rails;

use crate::dcc::{Row, row, run};

const SHEET: &str = r#"
[part]
name = "voice"
kind = "decoder"
title = "for outside checks"
[decoder]
sockets = ["wires"]
motor-current = "1 A"
manufacturer = 13
version = 1
modes = ["direct"]
reading = "NMRA"
cvs = ["1-29"]
lock = false
[amplifier]
power = "1 W"
load = "8 ohm"
least-load = "8 ohm"
[key-map]
method = "deed table"
highest-key = 12
deed = [
  { does = "horn", cv = 60, default = 2 },
  { does = "head-end power", cv = 61, default = 4 },
  { does = "engine", cv = 62, default = 1 },
]
[[role]]
name = "level.horn"
cv = 50
law = { kind = "amplitude", full = 255 }
[[role]]
name = "voice.engine"
cv = 51
choices = [{ value = 0, is = { kind = "diesel", cylinders = 16, strokes = 2, idle = "315 rpm", full = "900 rpm" } }]
[[role]]
name = "voice.head-end-power"
cv = 52
choices = [
  { value = 0, is = { head-end-power = "none", present = false } },
  { value = 1, is = { head-end-power = "main engine" } },
  { value = 2, is = { head-end-power = "generator set" } },
  { value = 3, is = { head-end-power = "standby" } },
]
"#;

/// What is heard with these CVs after these packets to address 3.
fn heard(cvs: &str, packets: &[&[u8]]) -> Heard {
    let mut shelf = Shelf::default();
    shelf.add(read_sheet("voice", SHEET).unwrap_or_else(|faults| panic!("{faults}")).value);
    let text = format!(
        "truth.title = \"check\"\ndecoder.part = \"voice\"\nmotor.resistance = \"24 ohm\"\n[cv]\n{cvs}\n\
         [[speaker]]\nname = \"A\"\nresistance = \"7 ohm\"\n[[wire]]\nfrom = \"amplifier.1\"\nto = \"A.plus\"\n\
         [[wire]]\nfrom = \"A.minus\"\nto = \"amplifier.2\"\n"
    );
    let truth = read_truth("check.toml", &text, &shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
    let mut locomotive = Locomotive::new(&truth, &shelf, 1).unwrap();
    locomotive.set_power(true);
    for payload in packets {
        let packet = Packet::from_payload(payload).unwrap();
        let half_bits: Vec<u32> = packet.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL).collect();
        locomotive.drive(&half_bits, &mut Vec::new());
    }
    locomotive.observe().heard
}

/// "255: 0; 230: −0.90; … 1: −48.13 dB" (section 5; V52).
static LEVELS: &[Row<(u8, f64)>] = &[
    row("T 255", "section 5", (255, 0.0)),
    row("T 230", "section 5", (230, -0.90)),
    row("T 192", "section 5", (192, -2.46)),
    row("T 160", "section 5", (160, -4.05)),
    row("V52, 128", "section 5", (128, -5.99)),
    row("T 64", "section 5", (64, -12.01)),
    row("T 16", "section 5", (16, -24.05)),
    row("T 1", "section 5", (1, -48.13)),
];

#[test]
fn levels_of_a_linear_register() {
    run(LEVELS, |(register, decibels), name| {
        let heard = heard(&format!("CV50 = {register}"), &[&[3, 0x82]]);
        let found = heard.sound(Deed::Horn).unwrap().level.as_decibels();
        // Two printed decimals.
        assert!((found - decibels).abs() <= 0.0051, "{name}: {found}");
    });
}

/// What turns, with which choice of head-end power, at which packets: functions F1 (engine) and F4 (head-end power) as
/// `100D DDDD`, speed as `01DC SSSS`.
struct Speed {
    head_end: u8,
    packets: &'static [&'static [u8]],
    engine: f64,
    set: Option<f64>,
}

const fn speed(head_end: u8, packets: &'static [&'static [u8]], engine: f64, set: Option<f64>) -> Speed {
    Speed { head_end, packets, engine, set }
}

const STANDING: &[&[u8]] = &[&[3, 0x81]];
const STANDING_FOR_TRAIN: &[&[u8]] = &[&[3, 0x89]];
const RUNNING_FOR_TRAIN: &[&[u8]] = &[&[3, 0x89], &[3, 0x62]];
const FULL: &[&[u8]] = &[&[3, 0x81], &[3, 0x7F]];

static SPEEDS: &[Row<Speed>] = &[
    row("T V16 two-stroke, idle", "section 4.1", speed(0, STANDING, 315.0, None)),
    row("T V16 two-stroke, full", "section 4.1", speed(0, FULL, 900.0, None)),
    row(
        "V49, 8 poles: main engine, even standing",
        "section 4.3 (a)",
        speed(1, STANDING_FOR_TRAIN, 900.0, None),
    ),
    row("V49, 8 poles: main engine at step 1", "section 4.3 (a)", speed(1, RUNNING_FOR_TRAIN, 900.0, None)),
    row("V49, 10 poles: standby when stopped", "section 4.3 (a)", speed(3, STANDING_FOR_TRAIN, 720.0, None)),
    row(
        "V49, 4 poles: generator set, engine free",
        "section 4.3 (b)",
        speed(2, STANDING_FOR_TRAIN, 315.0, Some(1800.0)),
    ),
];

#[test]
fn speeds_of_engines_with_and_without_a_train() {
    run(SPEEDS, |case, name| {
        let heard = heard(&format!("CV52 = {}", case.head_end), case.packets);
        let engine = heard.engine.as_ref().unwrap().speed.unwrap().as_rpm();
        assert!((engine - case.engine).abs() < 1e-9, "{name}: {engine}");
        let set = heard.sound(Deed::HeadEndPower).and_then(|sound| sound.speed).map(|speed| speed.as_rpm());
        assert_eq!(set.is_some(), case.set.is_some(), "{name}");
        assert!(set.zip(case.set).is_none_or(|(found, expected)| (found - expected).abs() < 1e-9), "{name}");
    });
}
