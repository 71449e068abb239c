//! Tests of what is refused in a WebP picture.

use super::{clean, keep};

const LOSSLESS: (&[u8; 4], &[u8]) = (b"VP8L", &[0x2F, 23, 0xC0, 3, 0]);
const HEADER: (&[u8; 4], &[u8]) = (b"VP8X", &[0, 0, 0, 0, 23, 0, 0, 15, 0, 0]);

fn picture(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
    let mut body = b"WEBP".to_vec();
    for (name, data) in chunks {
        keep(&mut body, name, data);
    }
    let length = u32::try_from(body.len()).unwrap().to_le_bytes();
    [b"RIFF".as_slice(), &length, &body].concat()
}

#[test]
fn sizes_of_each_form() {
    let size = |bytes: &[u8]| clean(bytes).map(|cleaned| (cleaned.width, cleaned.height)).ok();
    assert_eq!(size(&picture(&[LOSSLESS])), Some((24, 16)));
    assert_eq!(size(&picture(&[HEADER, LOSSLESS])), Some((24, 16)));
    let lossy = (b"VP8 ", [0, 0, 0, 0x9D, 0x01, 0x2A, 24, 0, 16, 0x40, 9].as_slice());
    assert_eq!(size(&picture(&[lossy])), Some((24, 16)));
}

#[test]
fn an_odd_chunk_at_the_very_end_may_lack_its_padding() {
    let mut bytes = picture(&[LOSSLESS]);
    bytes.pop();
    bytes[4] -= 1;
    assert!(clean(&bytes).is_ok());
}

#[test]
fn what_is_broken_is_refused() {
    let what = |bytes: &[u8]| clean(bytes).map(|_| ()).unwrap_err().what;
    assert_eq!(what(&picture(&[])), "it ends without a picture");
    assert_eq!(what(&picture(&[HEADER])), "it ends without a picture");
    assert_eq!(what(&picture(&[(b"JUNK", b"xx"), LOSSLESS])), "the picture is not the first chunk");
    assert_eq!(what(&picture(&[HEADER, LOSSLESS, LOSSLESS])), "a second picture");
    assert_eq!(what(&picture(&[(b"VP8X", &[0; 9])])), "a header without a size");
    assert_eq!(what(&picture(&[(b"VP8L", &[0x30, 0, 0, 0, 0])])), "picture data without a size");
    assert_eq!(what(&picture(&[(b"VP8 ", &[0; 10])])), "picture data without a size");
    assert_eq!(what(&picture(&[HEADER, (b"ANMF", &[0; 20])])), "a broken frame");
    let whole = picture(&[LOSSLESS]);
    assert_eq!(what(&whole[..whole.len() - 2]), "it ends too early");
}

#[test]
fn what_tells_something_is_left_out_also_within_frames() {
    let mut frame = vec![0; 16];
    keep(&mut frame, b"VP8L", LOSSLESS.1);
    let mut telling = frame.clone();
    keep(&mut telling, b"EXIF", b"secret");
    let flagged = (b"VP8X", [0b0000_1110, 0, 0, 0, 23, 0, 0, 15, 0, 0].as_slice());
    let moving = (b"VP8X", [0b0000_0010, 0, 0, 0, 23, 0, 0, 15, 0, 0].as_slice());
    let sent = picture(&[
        flagged,
        (b"ANIM", &[0; 6]),
        (b"ANMF", &telling),
        (b"XMP ", b"secret"),
        (b"ABCD", b"secret"),
    ]);
    let expected = picture(&[moving, (b"ANIM", &[0; 6]), (b"ANMF", &frame)]);
    assert_eq!(clean(&sent).map(|cleaned| cleaned.bytes), Ok(expected));
}
