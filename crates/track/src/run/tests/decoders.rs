//! Decoders that do not do as they are told, and decoders that are not the right ones.

use datasheets::CvPlace;

use super::{Case, FLAT, PAGED, SHORT_ADDRESS, WISHES, case, held};
use crate::fake::{Cut, FakeRails, Lock};
use crate::journal::{Entry, PlanKind};
use crate::link::{VirtualLink, WayOut};
use crate::run::{Run, RunError, Standing, TakeUpError, Verdict};
use crate::strategy::Identity;

const fn plain(cv: u16) -> CvPlace {
    CvPlace { page: None, cv }
}

#[test]
fn a_lock_is_opened_and_closed_again() {
    for lock in [Lock::Writes, Lock::Everything] {
        let case = case(FLAT, WISHES);
        let mut locked = case.decoder.clone();
        locked.lock = Some(lock);
        locked.memory.insert(plain(16), 2);
        // A lock that hides everything cannot be read through: somebody has opened it before.
        locked.memory.insert(plain(15), if lock == Lock::Writes { 1 } else { 2 });
        let (report, decoder) = case.check_fulfilled(locked);
        assert_eq!(decoder.content(15), Some(if lock == Lock::Writes { 1 } else { 2 }));
        assert_eq!(report.unverified, [] as [u16; 0]);
    }
}

#[test]
fn a_cv17_that_waits_for_cv18_gets_it() {
    let case = case(FLAT, WISHES);
    let mut pairing = case.decoder.clone();
    pairing.has_pair = true;
    let (_, decoder) = case.check_fulfilled(pairing.clone());
    assert_eq!(held(&decoder, &[17, 18]), [Some(196), Some(210)]);
    // The low half is right already, so that no step of the plan writes it.
    pairing.memory.insert(plain(18), 210);
    let (_, decoder) = case.check_fulfilled(pairing);
    assert_eq!(held(&decoder, &[17, 18]), [Some(196), Some(210)]);
}

#[test]
fn a_bit_that_the_decoder_lacks_is_said_to_be_not_met() {
    let case =
        case(FLAT, "[address]\nform = \"long\"\nnumber = 1234\n[manners]\nacceleration = \"22.4 s\"\n");
    let mut short_only = case.decoder.clone();
    short_only.missing_bits.insert(29, 32);
    let mut rails = FakeRails::with(vec![short_only]);
    let (report, entries, _) = case.run(&mut rails);
    let report = report.unwrap();
    assert!(!report.is_fulfilled());
    let unmet: Vec<_> = report.targets.iter().filter(|target| target.verdict == Verdict::NotMet).collect();
    assert_eq!(unmet.iter().map(|target| target.place.cv).collect::<Vec<_>>(), [29]);
    assert!(entries.iter().any(|entry| matches!(entry, Entry::Refused { .. })));
    assert_eq!(rails.decoders[0].content(3), Some(25), "the others are written all the same");
}

#[test]
fn a_decoder_that_takes_nothing_stops_the_run() {
    let case = case(FLAT, WISHES);
    let mut stubborn = case.decoder.clone();
    stubborn.read_only = (1..=255).collect();
    let (report, entries, _) = case.run(&mut FakeRails::with(vec![stubborn]));
    let error = report.unwrap_err();
    assert_eq!(error.way_out(), WayOut::Diagnose);
    assert_eq!(error.to_string(), "the decoder takes no writes: CV3, CV123, CV17 kept what they held");
    // With the cause gone it goes on.
    let mut run = Run::take_up(case.job(), &entries, Vec::new()).unwrap();
    let mut rails = FakeRails::with(vec![case.decoder.clone()]);
    let report = run.proceed(&mut VirtualLink::new(&mut rails), |_, _| {}).unwrap();
    assert!(report.is_fulfilled());
}

#[test]
fn a_page_that_could_not_be_put_back_is_not_selected() {
    let case = case(PAGED, &format!("{SHORT_ADDRESS}[voice]\nhorn = {{ chimes = 6 }}\n"));
    let mut pageless = case.decoder.clone();
    pageless.memory.remove(&plain(32));
    let mut rails = FakeRails::with(vec![pageless.clone()]);
    let error = case.run(&mut rails).0.unwrap_err();
    assert_eq!(
        error.to_string(),
        "cannot read CV32, on which other CVs depend: not there; it is not written before it can be put back"
    );
    assert_eq!(rails.decoders[0].memory, pageless.memory);
}

#[test]
fn another_decoder_is_refused_at_the_beginning() {
    let case = case(FLAT, WISHES);
    let mut other = case.decoder.clone();
    other.memory.insert(plain(7), 40);
    let mut rails = FakeRails::with(vec![other.clone()]);
    let error = case.run(&mut rails).0.unwrap_err();
    assert_eq!(
        error.to_string(),
        "the sheet is for a decoder with CV8 = 13, CV7 = 41, this one has CV8 = 13, CV7 = 40: choose its sheet, or accept it by name"
    );
    assert_eq!(rails.decoders[0].memory, other.memory);
    let accepted =
        crate::run::Job { identity: Some(Identity { manufacturer: 13, version: 40 }), ..case.job() };
    let mut run = Run::begin(accepted, Vec::new()).unwrap();
    assert!(run.proceed(&mut VirtualLink::new(&mut rails), |_, _| {}).unwrap().is_fulfilled());
}

/// A run that was cut off while writing.
fn cut_off(case: &Case) -> (Vec<Entry>, FakeRails) {
    let mut rails = FakeRails::with(vec![case.decoder.clone()]);
    let mut run = Run::begin(case.job(), Vec::new()).unwrap();
    let mut link = VirtualLink::new(&mut rails);
    while !run.journal().iter().any(|entry| matches!(entry, Entry::Writing { .. })) {
        run.step(&mut link).unwrap();
    }
    drop(link);
    (run.journal().clone(), rails)
}

#[test]
fn another_decoder_is_refused_when_a_run_is_taken_up() {
    let case = case(FLAT, WISHES);
    let (entries, mut rails) = cut_off(&case);
    let mut other = rails.decoders[0].clone();
    other.memory.insert(plain(8), 14);
    let mut run = Run::take_up(case.job(), &entries, Vec::new()).unwrap();
    let error = run.proceed(&mut VirtualLink::new(FakeRails::with(vec![other])), |_, _| {}).unwrap_err();
    assert_eq!(
        error.to_string(),
        "this is not the decoder that the run began with: that had CV8 = 13, CV7 = 41"
    );
    // The twin of the right one, with another address.
    let mut twin = rails.decoders[0].clone();
    twin.memory.insert(plain(1), 5);
    let mut run = Run::take_up(case.job(), &entries, Vec::new()).unwrap();
    let error = run.proceed(&mut VirtualLink::new(FakeRails::with(vec![twin])), |_, _| {}).unwrap_err();
    assert_eq!(error, RunError::ImageDisagrees { place: plain(1), expected: 3 });
    // The right one, in the same run, after all.
    rails.cut = None;
    assert!(run.proceed(&mut VirtualLink::new(&mut rails), |_, _| {}).unwrap().is_fulfilled());
}

#[test]
fn a_run_is_taken_up_with_its_own_job_only() {
    let flat = case(FLAT, WISHES);
    let (entries, _) = cut_off(&flat);
    let changed = case(FLAT, &WISHES.replace("22.4 s", "9 s"));
    let error = Run::take_up(changed.job(), &entries, Vec::new()).unwrap_err();
    assert!(
        matches!(&error, TakeUpError::JobChanged { what } if what == "CV3 was to hold something else"),
        "{error}"
    );
    let other = case(PAGED, SHORT_ADDRESS);
    assert!(matches!(Run::take_up(other.job(), &entries, Vec::new()), Err(TakeUpError::JobChanged { .. })));
    assert!(matches!(Run::take_up(flat.job(), &[], Vec::new()), Err(TakeUpError::NothingBegun)));
    let error = Run::take_up(flat.job(), &entries[1..], Vec::new()).unwrap_err();
    assert_eq!(error, TakeUpError::Inconsistent { entry: 1 });
}

#[test]
fn dead_rails_are_told_and_the_run_goes_on_afterwards() {
    let case = case(PAGED, SHORT_ADDRESS);
    let mut rails = FakeRails::with(vec![case.decoder.clone()]);
    rails.cut = Some(Cut::Dead { at_packet: 300 });
    let mut run = Run::begin(case.job(), Vec::new()).unwrap();
    let error = run.proceed(&mut VirtualLink::new(&mut rails), |_, _| {}).unwrap_err();
    assert_eq!(error.way_out(), WayOut::SeeToContact, "{error}");
    assert!(matches!(run.journal().last(), Some(Entry::Interrupted { .. })));
    rails.cut = None;
    let report = run.proceed(&mut VirtualLink::new(&mut rails), |_, _| {}).unwrap();
    assert!(report.is_fulfilled());
    assert!(report.rail_times.wasted.as_micros() > 0);
}

#[test]
fn a_cancelled_run_puts_page_and_lock_back_and_claims_nothing() {
    let case = case(PAGED, &format!("{SHORT_ADDRESS}[voice]\nhorn = {{ chimes = 6 }}\n"));
    let mut rails = FakeRails::with(vec![case.decoder.clone()]);
    let mut run = Run::begin(case.job(), Vec::new()).unwrap();
    let mut link = VirtualLink::new(&mut rails);
    while run.journal().iter().filter(|entry| matches!(entry, Entry::Written { .. })).count() < 2 {
        run.step(&mut link).unwrap();
    }
    run.cancel("wrong locomotive").unwrap();
    let report = run.proceed(&mut link, |_, _| {}).unwrap();
    assert_eq!(report.standing, Standing::Cancelled { reason: "wrong locomotive".to_owned() });
    assert!(!report.is_fulfilled());
    assert!(report.targets.iter().all(|target| matches!(target.verdict, Verdict::Unknown { .. })));
    drop(link);
    assert_eq!(held(&rails.decoders[0], &[31, 32]), [Some(0), Some(0)]);
    assert_eq!(
        rails.decoders[0].memory[&CvPlace { page: Some((16, 1)), cv: 258 }],
        6,
        "what is written stays"
    );
}

#[test]
fn everything_is_undone_whenever_it_is_asked_for() {
    let wishes = format!("{SHORT_ADDRESS}[voice]\nhorn = {{ chimes = 6 }}\n");
    let case = case(PAGED, &wishes);
    let mut delivered = case.decoder.clone();
    delivered.memory.insert(plain(29), 14 + 32);
    let n_steps = {
        let mut rails = FakeRails::with(vec![delivered.clone()]);
        let (.., events) = case.run(&mut rails);
        events.len()
    };
    for n_before in 0..=n_steps {
        let mut rails = FakeRails::with(vec![delivered.clone()]);
        let mut run = Run::begin(case.job(), Vec::new()).unwrap();
        let mut link = VirtualLink::new(&mut rails);
        for _ in 0..n_before {
            run.step(&mut link).unwrap();
        }
        run.undo("the owner changed his mind").unwrap();
        let report = run.proceed(&mut link, |_, _| {}).unwrap();
        let tail: String = run.journal().iter().rev().take(60).rev().map(Entry::to_line).collect();
        assert!(report.is_fulfilled(), "undone after {n_before} steps:\n{tail}");
        assert!(matches!(report.standing, Standing::Undone { .. }));
        let is_planned =
            run.journal().iter().any(|entry| matches!(entry, Entry::Planned { kind: PlanKind::Undo, .. }));
        assert_eq!(is_planned, !report.targets.is_empty());
        drop(link);
        assert_eq!(rails.decoders[0].memory, delivered.memory, "undone after {n_before} steps");
    }
}
