//! Tests of [`super`].

use proptest::prelude::*;

use super::{NOTCHES, notch, speeds};
use datasheets::Choice;

fn engine(text: &str) -> Choice {
    let sheet = crate::tests::sheet("demo-8-paged");
    let recordings = sheet.recordings(datasheets::RoleName::Voice(datasheets::VoicePart::Engine));
    recordings.into_iter().find(|choice| choice.is.to_string().contains(text)).unwrap()
}

#[test]
fn notches_are_equal_parts_of_the_throttle() {
    assert_eq!([0.0, 0.001, 0.125, 0.126, 0.5, 0.9, 1.0].map(notch), [0, 1, 1, 2, 4, 8, NOTCHES]);
}

#[test]
fn steam_has_no_engine_speed_and_a_four_stroke_its_own() {
    assert_eq!(speeds(&engine("steam").is), None);
    assert_eq!(speeds(&engine("four-stroke").is), Some((400.0, 1050.0)));
}

proptest! {
    #[test]
    fn more_throttle_is_never_a_lower_notch(one in 0.0..=1.0, other in 0.0..=1.0) {
        let (low, high) = if one <= other { (one, other) } else { (other, one) };
        prop_assert!(notch(low) <= notch(high) && notch(high) <= NOTCHES);
    }
}
