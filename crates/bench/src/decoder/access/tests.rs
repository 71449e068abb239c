//! Tests of [`super`].

use datasheets::CvPlace;
use dcc::cv::IndexedCv;
use proptest::prelude::*;

use super::{Access, Verdict};
use crate::memory::{Memory, RESET_PENDING, plain};
use crate::tests::sheet;

fn of(name: &str) -> (Access, Memory) {
    let sheet = sheet(name);
    (Access::of(&sheet), Memory::on_delivery(&sheet))
}

#[test]
fn the_first_four_pages_are_the_plain_cvs() {
    let (access, mut memory) = of("demo-8-paged");
    for low in 0..=3 {
        memory.store(plain(32), low);
        for cv in 257..=512 {
            let indexed = IndexedCv::in_window(0, low, dcc::CvNumber::new(cv).unwrap()).unwrap();
            assert_eq!(access.locate(cv, &memory), plain(indexed.plain_cv().unwrap().get()));
        }
    }
    memory.store(plain(31), 16);
    assert_eq!(access.locate(300, &memory), CvPlace { page: Some((16, 3)), cv: 300 });
    assert_eq!(access.locate(256, &memory), plain(256));
}

#[test]
fn a_decoder_without_page_registers_has_no_pages() {
    let (access, memory) = of("demo-21-sound");
    assert_eq!(access.locate(300, &memory), plain(300));
}

#[test]
fn a_reset_begins_with_255_in_cv8_and_then_nothing_is_written() {
    let (access, mut memory) = of("demo-21-sound");
    assert_eq!(access.judge(8, 8, &memory), Verdict::Stores(vec![(plain(8), RESET_PENDING)]));
    memory.store(plain(8), RESET_PENDING);
    assert_eq!(access.judge(3, 1, &memory), Verdict::Refused);
    assert_eq!(access.judge(8, 8, &memory), Verdict::Refused);
}

proptest! {
    #[test]
    fn whatever_is_written_the_decoder_has_it(cv in 1_u16..=1024, value: u8, page: (u8, u8), name in 0_usize..3) {
        let (access, mut memory) = of(["standard", "demo-21-sound", "demo-8-paged"][name]);
        memory.store(plain(31), page.0);
        memory.store(plain(32), page.1);
        if let Verdict::Stores(values) = access.judge(cv, value, &memory) {
            for (place, value) in values {
                prop_assert!(memory.get(place).is_some(), "{place} = {value}");
            }
        }
    }
}
