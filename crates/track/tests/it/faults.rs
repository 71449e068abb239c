//! The demo's faults: each gets the right cause first, whether somebody looks for it or a run stumbles over it.

use finding::{Path, Severity};
use track::{Cause, Facts, Link, Permit, Run, Suspect, Symptoms, VirtualLink, diagnose, examine};

use crate::demo::{Order, locomotive};

fn facts(order: &Order, fault: &str) -> Facts {
    Facts::of_sheet(&order.sheet, Some(fault == "faults/keep-alive-masks"))
}

/// What somebody finds who looks for it.
fn examined(order: &Order, truth: &str, seed: u64) -> Vec<Suspect> {
    let facts = facts(order, truth);
    let mut link = VirtualLink::new(locomotive(truth, seed));
    let symptoms = examine(&mut link, &Permit::without_job(), &facts);
    assert!(!link.programmer().is_powered(), "{truth}: the power is off afterwards");
    diagnose(&symptoms, &facts)
}

/// What is to be said when a run stops, or ends without everything as wanted.
fn stumbled(order: &Order, truth: &str, seed: u64) -> Vec<Suspect> {
    let mut link = VirtualLink::new(locomotive(truth, seed));
    let mut run = Run::begin(order.job(), Vec::new()).unwrap();
    let symptoms = match run.proceed(&mut link, |_, _| {}) {
        Ok(report) if report.is_fulfilled() => return Vec::new(),
        Ok(report) => Symptoms { tally: link.tally(), ..Symptoms::default() }.with_report(&report),
        Err(error) => Symptoms::of_error(error, link.tally()).with_report(&run.report()),
    };
    diagnose(&symptoms, &facts(order, truth))
}

#[track_caller]
fn check_first(suspects: &[Suspect], expected: Cause, whose: &str) {
    let first = suspects.first().map(|suspect| suspect.cause);
    assert_eq!(first, Some(expected), "{whose}: {suspects:#?}");
}

const FAULTS: [(&str, Cause); 9] = [
    ("faults/dead-short", Cause::RailsShorted),
    ("faults/open-pickup", Cause::NothingOnTheRails),
    ("faults/dirty-rail", Cause::ContactComesAndGoes),
    ("faults/no-motor", Cause::MotorLeadOpen),
    ("faults/weak-acknowledgement", Cause::PulseTooWeak),
    ("faults/keep-alive-masks", Cause::KeepAliveHidesPulse),
    ("faults/two-decoders", Cause::TwoDecodersAnswer),
    ("faults/wrong-decoder", Cause::NotTheExpectedDecoder),
    ("faults/power-cut", Cause::ContactComesAndGoes),
];

#[test]
fn the_right_cause_comes_first_when_somebody_looks_for_it() {
    let order = Order::of_demo("V-0031");
    for (fault, expected) in FAULTS {
        for seed in 0..4 {
            check_first(&examined(&order, fault, seed), expected, &format!("{fault}, seed {seed}"));
        }
    }
    check_first(&examined(&order, "faults/locked", 0), Cause::LockClosed, "locked");
}

#[test]
fn the_right_cause_comes_first_when_a_run_stumbles_over_it() {
    let order = Order::of_demo("V-0031");
    for (fault, expected) in FAULTS {
        check_first(&stumbled(&order, fault, 1), expected, fault);
    }
}

#[test]
fn what_a_run_can_cure_by_itself_is_no_trouble() {
    let order = Order::of_demo("V-0031");
    // The plan opens the lock, and writes no consist where none is wished.
    for fault in ["faults/locked", "faults/left-in-consist"] {
        assert_eq!(stumbled(&order, fault, 1), [], "{fault}");
    }
}

#[test]
fn a_brush_on_the_frame_is_a_stop() {
    let order = Order::of_demo("V-0035");
    let suspects = examined(&order, "V-0035", 1);
    check_first(&suspects, Cause::MotorShortsWhenFed, "the shunter");
    assert_eq!(suspects[0].finding(&Path::new("survey.motor-to-frame")).severity, Severity::Stop);
}

#[test]
fn a_sound_locomotive_has_no_suspects() {
    for number in ["V-0031", "V-0033", "V-0034", "V-0036", "V-0037"] {
        let order = Order::of_demo(number);
        let suspects = examined(&order, number, 1);
        assert_eq!(suspects, [], "{number}");
    }
}

#[test]
fn slightly_dirty_wheels_are_seen_though_they_keep_nobody_from_programming() {
    let order = Order::of_demo("V-0032");
    check_first(&examined(&order, "V-0032", 1), Cause::ContactComesAndGoes, "the rear car");
    assert_eq!(stumbled(&order, "V-0032", 1), []);
}
