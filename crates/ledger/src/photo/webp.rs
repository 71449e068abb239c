//! WebP: which of its chunks are the picture.
//!
//! What is kept: picture data, transparency, animation, ICC profile. What is left out: Exif, XMP, chunks that nobody knows, and
//! whatever stands behind the end.
//!
//! Source: RFC 9649, section 2 (RIFF container: 2.3 to 2.7); the sizes within picture data: RFC 6386, section 9.1 (VP8), and
//! RFC 9649, section 3.4 (VP8L); all from memory.

use super::exif;
use super::picture::{Broken, Cleaned, Cutter};

/// Bits of the extended header's first byte (RFC 9649, section 2.7.1).
const HAS_EXIF: u8 = 0b0000_1000;
const HAS_XMP: u8 = 0b0000_0100;

pub(super) fn clean(bytes: &[u8]) -> Result<Cleaned, Broken> {
    let mut cutter = Cutter::new(bytes);
    cutter.take(4)?; // RIFF
    let length = u32::from_le_bytes(cutter.array()?);
    let body = cutter.take(usize::try_from(length).unwrap_or(usize::MAX))?;
    let mut cutter = Cutter::new(body);
    let mut kept = cutter.take(4)?.to_vec(); // WEBP
    let (mut size, mut extended_at, mut has_data, mut orientation) = (None, None, false, None);
    while !cutter.rest().is_empty() {
        let (name, data) = chunk(&mut cutter)?;
        let is_first = kept.len() == 4;
        match &name {
            b"VP8X" if is_first => {
                size = Some(extended_size(data).ok_or(cutter.broken("a header without a size"))?);
                extended_at = Some(kept.len() + 8);
                keep(&mut kept, b"VP8X", data);
            }
            b"VP8 " | b"VP8L" if is_first || (extended_at.is_some() && !has_data) => {
                let of_data = if &name == b"VP8 " { lossy_size(data) } else { lossless_size(data) };
                let of_data = of_data.ok_or(cutter.broken("picture data without a size"))?;
                size.get_or_insert(of_data);
                has_data = true;
                keep(&mut kept, &name, data);
            }
            // In the simple form nothing but the picture counts.
            _ if extended_at.is_none() && has_data => {}
            _ if extended_at.is_none() => return Err(cutter.broken("the picture is not the first chunk")),
            b"EXIF" => {
                let block = data.strip_prefix(b"Exif\0\0").unwrap_or(data);
                orientation = orientation.or(exif::orientation(block));
            }
            b"ICCP" | b"ANIM" | b"ALPH" => keep(&mut kept, &name, data),
            b"ANMF" => {
                has_data = true;
                keep(&mut kept, b"ANMF", &frame(data).ok_or(cutter.broken("a broken frame"))?);
            }
            b"VP8X" | b"VP8 " | b"VP8L" => return Err(cutter.broken("a second picture")),
            _ => {}
        }
    }
    let (Some((width, height)), true) = (size, has_data) else {
        return Err(cutter.broken("it ends without a picture"));
    };
    // Only the extended form may carry an orientation.
    if let Some(flags) = extended_at.and_then(|at| kept.get_mut(at)) {
        *flags &= !(HAS_EXIF | HAS_XMP);
        if let Some(orientation) = orientation {
            *flags |= HAS_EXIF;
            keep(&mut kept, b"EXIF", &exif::only_orientation(orientation));
        }
    }
    let mut bytes = b"RIFF".to_vec();
    bytes.extend(u32::try_from(kept.len()).unwrap_or(u32::MAX).to_le_bytes());
    bytes.append(&mut kept);
    Ok(Cleaned { width, height, bytes })
}

/// A chunk; behind one of odd length stands a byte that counts for nothing.
fn chunk<'a>(cutter: &mut Cutter<'a>) -> Result<([u8; 4], &'a [u8]), Broken> {
    let name: [u8; 4] = cutter.array()?;
    let length = usize::try_from(u32::from_le_bytes(cutter.array()?)).unwrap_or(usize::MAX);
    let data = cutter.take(length)?;
    // Some writers leave the byte out at the very end.
    if length % 2 == 1 && !cutter.rest().is_empty() {
        cutter.take(1)?;
    }
    Ok((name, data))
}

fn keep(kept: &mut Vec<u8>, name: &[u8; 4], data: &[u8]) {
    kept.extend(name);
    kept.extend(u32::try_from(data.len()).unwrap_or(u32::MAX).to_le_bytes());
    kept.extend_from_slice(data);
    if data.len() % 2 == 1 {
        kept.push(0);
    }
}

/// A frame of a moving picture: sixteen bytes of header, then chunks, of which the picture's are kept (section 2.7.1.1).
fn frame(data: &[u8]) -> Option<Vec<u8>> {
    let mut cutter = Cutter::new(data);
    let mut kept = cutter.take(16).ok()?.to_vec();
    while !cutter.rest().is_empty() {
        let (name, data) = chunk(&mut cutter).ok()?;
        if matches!(&name, b"ALPH" | b"VP8 " | b"VP8L") {
            keep(&mut kept, &name, data);
        }
    }
    Some(kept)
}

/// Canvas width and height, each three bytes of one less (section 2.7.1).
fn extended_size(data: &[u8]) -> Option<(u32, u32)> {
    let &[_, _, _, _, w1, w2, w3, h1, h2, h3] = data else { return None };
    Some((u32::from_le_bytes([w1, w2, w3, 0]) + 1, u32::from_le_bytes([h1, h2, h3, 0]) + 1))
}

/// Fourteen bits each, behind the three bytes of the frame's tag and the start code (RFC 6386, section 9.1).
fn lossy_size(data: &[u8]) -> Option<(u32, u32)> {
    let &[_, _, _, 0x9D, 0x01, 0x2A, w1, w2, h1, h2, ..] = data else { return None };
    let side = |low, high| u32::from(u16::from_le_bytes([low, high]) & 0x3FFF);
    let size = (side(w1, w2), side(h1, h2));
    (size.0 > 0 && size.1 > 0).then_some(size)
}

/// Fourteen bits each of one less, behind the signature (RFC 9649, section 3.4).
fn lossless_size(data: &[u8]) -> Option<(u32, u32)> {
    let &[0x2F, b1, b2, b3, b4, ..] = data else { return None };
    let bits = u32::from_le_bytes([b1, b2, b3, b4]);
    Some(((bits & 0x3FFF) + 1, ((bits >> 14) & 0x3FFF) + 1))
}

#[cfg(test)]
mod tests;
