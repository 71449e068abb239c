//! The one thing of a photo's metadata that is kept: which way up it is.
//!
//! What it is: the orientation read from an EXIF block, and the smallest block that says nothing else. Without it every
//! portrait photo of a tablet would lie on its side.
//! What it is not: a reader of EXIF. A block that cannot be read says nothing, and is left out like all others.
//!
//! Source: TIFF 6.0, sections 2 (file header, image file directory) and 8 (Orientation, tag 274); CIPA DC-008 (Exif),
//! section 4.5 (from memory).

/// The tag of the orientation (TIFF 6.0, section 8: 274).
const ORIENTATION: u16 = 0x0112;
/// The type of a 16-bit number (TIFF 6.0, section 2).
const SHORT: u16 = 3;

/// Which way up a picture is, 2 to 8; none where it stands as it is (1), or where the block does not say.
pub(super) fn orientation(block: &[u8]) -> Option<u8> {
    let is_little = match block.get(..4)? {
        b"II\x2a\x00" => true,
        b"MM\x00\x2a" => false,
        _ => return None,
    };
    let short = |at: usize| -> Option<u16> {
        let bytes: [u8; 2] = block.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if is_little { u16::from_le_bytes(bytes) } else { u16::from_be_bytes(bytes) })
    };
    let long = |at: usize| -> Option<usize> {
        let bytes: [u8; 4] = block.get(at..at.checked_add(4)?)?.try_into().ok()?;
        usize::try_from(if is_little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) }).ok()
    };
    let directory = long(4)?;
    let n_entries = usize::from(short(directory)?);
    let entries = (0..n_entries).map_while(|index| directory.checked_add(2 + 12 * index));
    for entry in entries {
        if short(entry)? == ORIENTATION {
            if short(entry + 2)? != SHORT || long(entry + 4)? != 1 {
                return None;
            }
            let value = u8::try_from(short(entry + 8)?).ok()?;
            return (2..=8).contains(&value).then_some(value);
        }
    }
    None
}

/// A block with one entry: the orientation.
pub(super) fn only_orientation(orientation: u8) -> Vec<u8> {
    let mut block = b"MM\x00\x2a".to_vec();
    block.extend(8u32.to_be_bytes()); // the directory follows at once
    block.extend(1u16.to_be_bytes()); // it has one entry
    block.extend(ORIENTATION.to_be_bytes());
    block.extend(SHORT.to_be_bytes());
    block.extend(1u32.to_be_bytes()); // one number
    block.extend([0, orientation, 0, 0]); // at the front of the value's four bytes
    block.extend(0u32.to_be_bytes()); // no further directory
    block
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{only_orientation, orientation};

    #[test]
    fn leads_back() {
        for value in 2..=8 {
            assert_eq!(orientation(&only_orientation(value)), Some(value));
        }
        for value in [0, 1, 9, 255] {
            assert_eq!(orientation(&only_orientation(value)), None);
        }
    }

    #[test]
    fn little_endian_and_not_the_first_entry() {
        let block = b"II\x2a\x00\x08\x00\x00\x00\x02\x00\
            \x0f\x01\x02\x00\x04\x00\x00\x00ab\x00\x00\
            \x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00\
            \x00\x00\x00\x00";
        assert_eq!(orientation(block), Some(6));
    }

    proptest! {
        #[test]
        fn nothing_makes_it_panic(mut block in proptest::collection::vec(any::<u8>(), 0..64), at in 0usize..64) {
            let _ = orientation(&block);
            block.splice(0..0, b"II\x2a\x00".iter().copied());
            let _ = orientation(&block);
            let mut cut = only_orientation(6);
            cut.truncate(at);
            let _ = orientation(&cut);
        }
    }
}
