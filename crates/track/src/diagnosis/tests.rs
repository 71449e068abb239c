//! Suspects by made-up symptoms; the demo's faults are examined in the integration tests.

use datasheets::CvPlace;
use finding::{Path, Severity};

use super::{Cause, Facts, Suspect, Symptoms, diagnose, explain_cause};
use crate::acknowledgement::{Evidence, Excess};
use crate::link::{Act, LinkError, Tally};
use crate::run::RunError;
use crate::standard::{CONFIGURATION, MANUFACTURER};
use crate::strategy::{Content, Identity, IdentityError};

const fn plain(cv: u16) -> CvPlace {
    CvPlace { page: None, cv }
}

#[track_caller]
fn check_first(symptoms: &Symptoms, expected: Option<Cause>) -> Vec<Suspect> {
    let suspects = diagnose(symptoms, &Facts::default());
    assert_eq!(suspects.first().map(|suspect| suspect.cause), expected, "{suspects:#?}");
    suspects
}

fn of(error: impl Into<RunError>) -> Symptoms {
    Symptoms::of_error(error.into(), None)
}

#[test]
fn nothing_seen_is_nothing_suspected() {
    check_first(&Symptoms::default(), None);
}

#[test]
fn errors_speak_for_their_causes() {
    let over = |excess| LinkError::OverCurrent { act: Act::Connect, excess, evidence: Evidence::default() };
    check_first(&of(over(Excess::Sustained)), Some(Cause::RailsShorted));
    check_first(&of(over(Excess::AtAStroke)), Some(Cause::MotorShortsWhenFed));
    check_first(&of(LinkError::NoCurrent { act: Act::Connect }), Some(Cause::NothingOnTheRails));
    let mode = datasheets::ServiceMode::Register;
    check_first(&of(LinkError::OutOfReach { cv: CONFIGURATION, mode }), Some(Cause::ModeTooSmall));
    let spelled = vec![31, 31, 31];
    let unread = IdentityError::Unread { cv: MANUFACTURER, content: Content::Unsettled { spelled } };
    check_first(&of(unread), Some(Cause::TwoDecodersAnswer));
    let identity = |version| Identity { manufacturer: 13, version };
    let other = RunError::UnexpectedDecoder { expected: identity(41), found: identity(40) };
    check_first(&of(other), Some(Cause::NotTheExpectedDecoder));
    check_first(
        &of(RunError::ImageDisagrees { place: plain(1), expected: 3 }),
        Some(Cause::NotTheExpectedDecoder),
    );
    check_first(&of(RunError::RegisterRefused { place: plain(31), value: 16 }), Some(Cause::PageNotTaken));
}

#[test]
fn current_that_was_there_before_was_lost() {
    let tally = Tally { n_asked: 30, n_acknowledged: 12, ..Tally::default() };
    let lost = LinkError::NoCurrent { act: Act::VerifyByte { cv: CONFIGURATION, value: 6 } };
    let symptoms = Symptoms::of_error(lost.into(), Some(tally));
    check_first(&symptoms, Some(Cause::ContactComesAndGoes));
}

#[test]
fn refused_writes_are_a_lock_unless_the_lock_is_open() {
    let refused = || of(RunError::WritesRefused { refused: vec![plain(3), plain(4), plain(17)] });
    check_first(&refused(), Some(Cause::LockClosed));
    let locked = Symptoms { lock: Some((Content::Value(1), Content::Value(3))), ..refused() };
    let suspects = check_first(&locked, Some(Cause::LockClosed));
    assert_eq!(suspects[0].fits, ["CV15 is 1, CV16 is 3", "none of the first writes was taken"]);
    let open = Symptoms { lock: Some((Content::Value(0), Content::Value(0))), ..refused() };
    assert!(diagnose(&open, &Facts::default()).iter().all(|suspect| suspect.cause != Cause::LockClosed));
}

#[test]
fn what_a_report_left_open() {
    let absent = Symptoms { unmet: vec![(plain(123), Content::Absent)], n_met: 9, ..Symptoms::default() };
    check_first(&absent, Some(Cause::CvNotThere));
    let paged = CvPlace { page: Some((16, 1)), cv: 258 };
    let on_pages = Symptoms { unmet: vec![(paged, Content::Silent)], ..Symptoms::default() };
    check_first(&on_pages, Some(Cause::PageNotTaken));
}

#[test]
fn a_suspect_is_a_finding_with_the_next_test() {
    let over = LinkError::OverCurrent {
        act: Act::Connect,
        excess: Excess::Sustained,
        evidence: Evidence::default(),
    };
    let suspects = check_first(&of(over), Some(Cause::RailsShorted));
    let finding = suspects[0].finding(&Path::new("plan.decoder"));
    assert_eq!((finding.rule, finding.severity), ("rails-shorted", Severity::Stop));
    assert_eq!(
        finding.to_string(),
        "stop: perhaps something joins the rails [rails-shorted]\n  at plan.decoder\n  because 0 A flows while looking for a \
         decoder\n  remedy: to be sure: power off: measure rail to rail with the decoder out, coupled and apart, trucks swung \
         both ways: above 10 kohm; then: find what bridges the rails: drawbar, truck turned round, handrail, filings\n  \
         source: S-9.2.3 §E; practice, rows 9 and 14, and section 2.6"
    );
}

#[test]
fn every_cause_is_explained_under_a_name_of_its_own() {
    for cause in Cause::ALL {
        let text = cause.text();
        assert_eq!(explain_cause(text.name), Some(text), "{cause:?}");
        let is_plain = text.name.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-');
        assert!(is_plain, "{}", text.name);
        for sentence in [text.what, text.why, text.next_test, text.cure, text.source] {
            assert!(
                !sentence.is_empty() && !sentence.ends_with('.') && !sentence.contains("  "),
                "{sentence}"
            );
        }
    }
    assert_eq!(explain_cause("gremlins"), None);
}
