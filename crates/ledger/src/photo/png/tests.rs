//! Tests of what is refused in a PNG picture.

use super::{SIGNATURE, check, clean, keep};

const HEADER: &[u8] = &[0, 0, 0, 24, 0, 0, 0, 16, 8, 2, 0, 0, 0];

fn picture(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
    let mut bytes = SIGNATURE.to_vec();
    for (name, data) in chunks {
        keep(&mut bytes, name, data);
    }
    bytes
}

#[test]
fn check_number_of_the_end() {
    // The end chunk is the same in every PNG picture: 49 45 4E 44 AE 42 60 82 (W3C PNG, section 11.2.5 with annex D).
    assert_eq!(check(b"IEND", b""), 0xAE42_6082);
}

#[test]
fn what_is_broken_is_refused() {
    let what = |bytes: &[u8]| clean(bytes).map(|_| ()).unwrap_err().what;
    let (header, data, end) = ((b"IHDR", HEADER), (b"IDAT", b"x".as_slice()), (b"IEND", b"".as_slice()));
    assert!(clean(&picture(&[header, data, end])).is_ok());
    assert_eq!(what(&picture(&[data, header, end])), "the header is not the first chunk");
    assert_eq!(what(&picture(&[header, header, data, end])), "a second header");
    assert_eq!(what(&picture(&[header, end])), "it ends without a picture");
    assert_eq!(what(&picture(&[header, data])), "it ends too early");
    assert_eq!(what(&picture(&[(b"IHDR", &HEADER[1..])])), "a header without a size");
    assert_eq!(what(&picture(&[(b"IHDR", &[0; 13])])), "a header without a size");
    assert_eq!(
        what(&picture(&[header, (b"QUAX", b"x"), data, end])),
        "a chunk that it needs and nobody knows"
    );
    assert_eq!(what(&picture(&[header, (b"q\0AX", b"x")])), "a chunk without a name");
    let mut flipped = picture(&[header, data, end]);
    flipped[20] ^= 1;
    assert_eq!(what(&flipped), "a chunk that does not fit its check number");
}
