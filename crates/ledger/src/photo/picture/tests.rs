//! Tests of the cleaning of pictures, against what another encoder writes when it is told nothing.

use proptest::prelude::*;

use super::{MOST_PIXELS, PictureFault, PictureFormat, clean};

/// Pairs made by Pillow: as sent, with all kinds of metadata, and as it writes the same picture without (see
/// `tests/fixtures/photos/make.py`).
macro_rules! pairs {
    ($($name:literal),* $(,)?) => {
        [$((
            $name,
            include_bytes!(concat!("../../../tests/fixtures/photos/sent/", $name)).as_slice(),
            include_bytes!(concat!("../../../tests/fixtures/photos/clean/", $name)).as_slice(),
        )),*]
    };
}

const PAIRS: [(&str, &[u8], &[u8]); 11] = pairs![
    "alpha.webp",
    "cmyk.jpg",
    "lossless.webp",
    "moving.png",
    "moving.webp",
    "palette.png",
    "phone.jpg",
    "phone.webp",
    "plain.webp",
    "progressive.jpg",
    "tablet.png",
];

fn holds(bytes: &[u8], piece: &[u8]) -> bool {
    bytes.windows(piece.len()).any(|window| window == piece)
}

#[test]
fn what_is_left_is_what_the_encoder_writes_without_metadata() {
    for (name, sent, expected) in PAIRS {
        let picture = clean(sent).unwrap();
        assert!(picture.bytes == expected, "{name} is not as Pillow writes it without metadata");
        assert_eq!((picture.width, picture.height), (24, 16), "{name}");
        assert!(name.ends_with(picture.format.extension()));
        assert!(!holds(&picture.bytes, b"secret") && !holds(&picture.bytes, b"tail"), "{name}");
        let again = clean(&picture.bytes).unwrap();
        assert_eq!(again, picture, "{name} changes when it is cleaned again");
    }
    let n_telling = PAIRS.iter().filter(|(_, sent, _)| holds(sent, b"secret")).count();
    assert!(n_telling >= 8, "the pictures as sent must tell something, or this shows nothing");
}

#[test]
fn every_truncation_is_refused_or_lost_only_what_is_left_out() {
    for (name, sent, expected) in PAIRS {
        for length in 0..sent.len() {
            if let Ok(picture) = clean(&sent[..length]) {
                assert!(picture.bytes == expected, "{name} cut at {length} is taken as another picture");
            }
        }
        assert!(clean(&expected[..expected.len() - 1]).is_err(), "{name} without its last byte");
    }
}

#[test]
fn other_things_are_refused_whatever_they_are_called() {
    let svg = b"<svg xmlns=\"http://www.w3.org/2000/svg\" onload=\"alert(1)\"/>";
    for bytes in [
        b"".as_slice(),
        b"GIF89a\x01\x00\x01\x00",
        svg,
        b"\xFF\xD8",
        b"RIFF\0\0\0\0WAVE",
        b"%PDF-1.7",
        b"PK\x03\x04",
    ] {
        assert_eq!(clean(bytes), Err(PictureFault::Format), "{bytes:?}");
    }
    assert_eq!(
        PictureFault::Format.to_string(),
        "this is no JPEG, PNG or WebP picture: send a photo in one of these formats"
    );
}

#[test]
fn a_picture_that_claims_to_be_gigantic_is_refused() {
    let (_, _, jpeg) = PAIRS[1];
    // The frame's height and width follow its mark, length and precision.
    let frame = jpeg.windows(2).position(|pair| pair == [0xFF, 0xC0]).unwrap();
    let mut jpeg = jpeg.to_vec();
    jpeg[frame + 5..frame + 9].fill(0xFF);
    assert_eq!(clean(&jpeg), Err(PictureFault::TooManyPixels { width: 65_535, height: 65_535 }));
    const { assert!(MOST_PIXELS < 65_535 * 65_535) };
}

#[test]
fn media_types_lead_back() {
    for format in PictureFormat::ALL {
        assert_eq!(PictureFormat::from_media_type(format.media_type()), Some(format));
    }
    assert_eq!(PictureFormat::from_media_type("image/svg+xml"), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]
    #[test]
    fn nothing_makes_it_panic_and_what_is_taken_stays_as_it_is(
        which in 0usize..PAIRS.len(),
        hits in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = PAIRS[which].1.to_vec();
        for (at, value) in hits {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        if let Ok(picture) = clean(&bytes) {
            prop_assert!(picture.bytes.len() <= bytes.len() + 64);
            prop_assert_eq!(clean(&picture.bytes), Ok(picture));
        }
    }

    #[test]
    fn any_bytes_behind_a_signature(which in 0usize..PAIRS.len(), tail in proptest::collection::vec(any::<u8>(), 0..200)) {
        let mut bytes = PAIRS[which].1[..12].to_vec();
        bytes.extend(tail);
        let _ = clean(&bytes);
    }
}
