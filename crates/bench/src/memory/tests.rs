//! Tests of [`super`].

use datasheets::CvPlace;

use super::{Memory, RESET_PENDING, matrix_mask, plain};
use crate::tests::sheet;

#[test]
fn on_delivery_the_sheet_speaks_first_and_the_standard_after_it() {
    let memory = Memory::on_delivery(&sheet("demo-21-sound"));
    assert_eq!(memory.get(plain(1)), Some(3), "standard");
    assert_eq!(memory.get(plain(3)), Some(6), "sheet");
    assert_eq!(memory.get(plain(7)), Some(41));
    assert_eq!(memory.get(plain(8)), Some(13));
    assert_eq!(memory.get(plain(124)), Some(0b1000_0001), "two roles of one CV");
    assert_eq!(memory.get(plain(12)), None, "not in the sheet");
    assert_eq!(memory.get(plain(67)), Some(9), "255/28 is 9.1");
    assert_eq!(memory.get(plain(94)), Some(255));
}

#[test]
fn a_decoder_without_the_output_lacks_its_bit() {
    let standard = Memory::on_delivery(&sheet("standard"));
    assert_eq!(standard.get(plain(36)), Some(8), "F2 drives output 4");
    assert_eq!(standard.get(plain(37)), Some(0), "output 5 is not there");
    assert_eq!(
        matrix_mask(38, &sheet("standard")),
        1,
        "F4 reaches outputs 4 to 11, of which only 4 is there (K65)"
    );
}

#[test]
fn paged_cvs_have_their_page() {
    let memory = Memory::on_delivery(&sheet("demo-8-paged"));
    assert_eq!(memory.get(CvPlace { page: Some((16, 2)), cv: 258 }), Some(88));
    assert_eq!(memory.get(plain(258)), None);
    assert_eq!(memory.get(CvPlace { page: Some((16, 0)), cv: 258 }), Some(20), "key F1");
}

#[test]
fn a_reset_that_has_begun_is_remembered_and_finishes() {
    let sheet = sheet("demo-21-sound");
    let mut memory = Memory::on_delivery(&sheet);
    memory.store(plain(3), 99);
    memory.store(plain(8), RESET_PENDING);
    assert!(memory.is_reset_pending());
    assert_eq!(memory.n_changes(), 2);
    memory.finish_reset(&sheet);
    assert!(!memory.is_reset_pending());
    assert_eq!(memory.get(plain(3)), Some(6));
    assert_eq!(memory.n_changes(), 3);
}
