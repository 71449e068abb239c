//! JPEG: which of its segments are the picture.
//!
//! What is kept: tables, frames, scans, and the application segments that change how the picture is drawn (JFIF, ICC profile,
//! Adobe's colour transform). What is left out: Exif and XMP with place, time and device, comments, thumbnails, and whatever
//! stands behind the end of the picture, where phones put further pictures and films with metadata of their own.
//!
//! Source: ITU-T T.81, annex B (markers and segments; B.1.1.5 on bytes within a scan); ITU-T T.871, 10.1 (JFIF); ICC.1,
//! annex B.4 (profiles in JPEG); ITU-T T.872, 6.5.3 (Adobe's segment); all from memory.

use super::exif;
use super::picture::{Broken, Cleaned, Cutter};

/// The first bytes: start of image, and the mark of the segment that must follow.
pub(super) const SIGNATURE: &[u8] = &[0xFF, START_OF_IMAGE, 0xFF];

const START_OF_IMAGE: u8 = 0xD8;
const END_OF_IMAGE: u8 = 0xD9;
const START_OF_SCAN: u8 = 0xDA;
const APP0: u8 = 0xE0;
const APP1: u8 = 0xE1;
const APP2: u8 = 0xE2;
const APP14: u8 = 0xEE;

pub(super) fn clean(bytes: &[u8]) -> Result<Cleaned, Broken> {
    let mut cutter = Cutter::new(bytes);
    let mut kept = cutter.take(2)?.to_vec();
    let mut size = None;
    let mut orientation = None;
    let mut has_scan = false;
    // Where the orientation goes: behind JFIF's segment, which must be the first.
    let mut insert_at = kept.len();
    loop {
        let marker = next_marker(&mut cutter)?;
        match marker {
            END_OF_IMAGE => break,
            // A second start, restart marks outside a scan, and marks without meaning.
            0x00 | 0x01 | 0xD0..=START_OF_IMAGE => return Err(cutter.broken("a mark that cannot stand here")),
            _ => {}
        }
        let segment = segment(&mut cutter)?;
        match marker {
            // Frames of every process; between them stand tables and a reserved mark.
            0xC0..=0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF => {
                let &[_, h1, h2, w1, w2, ..] = segment else {
                    return Err(cutter.broken("a frame without a size"));
                };
                let found = (u16::from_be_bytes([w1, w2]), u16::from_be_bytes([h1, h2]));
                if found.0 == 0 || found.1 == 0 {
                    return Err(cutter.broken("a frame without a size"));
                }
                size.get_or_insert(found);
            }
            // Huffman and arithmetic tables, quantisation, number of lines, restart interval, hierarchy.
            0xC4 | 0xCC | 0xDB..=0xDF => {}
            START_OF_SCAN if size.is_none() => return Err(cutter.broken("a scan before its frame")),
            START_OF_SCAN => {}
            APP1 => {
                let block = segment.strip_prefix(b"Exif\0\0");
                orientation = orientation.or(block.and_then(exif::orientation));
                continue;
            }
            APP0 if segment.starts_with(b"JFIF\0") => {}
            APP2 if segment.starts_with(b"ICC_PROFILE\0") => {}
            APP14 if segment.starts_with(b"Adobe") => {}
            // The other application segments and comments.
            APP0..=0xEF | 0xFE => continue,
            _ => return Err(cutter.broken("a segment that no JPEG picture has")),
        }
        keep(&mut kept, marker, segment);
        if marker == APP0 && insert_at == 2 {
            insert_at = kept.len();
        }
        if marker == START_OF_SCAN {
            has_scan = true;
            kept.extend_from_slice(scan(&mut cutter)?);
        }
    }
    let (Some((width, height)), true) = (size, has_scan) else {
        return Err(cutter.broken("it ends without a picture"));
    };
    kept.extend([0xFF, END_OF_IMAGE]);
    if let Some(orientation) = orientation {
        let block = [b"Exif\0\0".as_slice(), &exif::only_orientation(orientation)].concat();
        let mut inserted = Vec::new();
        keep(&mut inserted, APP1, &block);
        kept.splice(insert_at..insert_at, inserted);
    }
    Ok(Cleaned { width: width.into(), height: height.into(), bytes: kept })
}

/// The next mark's second byte; before it stands 0xFF, as often as the writer liked (T.81, B.1.1.2).
fn next_marker(cutter: &mut Cutter<'_>) -> Result<u8, Broken> {
    if cutter.array::<1>()? != [0xFF] {
        return Err(cutter.broken("bytes that belong to no segment"));
    }
    loop {
        let [marker] = cutter.array()?;
        if marker != 0xFF {
            return Ok(marker);
        }
    }
}

/// A segment's content, without the length before it, which counts itself.
fn segment<'a>(cutter: &mut Cutter<'a>) -> Result<&'a [u8], Broken> {
    let length = u16::from_be_bytes(cutter.array()?);
    let n_bytes =
        usize::from(length).checked_sub(2).ok_or(cutter.broken("a segment with an impossible length"))?;
    cutter.take(n_bytes)
}

/// The bytes of a scan, up to the next mark that is neither a stuffed zero nor a restart.
fn scan<'a>(cutter: &mut Cutter<'a>) -> Result<&'a [u8], Broken> {
    let rest = cutter.rest();
    let is_end = |pair: &[u8]| pair[0] == 0xFF && !matches!(pair[1], 0x00 | 0xD0..=0xD7);
    let n_bytes = rest.windows(2).position(is_end).unwrap_or(rest.len());
    let scan = cutter.take(n_bytes)?;
    if cutter.rest().is_empty() { Err(cutter.broken("it ends too early")) } else { Ok(scan) }
}

fn keep(kept: &mut Vec<u8>, marker: u8, segment: &[u8]) {
    kept.extend([0xFF, marker]);
    // A segment that was read has a length that fits.
    let length = u16::try_from(segment.len() + 2).unwrap_or(u16::MAX);
    kept.extend(length.to_be_bytes());
    kept.extend_from_slice(segment);
}

#[cfg(test)]
mod tests;
