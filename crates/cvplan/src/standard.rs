//! The standard's encodings as the settling functions use them.

use datasheets::{CvValue, Key};

/// CV29 bit 0.
pub(crate) const REVERSED: u8 = 1;
/// CV29 bit 1.
pub(crate) const MANY_STEPS: u8 = 2;
/// CV29 bit 2.
pub(crate) const ANALOG: u8 = 4;
/// CV29 bit 3.
pub(crate) const FEEDBACK: u8 = 8;
/// CV29 bit 4.
pub(crate) const SPEED_TABLE: u8 = 16;
/// CV29 bit 5.
pub(crate) const LONG_ADDRESS: u8 = 32;
/// S-9.2.2 CV3.
pub(crate) const MOMENTUM_COUNT_SECONDS: f64 = 0.896;

pub(crate) fn byte(value: CvValue) -> u8 {
    u8::try_from(value.get()).unwrap_or(u8::MAX)
}

/// A whole number kept within a byte, and whether it had to be.
pub(crate) fn byte_of(number: f64) -> (u8, bool) {
    let kept = (0..=u8::MAX).min_by(|left, right| {
        let distance = |byte: &u8| (f64::from(*byte) - number).abs();
        distance(left).total_cmp(&distance(right))
    });
    (kept.unwrap_or(0), !(-0.5..=255.5).contains(&number))
}

pub(crate) fn long_address(number: u16) -> [(u16, u8); 2] {
    let [high, low] = number.to_be_bytes();
    [(17, 192 + high), (18, low)]
}

pub(crate) fn consist_address(number: u16, is_reversed: bool) -> u8 {
    u8::try_from(number & 127).unwrap_or(0) | if is_reversed { 128 } else { 0 }
}

pub(crate) const MATRIX_CVS: std::ops::RangeInclusive<u16> = 33..=46;

pub(crate) fn matrix_cvs(key: Key) -> &'static [u16] {
    const CVS: [u16; 14] = [33, 34, 35, 36, 37, 38, 39, 40, 41, 42, 43, 44, 45, 46];
    match usize::from(key.number()) {
        0 => &CVS[0..2],
        number @ 1..=12 => &CVS[number + 1..number + 2],
        _ => &[],
    }
}

pub(crate) fn matrix_bit(cv: u16, output: u16) -> Option<u8> {
    let first = match cv {
        33..=37 => 1,
        38..=42 => 4,
        43..=46 => 7,
        _ => return None,
    };
    output.checked_sub(first).filter(|bit| *bit < 8).map(|bit| 1 << bit)
}

pub(crate) fn keys_reaching(output: u16) -> Vec<Key> {
    (0..=12)
        .filter_map(Key::new)
        .filter(|key| matrix_cvs(*key).iter().any(|cv| matrix_bit(*cv, output).is_some()))
        .collect()
}
