//! PNG: which of its chunks are the picture.
//!
//! What is kept: the chunks that change how the picture is drawn, also those of a moving one. What is left out: texts, times,
//! Exif, chunks that nobody knows, and whatever stands behind the end.
//!
//! Source: W3C, "Portable Network Graphics (PNG) Specification (Third Edition)", sections 5.3 (chunk layout), 11 (chunks) and
//! annex D (the cyclic redundancy code), from memory.

use super::exif;
use super::picture::{Broken, Cleaned, Cutter};

/// The first bytes (section 5.2).
pub(super) const SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";

/// The chunks that are kept.
const KEPT: [&[u8; 4]; 16] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB", b"cICP",
    b"bKGD", b"pHYs", b"acTL", b"fcTL", b"fdAT",
];

pub(super) fn clean(bytes: &[u8]) -> Result<Cleaned, Broken> {
    let mut cutter = Cutter::new(bytes);
    let mut kept = cutter.take(SIGNATURE.len())?.to_vec();
    let (mut size, mut has_data) = (None, false);
    loop {
        let (name, data) = chunk(&mut cutter)?;
        if size.is_none() && &name != b"IHDR" {
            return Err(cutter.broken("the header is not the first chunk"));
        }
        match &name {
            b"IHDR" if size.is_some() => return Err(cutter.broken("a second header")),
            b"IHDR" => size = Some(header(data).ok_or(cutter.broken("a header without a size"))?),
            b"IDAT" => has_data = true,
            b"eXIf" => {
                if let Some(orientation) = exif::orientation(data) {
                    keep(&mut kept, b"eXIf", &exif::only_orientation(orientation));
                }
                continue;
            }
            _ => {}
        }
        if KEPT.contains(&&name) {
            keep(&mut kept, &name, data);
        } else if name[0].is_ascii_uppercase() {
            // An upper-case first letter says that the picture cannot be drawn without it (section 5.4).
            return Err(cutter.broken("a chunk that it needs and nobody knows"));
        }
        if &name == b"IEND" {
            break;
        }
    }
    match size {
        Some((width, height)) if has_data => Ok(Cleaned { width, height, bytes: kept }),
        _ => Err(cutter.broken("it ends without a picture")),
    }
}

fn chunk<'a>(cutter: &mut Cutter<'a>) -> Result<([u8; 4], &'a [u8]), Broken> {
    let length = u32::from_be_bytes(cutter.array()?);
    let name: [u8; 4] = cutter.array()?;
    if !name.iter().all(u8::is_ascii_alphabetic) {
        return Err(cutter.broken("a chunk without a name"));
    }
    let data = cutter.take(usize::try_from(length).unwrap_or(usize::MAX))?;
    if u32::from_be_bytes(cutter.array()?) != check(&name, data) {
        return Err(cutter.broken("a chunk that does not fit its check number"));
    }
    Ok((name, data))
}

/// Width and height, 1 to 2^31 - 1 each (section 11.2.1).
fn header(data: &[u8]) -> Option<(u32, u32)> {
    let &[w1, w2, w3, w4, h1, h2, h3, h4, _, _, _, _, _] = data else { return None };
    let size = (u32::from_be_bytes([w1, w2, w3, w4]), u32::from_be_bytes([h1, h2, h3, h4]));
    let is_side = |side| (1..=0x7FFF_FFFF).contains(&side);
    (is_side(size.0) && is_side(size.1)).then_some(size)
}

fn keep(kept: &mut Vec<u8>, name: &[u8; 4], data: &[u8]) {
    kept.extend(u32::try_from(data.len()).unwrap_or(u32::MAX).to_be_bytes());
    kept.extend(name);
    kept.extend_from_slice(data);
    kept.extend(check(name, data).to_be_bytes());
}

/// The table of the cyclic redundancy code, one entry for each value of a byte (annex D; polynomial 0xEDB88320).
const CHECKS: [u32; 256] = {
    let mut table = [0u32; 256];
    let mut byte: u32 = 0;
    while byte < 256 {
        let mut check = byte;
        let mut bit = 0;
        while bit < 8 {
            check = if check & 1 == 1 { 0xEDB8_8320 ^ (check >> 1) } else { check >> 1 };
            bit += 1;
        }
        table[byte as usize] = check;
        byte += 1;
    }
    table
};

/// A chunk's check number, over its name and data.
fn check(name: &[u8; 4], data: &[u8]) -> u32 {
    let check = name.iter().chain(data).fold(u32::MAX, |check, byte| {
        let [low, ..] = check.to_le_bytes();
        CHECKS[usize::from(low ^ byte)] ^ (check >> 8)
    });
    !check
}

#[cfg(test)]
mod tests;
