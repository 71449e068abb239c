//! Tests of what is refused in a JPEG picture, and of the order of segments.

use super::{APP0, clean, keep};
use crate::photo::exif::only_orientation;
use crate::photo::picture::Broken;

const FRAME: &[u8] = &[8, 0, 16, 0, 24, 1, 1, 0x11, 0];
const SCAN: &[u8] = &[1, 1, 0, 0, 63, 0];
const DATA: &[u8] = &[1, 2, 0xFF, 0x00, 3, 0xFF, 0xD0, 4];

/// A picture of segments; the frame, a scan and its data stand at the end.
fn picture(segments: &[(u8, &[u8])]) -> Vec<u8> {
    let mut bytes = vec![0xFF, 0xD8];
    for (marker, segment) in segments.iter().chain(&[(0xC0, FRAME), (0xDA, SCAN)]) {
        keep(&mut bytes, *marker, segment);
    }
    bytes.extend(DATA);
    bytes.extend([0xFF, 0xD9]);
    bytes
}

fn cleaned(bytes: &[u8]) -> Result<Vec<u8>, Broken> {
    clean(bytes).map(|cleaned| cleaned.bytes)
}

#[test]
fn segments_that_draw_are_kept_and_those_that_tell_are_not() {
    let kept: [(u8, &[u8]); 4] = [
        (0xE0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0"),
        (0xE2, b"ICC_PROFILE\0\x01\x01x"),
        (0xEE, b"Adobe\0d\0\0\0\0\x01"),
        (0xDB, b"\0t"),
    ];
    let left_out: [(u8, &[u8]); 6] = [
        (0xE1, b"http://ns.adobe.com/xap/1.0/\0<x/>"),
        (0xE0, b"JFXX\0\x10thumbnail"),
        (0xE2, b"MPF\0II"),
        (0xED, b"Photoshop 3.0\0city"),
        (0xFE, b"comment"),
        (0xEF, b"anything"),
    ];
    let all: Vec<(u8, &[u8])> =
        [kept[0]].into_iter().chain(left_out).chain(kept[1..].iter().copied()).collect();
    assert_eq!(cleaned(&picture(&all)), Ok(picture(&kept)));
}

#[test]
fn the_orientation_stands_behind_jfif_or_first() {
    let block = [b"Exif\0\0".as_slice(), &only_orientation(6)].concat();
    let big = [b"Exif\0\0".as_slice(), &only_orientation(6), b"secret"].concat();
    let jfif = (APP0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0".as_slice());
    let table = (0xDB, b"\0t".as_slice());
    let sent = picture(&[table, (0xE1, &big)]);
    assert_eq!(cleaned(&sent), Ok(picture(&[(0xE1, &block), table])));
    let sent = picture(&[jfif, table, (0xE1, &big)]);
    assert_eq!(cleaned(&sent), Ok(picture(&[jfif, (0xE1, &block), table])));
}

#[test]
fn fill_bytes_before_a_mark_are_allowed_and_left_out() {
    let mut bytes = picture(&[]);
    bytes.splice(2..2, [0xFF, 0xFF]);
    assert_eq!(cleaned(&bytes), Ok(picture(&[])));
}

#[test]
fn what_is_broken_is_refused_with_its_place() {
    let whole = picture(&[]);
    let what = |bytes: &[u8]| cleaned(bytes).unwrap_err().what;
    assert_eq!(what(&[0xFF, 0xD8, 0xFF, 0xD9]), "it ends without a picture");
    assert_eq!(what(&[0xFF, 0xD8, 0xFF, 0xD8]), "a mark that cannot stand here");
    assert_eq!(what(&[0xFF, 0xD8, 0xFF, 0xE0, 0, 1]), "a segment with an impossible length");
    assert_eq!(what(&[0xFF, 0xD8, 0xFF, 0xF0, 0, 2]), "a segment that no JPEG picture has");
    assert_eq!(what(&whole[..whole.len() - 2]), "it ends too early");
    assert_eq!(
        what(&[&whole[..whole.len() - 2], &[0xFF, 0xFE, 0, 2, 7]].concat()),
        "bytes that belong to no segment"
    );
    let mut no_frame = vec![0xFF, 0xD8];
    keep(&mut no_frame, 0xDA, SCAN);
    assert_eq!(what(&no_frame), "a scan before its frame");
    let mut no_size = vec![0xFF, 0xD8];
    keep(&mut no_size, 0xC0, &[8, 0, 0, 0, 24, 1]);
    assert_eq!(cleaned(&no_size), Err(Broken { at: no_size.len(), what: "a frame without a size" }));
}
