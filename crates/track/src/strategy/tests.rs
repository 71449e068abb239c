//! Reading over fake rails, good and bad decoders alike.

use datasheets::ServiceMode;
use dcc::{CvNumber, Microseconds};
use proptest::prelude::*;

use super::{Content, Identity, IdentityError, identify, plain_read_time, read};
use crate::fake::{FakeDecoder, FakeRails, Lock};
use crate::link::{Link, VirtualLink};
use crate::permit::Permit;
use crate::standard::{CONFIGURATION, MANUFACTURER};

fn connected(decoders: Vec<FakeDecoder>, noise: f32, seed: u64) -> VirtualLink<FakeRails> {
    let mut rails = FakeRails::with(decoders).seeded(seed);
    rails.noise = noise;
    let mut link = VirtualLink::new(rails);
    link.connect(&Permit::without_job(), Some(13)).unwrap();
    link
}

fn holding(value: u8) -> FakeDecoder {
    FakeDecoder::holding(&[(7, 41), (8, 13), (29, value)])
}

#[test]
fn a_guess_that_is_right_saves_the_bits() {
    let mut link = connected(vec![holding(6)], 0.0, 1);
    let guessed = read(&mut link, CONFIGURATION, Some(6)).unwrap();
    assert_eq!((guessed.content, guessed.n_tries), (Content::Value(6), 1));
    // Reference text, 5.6: one comparison, acknowledged in its third packet, and the whole reading by bits.
    assert_eq!(guessed.rail_time, Microseconds::from_micros(56_724));
    assert_eq!(guessed.plain_rail_time, Some(Microseconds::from_micros(558_972)));
    let plain = read(&mut link, CONFIGURATION, None).unwrap();
    assert_eq!((plain.content, plain.rail_time), (Content::Value(6), Microseconds::from_micros(558_972)));
    let wrong = read(&mut link, CONFIGURATION, Some(7)).unwrap();
    assert_eq!((wrong.content, wrong.n_tries), (Content::Value(6), 2));
}

#[test]
fn a_missing_cv_is_absent_and_never_255() {
    let mut link = connected(vec![holding(6)], 0.0, 1);
    let reading = read(&mut link, CvNumber::new(200).unwrap(), Some(255)).unwrap();
    assert_eq!((reading.content, reading.plain_rail_time), (Content::Absent, None));
    let mut full = connected(vec![holding(255)], 0.0, 1);
    assert_eq!(read(&mut full, CONFIGURATION, None).unwrap().content, Content::Value(255));
}

#[test]
fn a_locked_decoder_is_silent_and_never_0() {
    let mut locked = FakeDecoder::holding(&[(8, 13), (15, 1), (16, 2), (29, 0)]);
    locked.lock = Some(Lock::Everything);
    let mut link = VirtualLink::new(FakeRails::with(vec![locked.clone()]));
    assert!(link.connect(&Permit::without_job(), None).is_err());
    locked.memory.insert(crate::standard::plain(crate::standard::LOCK_KEY), 2);
    let mut link = connected(vec![locked], 0.0, 1);
    assert_eq!(read(&mut link, CONFIGURATION, None).unwrap().content, Content::Value(0));
    link.write_byte(crate::standard::LOCK_KEY, 1).unwrap();
    let reading = read(&mut link, CONFIGURATION, None).unwrap();
    assert_eq!((reading.content, reading.n_tries), (Content::Silent, 3));
}

#[test]
fn counting_finds_a_value_where_bits_cannot_be_asked_for() {
    for mode in [ServiceMode::Paged, ServiceMode::Register] {
        let mut decoder = holding(6);
        decoder.modes = vec![mode];
        let mut link = connected(vec![decoder], 0.0, 1);
        assert_eq!(link.mode(), Some(mode));
        let reading = read(&mut link, CONFIGURATION, None).unwrap();
        assert_eq!(reading.content, Content::Value(6));
        assert_eq!(Some(reading.rail_time), reading.plain_rail_time, "{mode}");
        assert_eq!(read(&mut link, CONFIGURATION, Some(6)).unwrap().content, Content::Value(6));
    }
}

#[test]
fn two_decoders_are_told_by_the_second_look() {
    let expected = Identity { manufacturer: 13, version: 41 };
    let mut link = connected(vec![holding(6)], 0.0, 1);
    assert_eq!(identify(&mut link, expected), Ok(expected));
    // 13 and 5: together they look like 13 however often one asks for ones.
    let other = FakeDecoder::holding(&[(7, 41), (8, 5), (29, 6)]);
    let mut link = connected(vec![holding(6), other], 0.0, 1);
    assert_eq!(read(&mut link, MANUFACTURER, None).unwrap().content, Content::Value(13));
    let error = identify(&mut link, expected).unwrap_err();
    assert!(matches!(error, IdentityError::Contradiction { value: 13, .. }), "{error}");
    assert_eq!(
        error.to_string(),
        "cannot identify the decoder: CV8 reads 13, yet bit 3 of it is acknowledged as 0 too"
    );
    // 13 and 18: they spell 31, which neither confirms.
    let other = FakeDecoder::holding(&[(7, 41), (8, 18), (29, 6)]);
    let mut link = connected(vec![holding(6), other], 0.0, 1);
    let error = identify(&mut link, expected).unwrap_err();
    assert_eq!(error.to_string(), "cannot identify the decoder: CV8 gives unsettled: 31, 31, 31");
}

#[test]
fn the_plain_way_costs_what_the_reference_text_says() {
    let cv1 = CvNumber::FIRST;
    for (cv, value, microseconds) in [
        (CONFIGURATION, 38, 550_224),
        (cv1, 3, 567_876),
        (MANUFACTURER, 0, 576_972),
        (MANUFACTURER, 255, 505_476),
    ] {
        assert_eq!(
            plain_read_time(ServiceMode::Direct, cv, value),
            Microseconds::from_micros(microseconds),
            "{cv} = {value}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Up to 5 mA of noise, any value, any guess: the value is read, and nothing is called a value that is none.
    #[test]
    fn every_value_is_read(value: u8, guess: Option<u8>, noise in 0.0_f32..5.0, seed: u64) {
        let mut link = connected(vec![holding(value)], noise, seed);
        prop_assert_eq!(read(&mut link, CONFIGURATION, guess).unwrap().content, Content::Value(value));
    }

    /// Two decoders with different numbers never pass for one.
    #[test]
    fn two_different_decoders_never_pass_for_one(first: u8, second: u8) {
        prop_assume!(first != second);
        let decoders = [first, second].map(|number| FakeDecoder::holding(&[(7, 41), (8, number)]));
        let mut link = connected(decoders.to_vec(), 0.5, 3);
        let found = identify(&mut link, Identity { manufacturer: first, version: 41 });
        prop_assert!(found.is_err(), "{:?}", found);
    }

    /// Where a third of the packets is not heard, page writes are missed, and the answers to a question would be those of
    /// another CV. A value that is given is the CV's own all the same, and no other CV is ever written.
    #[test]
    fn a_page_that_was_not_heard_leads_to_no_other_cv(
        contents in proptest::collection::vec(0_u8..6, 12),
        unheard in 0.0_f32..1.0,
        written: u8,
        acknowledges_pages: bool,
        seed: u64,
    ) {
        let cvs: Vec<(u16, u8)> = (65..77).zip(contents.iter().copied()).chain([(7, 41), (8, 13)]).collect();
        let mut decoder = FakeDecoder::holding(&cvs);
        decoder.modes = vec![ServiceMode::Paged];
        decoder.acknowledges_pages = acknowledges_pages;
        let mut link = connected(vec![decoder], 0.5, seed);
        prop_assume!(link.mode() == Some(ServiceMode::Paged));
        // Without acknowledgements of pages only repetition helps: at a tenth, three in a row miss once in 10^10.
        link.programmer_mut().rails_mut().unheard = unheard * if acknowledges_pages { 0.35 } else { 0.1 };
        for (cv, value) in (65_u16..77).zip(&contents) {
            let Ok(reading) = read(&mut link, CvNumber::new(cv).unwrap(), Some(value ^ 1)) else { continue };
            prop_assert!(reading.content.value().is_none_or(|read| read == *value), "CV{cv}: {:?}", reading);
        }
        for cv in [70, 75, 66] {
            let before = link.programmer().rails().decoders[0].clone();
            let _ = link.write_byte(CvNumber::new(cv).unwrap(), written);
            let after = &link.programmer().rails().decoders[0];
            for (place, value) in &before.memory {
                prop_assert!(place.cv == cv || after.memory[place] == *value, "{} instead of CV{}", place, cv);
            }
        }
    }

    /// A paged decoder that was badly heard while its mode was looked for may be taken for one with registers only; its
    /// registers are read on page 1 all the same.
    #[test]
    fn a_mode_found_on_a_bad_contact_gives_no_wrong_value(
        contents in proptest::collection::vec(0_u8..6, 8),
        unheard in 0.1_f32..0.45,
        seed: u64,
    ) {
        // CV5 to CV8 and CV29 to CV32 are where registers 1 to 4 would be on other pages.
        let cvs = [1_u16, 2, 3, 4, 5, 6, 29, 30].into_iter().zip(contents.iter().copied());
        let cvs: Vec<(u16, u8)> = cvs.chain([(7, 41), (8, 13)]).collect();
        let mut decoder = FakeDecoder::holding(&cvs);
        decoder.modes = vec![ServiceMode::Paged];
        let mut rails = FakeRails::with(vec![decoder]).seeded(seed);
        rails.unheard = unheard;
        let mut link = VirtualLink::new(rails);
        prop_assume!(link.connect(&Permit::without_job(), Some(13)).is_ok());
        for (cv, value) in cvs {
            let Ok(reading) = read(&mut link, CvNumber::new(cv).unwrap(), Some(value ^ 1)) else { continue };
            prop_assert!(reading.content.value().is_none_or(|read| read == value), "CV{}: {:?}", cv, reading);
        }
    }
}
