//! What is heard: engine, horn, bell, head-end power, levels.
//!
//! Source: reference text on acoustics and electrics, sections 4 and 5.

use bench::{Heard, Locomotive};
use datasheets::{Deed, HeadEndPower};
use dcc::Direction;

use crate::hand::{Hand, locomotive, short};

const SPEAKER: &str = "[[speaker]]\nname = \"A\"\nresistance = \"7 ohm\"\n[[wire]]\nfrom = \"amplifier.1\"\nto = \"A.plus\"\n\
                       [[wire]]\nfrom = \"A.minus\"\nto = \"amplifier.2\"\n";

/// A diesel of the demo's flat decoder: 16-cylinder two-stroke, F8 the engine, F9 head-end power, F1 bell, F2 horn, F10 brake,
/// F7 mute. `head_end` goes to CV124 bits 2 and 3.
fn diesel(head_end: u8) -> Hand<Locomotive> {
    let voice = 0b1000_0001 | head_end << 2;
    // F1 reaches outputs 1 to 8 (7 is the bell), F2 the horn on 8, F7 output 9, F8 output 10, F9 output 11, F10 output 12.
    let cvs = format!(
        "[cv]\nCV3 = 0\nCV4 = 0\nCV123 = 51\nCV124 = {voice}\nCV35 = 64\nCV36 = 128\nCV41 = 32\nCV42 = 64\nCV43 = 16\nCV44 = 32\n"
    );
    Hand::on(locomotive("demo-21-sound", &format!("{cvs}{SPEAKER}")))
}

fn heard(hand: &Hand<Locomotive>) -> Heard {
    hand.rails.observe().heard
}

fn rpm(hand: &Hand<Locomotive>) -> f64 {
    heard(hand).engine.unwrap().speed.unwrap().as_rpm()
}

fn run(hand: &mut Hand<Locomotive>, step: u8) {
    hand.throttle(short(3), Direction::Forward, step);
    hand.idle(20);
}

#[test]
fn the_engine_follows_the_throttle_in_eight_notches() {
    let mut hand = diesel(0);
    hand.keys(short(3), &[8]);
    let found: Vec<(u8, f64)> = [0, 1, 16, 63, 64, 126]
        .into_iter()
        .map(|step| {
            run(&mut hand, step);
            (heard(&hand).engine.unwrap().notch, rpm(&hand).round())
        })
        .collect();
    // 300 to 900 rpm over notches 1 to 8: 85.7 rpm each.
    assert_eq!(found, [(0, 300.0), (1, 300.0), (2, 386.0), (4, 557.0), (5, 643.0), (8, 900.0)]);
    hand.keys(short(3), &[]);
    assert!(heard(&hand).engine.is_none(), "its key stops it");
}

#[test]
fn head_end_power_from_the_main_engine_holds_full_speed_whatever_the_throttle_does() {
    let mut hand = diesel(1);
    hand.keys(short(3), &[8, 9]);
    for step in [0, 40, 126, 0] {
        run(&mut hand, step);
        assert!((rpm(&hand) - 900.0).abs() < 1e-9, "step {step}");
        assert_eq!(heard(&hand).engine.unwrap().feeds_train, Some(HeadEndPower::MainEngine));
    }
    hand.keys(short(3), &[8]);
    assert!((rpm(&hand) - 300.0).abs() < 1e-9, "back to idle without the key");
    hand.keys(short(3), &[9]);
    assert!((rpm(&hand) - 900.0).abs() < 1e-9, "the train cannot be fed by an engine that stands");
}

#[test]
fn a_generator_set_leaves_the_engine_free() {
    let mut hand = diesel(2);
    hand.keys(short(3), &[8, 9]);
    run(&mut hand, 126);
    assert!((rpm(&hand) - 900.0).abs() < 1e-9);
    run(&mut hand, 0);
    assert!((rpm(&hand) - 300.0).abs() < 1e-9);
    let set = heard(&hand).sound(Deed::HeadEndPower).unwrap().clone();
    assert!((set.speed.unwrap().as_rpm() - 1800.0).abs() < 1e-9);
}

#[test]
fn standby_is_slower_while_standing() {
    let mut hand = diesel(3);
    hand.keys(short(3), &[8, 9]);
    run(&mut hand, 0);
    assert!((rpm(&hand) - 720.0).abs() < 1e-9);
    run(&mut hand, 20);
    assert!((rpm(&hand) - 900.0).abs() < 1e-9);
}

#[test]
fn without_head_end_power_its_key_does_nothing() {
    let mut hand = diesel(0);
    hand.keys(short(3), &[8, 9]);
    assert!(heard(&hand).sound(Deed::HeadEndPower).is_none() && (rpm(&hand) - 300.0).abs() < 1e-9);
}

#[test]
fn levels_follow_the_law_of_the_sheet() {
    let mut hand = diesel(0);
    hand.keys(short(3), &[1, 2, 8]);
    let level = |hand: &Hand<Locomotive>, deed| heard(hand).sound(deed).unwrap().level.as_decibels();
    let amplitude = |register: f64| 20.0 * (register / 255.0).log10();
    assert!((level(&hand, Deed::Bell) - amplitude(160.0)).abs() < 1e-9);
    assert!((level(&hand, Deed::Horn) - amplitude(220.0)).abs() < 1e-9);
    assert!(hand.write(128, 128), "master to half");
    hand.leave();
    hand.keys(short(3), &[1, 2, 8]);
    assert!((level(&hand, Deed::Bell) - amplitude(160.0) - amplitude(128.0)).abs() < 1e-9);
    assert!(hand.write(130, 0));
    hand.leave();
    hand.keys(short(3), &[1, 2]);
    assert!(heard(&hand).sound(Deed::Bell).is_none(), "0 is silence");
    let pages = "[[page]]\nhigh = 16\nlow = 2\ncv = { CV257 = 90, CV259 = 80 }\n";
    let mut paged = Hand::on(locomotive("demo-8-paged", &format!("{pages}{SPEAKER}")));
    paged.keys(short(3), &[2]);
    // Half a decibel for each count below 100: 10 + 20 counts are −15 dB.
    assert!((heard(&paged).sound(Deed::Horn).unwrap().level.as_decibels() + 15.0).abs() < 1e-9);
}

#[test]
fn mute_silences_everything() {
    let mut hand = diesel(1);
    hand.keys(short(3), &[7, 8, 9, 1, 2]);
    assert!(heard(&hand).is_silent() && heard(&hand).is_muted);
}

#[test]
fn recordings_are_those_that_the_memory_holds() {
    let mut hand = diesel(0);
    hand.keys(short(3), &[1, 2, 8, 10]);
    let all = heard(&hand);
    assert_eq!(all.engine.as_ref().unwrap().recording.is.to_string(), "16-cylinder two-stroke diesel, turbo");
    assert_eq!(all.sound(Deed::Horn).unwrap().recording.as_ref().unwrap().is.chimes.unwrap().get(), 5);
    assert!(all.sound(Deed::DynamicBrake).is_some());
    // A number without a recording plays nothing.
    assert!(hand.write(123, 0x3F));
    hand.leave();
    hand.keys(short(3), &[2, 8]);
    assert!(heard(&hand).engine.is_none() && heard(&hand).sound(Deed::Horn).is_some());
}

#[test]
fn an_engine_without_a_key_runs_once_the_decoder_is_addressed() {
    let cvs = format!("[cv]\nCV42 = 0\n{SPEAKER}");
    let mut hand = Hand::on(locomotive("demo-21-sound", &cvs));
    assert!(heard(&hand).is_silent());
    run(&mut hand, 0);
    assert!(heard(&hand).engine.is_some());
}

#[test]
fn no_speaker_no_sound() {
    let open = SPEAKER.replace("A.minus", "frame");
    for more in ["", &open, &SPEAKER.replace("7 ohm", "OL")] {
        let mut hand = Hand::on(locomotive("demo-21-sound", &format!("[cv]\nCV42 = 0\n{more}")));
        run(&mut hand, 0);
        assert!(heard(&hand).is_silent(), "{more}");
    }
    let mut standard = Hand::on(locomotive("standard", SPEAKER));
    run(&mut standard, 0);
    assert!(heard(&standard).is_silent(), "no amplifier");
}
