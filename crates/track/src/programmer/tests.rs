//! The programmer on fake rails: counts, early ends, the limit of the current.

use datasheets::ServiceMode;
use dcc::service::{Operation, Options, Sequence};
use dcc::{BitPosition, CvAccess, CvNumber, Microseconds};

use super::{PageStage, PowerOnState, Programmer, RailPurpose};
use crate::acknowledgement::{Answer, AnswerKind, Excess};
use crate::fake::{FakeDecoder, FakeRails};
use crate::permit::Permit;

const CV29: CvNumber = match CvNumber::new(29) {
    Ok(number) => number,
    Err(_) => panic!(),
};

fn decoder() -> FakeDecoder {
    FakeDecoder::holding(&[(8, 13), (7, 41), (29, 6)])
}

fn ask(programmer: &mut Programmer<FakeRails>, operation: Operation) -> (Answer, Microseconds) {
    let before = programmer.rail_time().total();
    let sequence = Sequence::new(operation, Options::default()).unwrap();
    let answer = programmer.exchange(&sequence, PageStage::Send, RailPurpose::VerifyByte);
    (answer, programmer.rail_time().total() - before)
}

fn powered(rails: FakeRails) -> Programmer<FakeRails> {
    let mut programmer = Programmer::new(rails);
    let reading = programmer.power_on(&Permit::without_job());
    assert_eq!(reading.state, PowerOnState::Sound, "{reading}");
    programmer
}

#[test]
fn a_comparison_ends_with_its_acknowledgement() {
    let mut programmer = powered(FakeRails::with(vec![decoder()]));
    assert_eq!(programmer.rail_time().of(RailPurpose::PowerOn), Microseconds::from_micros(195_900));
    let (answer, time) = ask(&mut programmer, Operation::Direct(CvAccess::verify(CV29, 6)));
    assert_eq!(answer.kind, AnswerKind::Acknowledged, "{}", answer.evidence);
    // 3 resets, 3 comparisons, 1 reset; 8.460 ms a comparison (reference text, 5.6).
    assert_eq!(time, Microseconds::from_micros(3 * 7_836 + 3 * 8_460 + 7_836));
    let (answer, time) = ask(&mut programmer, Operation::Direct(CvAccess::verify(CV29, 7)));
    assert_eq!(answer.kind, AnswerKind::None);
    // `74 1C 07 6F` has two ones more than `74 1C 06 6E`: 2 · 84 µs less.
    assert_eq!(time, Microseconds::from_micros(3 * 7_836 + 5 * 8_292));
    let sent: Vec<String> = programmer.rails().heard.iter().rev().take(5).map(ToString::to_string).collect();
    assert_eq!(sent, ["74 1C 07 6F"; 5]);
}

#[test]
fn a_write_is_acknowledged_once_it_is_stored() {
    let mut programmer = powered(FakeRails::with(vec![decoder()]));
    let (answer, _) = ask(&mut programmer, Operation::Direct(CvAccess::write(CV29, 38)));
    assert_eq!(answer.kind, AnswerKind::Acknowledged, "{}", answer.evidence);
    assert_eq!(programmer.rails().decoders[0].content(29), Some(38));
}

#[test]
fn paged_packets_reach_a_paged_decoder() {
    let mut paged = decoder();
    paged.modes = vec![ServiceMode::Paged];
    let mut programmer = powered(FakeRails::with(vec![paged]));
    let bit = CvAccess::verify_bit(CvNumber::new(8).unwrap(), BitPosition::new(7).unwrap(), false);
    assert_eq!(ask(&mut programmer, Operation::Direct(bit)).0.kind, AnswerKind::None);
    let (answer, _) = ask(&mut programmer, Operation::PagedVerify { cv: CV29, value: 6 });
    assert_eq!(answer.kind, AnswerKind::Acknowledged, "{}", answer.evidence);
    // The page is there now, and need not be set again.
    let sequence = Sequence::new(Operation::PagedVerify { cv: CV29, value: 6 }, Options::default()).unwrap();
    let before = programmer.rail_time().total();
    let answer = programmer.exchange(&sequence, PageStage::Skip, RailPurpose::VerifyByte);
    assert_eq!(answer.kind, AnswerKind::Acknowledged);
    // 3 resets and 3 comparisons: none of the 11 packets that set the page.
    let packet = programmer.rails().heard.last().unwrap();
    let each = packet.duration(dcc::PREAMBLE_SERVICE, dcc::timing::SenderTiming::NOMINAL);
    assert_eq!(programmer.rail_time().total() - before, Microseconds::from_micros(3 * 7_836) + each * 3);
}

#[test]
fn a_short_is_cut_off_after_a_tenth_of_a_second() {
    let mut short = decoder();
    short.idle = 900.0;
    let mut programmer = Programmer::new(FakeRails::with(vec![short]));
    let reading = programmer.power_on(&Permit::without_job());
    assert_eq!(reading.state, PowerOnState::OverCurrent);
    assert!(!programmer.is_powered());
    assert!((reading.idle().as_amperes() - 0.9).abs() < 1e-6);
    // The first packet that begins after 100 ms is the fourteenth.
    assert_eq!(programmer.rail_time().total(), Microseconds::from_micros(14 * 7_836));
}

#[test]
fn a_short_that_comes_later_is_cut_off_too() {
    let mut programmer = powered(FakeRails::with(vec![decoder()]));
    programmer.rails_mut().decoders[0].idle = 400.0;
    let verify = Operation::Direct(CvAccess::verify(CV29, 7));
    let kinds: Vec<AnswerKind> = (0..3).map(|_| ask(&mut programmer, verify).0.kind).collect();
    assert!(kinds.contains(&AnswerKind::OverCurrent(Excess::Sustained)), "{kinds:?}");
    assert!(!programmer.is_powered());
    assert_eq!(ask(&mut programmer, verify).0.kind, AnswerKind::NoCurrent);
}

#[test]
fn an_acknowledgement_that_is_a_short_is_none() {
    let mut shorted = decoder();
    shorted.step = 4_900.0;
    let mut programmer = powered(FakeRails::with(vec![shorted]));
    let (answer, _) = ask(&mut programmer, Operation::Direct(CvAccess::verify(CV29, 6)));
    assert_eq!(answer.kind, AnswerKind::OverCurrent(Excess::AtAStroke));
    assert!(!programmer.is_powered());
}

#[test]
fn switching_on_tells_the_load() {
    for (idle, noise, expected) in [
        (45.0, 0.5, PowerOnState::Sound),
        (140.0, 0.5, PowerOnState::Heavy),
        (0.0, 0.0, PowerOnState::Nothing),
        (60.0, 40.0, PowerOnState::Unsteady),
    ] {
        let mut decoder = decoder();
        decoder.idle = idle;
        let mut rails = FakeRails::with(vec![decoder]).seeded(3);
        rails.noise = noise;
        let reading = Programmer::new(rails).power_on(&Permit::without_job());
        assert_eq!(reading.state, expected, "{reading}");
    }
}

#[test]
fn the_inrush_of_a_keep_alive_is_no_short() {
    let mut rails = FakeRails::with(vec![decoder()]);
    // 300 mA more at first, over after a few time constants of 20 ms.
    rails.charging = Some((300.0, 20_000.0));
    let reading = Programmer::new(rails).power_on(&Permit::without_job());
    assert_eq!(reading.state, PowerOnState::Sound, "{reading}");
    assert!(reading.peak().as_amperes() > 0.3);
}
