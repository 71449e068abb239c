//! The virtual link: which mode is found, and how errors are sorted.

use datasheets::ServiceMode;

use super::{Link, LinkError, VirtualLink, WayOut};
use crate::fake::{FakeDecoder, FakeRails, Lock};
use crate::permit::Permit;
use crate::standard::{CONFIGURATION, MANUFACTURER};

fn decoder(modes: &[ServiceMode]) -> FakeDecoder {
    let mut decoder = FakeDecoder::holding(&[(1, 3), (5, 200), (7, 41), (8, 13), (29, 6)]);
    decoder.modes = modes.to_vec();
    decoder
}

fn link(decoder: FakeDecoder) -> VirtualLink<FakeRails> {
    VirtualLink::new(FakeRails::with(vec![decoder]))
}

#[test]
fn the_best_mode_that_answers_is_found() {
    for (modes, expected) in [
        (&[ServiceMode::Direct, ServiceMode::Paged][..], ServiceMode::Direct),
        (&[ServiceMode::Paged], ServiceMode::Paged),
        (&[ServiceMode::Register], ServiceMode::Register),
        (&[], ServiceMode::AddressOnly),
    ] {
        let mut link = link(decoder(modes));
        let contact = link.connect(&Permit::without_job(), Some(13)).unwrap();
        assert_eq!(contact.modes, [expected]);
        assert_eq!(link.mode(), Some(expected));
    }
}

#[test]
fn writing_and_comparing_reach_the_cv_in_every_mode_that_has_it() {
    for modes in [&[ServiceMode::Direct][..], &[ServiceMode::Paged], &[ServiceMode::Register]] {
        let mut link = link(decoder(modes));
        link.connect(&Permit::without_job(), None).unwrap();
        assert!(link.write_byte(CONFIGURATION, 38).unwrap().is_acknowledged);
        assert!(link.verify_byte(CONFIGURATION, 38).unwrap().is_acknowledged);
        assert!(!link.verify_byte(CONFIGURATION, 6).unwrap().is_acknowledged);
        // Across pages and back.
        assert!(link.verify_byte(MANUFACTURER, 13).unwrap().is_acknowledged);
        assert!(link.verify_byte(CONFIGURATION, 38).unwrap().is_acknowledged);
        link.disconnect();
        assert_eq!(link.programmer().rails().decoders[0].content(29), Some(38));
        assert!(!link.programmer().is_powered());
    }
}

#[test]
fn paged_work_is_finished_with_page_1() {
    let mut link = link(decoder(&[ServiceMode::Paged]));
    link.connect(&Permit::without_job(), Some(13)).unwrap();
    link.verify_byte(CONFIGURATION, 6).unwrap();
    link.disconnect();
    let heard = &link.programmer().rails().heard;
    let last_page = heard.iter().rev().find(|packet| packet.as_bytes()[0] == 0x7D).unwrap();
    assert_eq!(last_page.to_string(), "7D 01 7C");
}

#[test]
fn a_lock_that_hides_everything_is_found_and_opened() {
    let mut locked = FakeDecoder::holding(&[(8, 13), (15, 1), (16, 2), (29, 6)]);
    locked.lock = Some(Lock::Everything);
    let mut link = link(locked);
    let permit = Permit::without_job();
    let error = link.connect(&permit, None).unwrap_err();
    assert_eq!((error.clone(), error.way_out()), (LinkError::Locked { number: 2 }, WayOut::Diagnose));
    assert_eq!(link.open_lock(&permit, 3), Err(LinkError::Locked { number: 3 }), "not its number");
    link.open_lock(&permit, 2).unwrap();
    assert!(!link.programmer().is_powered());
    link.connect(&permit, None).unwrap();
    assert!(link.verify_byte(CONFIGURATION, 6).unwrap().is_acknowledged);
}

#[track_caller]
fn check_error(rails: FakeRails, expected: WayOut, message: &str) {
    let error = VirtualLink::new(rails).connect(&Permit::without_job(), None).unwrap_err();
    assert_eq!(error.way_out(), expected, "{error}");
    assert_eq!(error.to_string(), message);
}

#[test]
fn errors_say_what_can_be_done() {
    check_error(
        FakeRails::with(Vec::new()),
        WayOut::SeeToContact,
        "no current flows while looking for a decoder: is it the programming track, is the locomotive on it, are the wheels clean?",
    );
    let mut short = decoder(&[ServiceMode::Direct]);
    short.idle = 1000.0;
    check_error(
        FakeRails::with(vec![short]),
        WayOut::FindShort,
        "the programming track was switched off while looking for a decoder: 1 A, more than 250 mA for 100 ms",
    );
    let mut silent = decoder(&[ServiceMode::Direct]);
    silent.step = 0.0;
    check_error(
        FakeRails::with(vec![silent]),
        WayOut::Diagnose,
        "no acknowledgement in any mode, though the track carries 45.0 mA (noise 0.0 mA, swing 0.0 mA, peak 45.0 mA)",
    );
    let mut rails = FakeRails::with(vec![decoder(&[ServiceMode::Direct])]).seeded(9);
    rails.noise = 40.0;
    let error = VirtualLink::new(rails).connect(&Permit::without_job(), None).unwrap_err();
    assert_eq!(error.way_out(), WayOut::Retry, "{error}");
    let mut link = link(decoder(&[ServiceMode::Direct]));
    let error = link.verify_byte(MANUFACTURER, 13).unwrap_err();
    assert_eq!((error.way_out(), error), (WayOut::Reconnect, LinkError::NotConnected));
}
