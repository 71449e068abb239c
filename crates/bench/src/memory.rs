//! The memory of a decoder: what its CVs hold when the power is off.
//!
//! What it is: the content of every CV that the decoder has, what a CV holds on delivery, and a count of changes so that
//! a caller can keep the memory somewhere after each write.
//! What it is not: the rules by which a write is accepted; those are the decoder's.
//!
//! A factory reset that has begun is part of the memory: CV8 then holds [`RESET_PENDING`], which no decoder has as its
//! maker's number (S-9.2.3 §E: CV8 reads 255 until the reset has finished), so that a reset survives a power cut.
//!
//! Source: S-9.2.2 Table 1 and Table 2; RCN-225 §2; for CVs without a standard default see [`standard_default`].

use std::collections::BTreeMap;

use datasheets::{CvPlace, DecoderSheet, KeyMapMethod};
use dcc::cv::{FunctionKey, FunctionMap};

use crate::truth::byte;

/// What CV8 holds while a factory reset has begun and not finished (S-9.2.3 §E).
pub const RESET_PENDING: u8 = 255;

/// The content of a decoder's CVs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Memory {
    content: BTreeMap<CvPlace, u8>,
    n_changes: u64,
}

/// A plain CV's place.
pub(crate) fn plain(cv: u16) -> CvPlace {
    CvPlace { page: None, cv }
}

impl Memory {
    /// What a decoder of this sheet holds on delivery, and after a factory reset.
    pub(crate) fn on_delivery(sheet: &DecoderSheet) -> Self {
        let ranges = sheet.decoder.cvs.iter().flat_map(|range| range.first..=range.last);
        let mut content: BTreeMap<CvPlace, u8> =
            ranges.map(|cv| (plain(cv), standard_default(cv, sheet))).collect();
        content.insert(plain(7), byte(sheet.decoder.version));
        content.insert(plain(8), byte(sheet.decoder.manufacturer));
        content.extend(sheet.content_on_delivery());
        Self { content, n_changes: 0 }
    }

    /// The content of a CV; none where the decoder does not have it.
    pub(crate) fn get(&self, place: CvPlace) -> Option<u8> {
        self.content.get(&place).copied()
    }

    /// The content of a plain CV; 0 where the decoder does not have it, which is "off" for every CV that this is asked of.
    pub(crate) fn plain(&self, cv: u16) -> u8 {
        self.get(plain(cv)).unwrap_or(0)
    }

    /// Stores a value. A CV that the decoder does not have stays absent.
    pub(crate) fn store(&mut self, place: CvPlace, value: u8) {
        if let Some(content) = self.content.get_mut(&place)
            && *content != value
        {
            *content = value;
            self.n_changes += 1;
        }
    }

    /// CV33 to CV46.
    pub(crate) fn function_matrix(&self) -> FunctionMap {
        FunctionMap::from_values(std::array::from_fn(|index| {
            self.plain(33 + u16::try_from(index).unwrap_or(0))
        }))
    }

    /// Everything, plain CVs first, then by page.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (CvPlace, u8)> + '_ {
        self.content.iter().map(|(place, value)| (*place, *value))
    }

    /// How often a CV has changed.
    pub(crate) fn n_changes(&self) -> u64 {
        self.n_changes
    }

    /// Whether a factory reset has begun and not finished.
    pub(crate) fn is_reset_pending(&self) -> bool {
        self.get(plain(8)) == Some(RESET_PENDING)
    }

    /// Finishes a factory reset.
    pub(crate) fn finish_reset(&mut self, sheet: &DecoderSheet) {
        let n_changes = self.n_changes + 1;
        *self = Self { n_changes, ..Self::on_delivery(sheet) };
    }
}

/// What a plain CV holds on delivery when the sheet does not say.
///
/// Source: CV1 S-9.2.2; CV17/18 RCN-225 (long address 1000); CV33–46 S-9.2.2 Table 2 as far as the outputs exist; CV28
/// RCN-217 §4.2.1. Ours, because no standard tells them: CV29 = 6 (28 or 128 steps, analog allowed; common practice),
/// CV67–94 a straight line; everything else 0, which the standard reads as "off" or "not used".
fn standard_default(cv: u16, sheet: &DecoderSheet) -> u8 {
    match cv {
        1 => 3,
        17 => 195,
        18 => 232,
        28 => 3,
        29 => 6,
        33..=46 if sheet.key_map.method == KeyMapMethod::Matrix => {
            matrix_value(&FunctionMap::DEFAULT, cv) & matrix_mask(cv, sheet)
        }
        67..=94 => {
            // Entry n of 28, rounded: 255·n/28 (S-9.2.2 CV67–94: a scale of 256, straight).
            let entry = u32::from(cv - 66);
            u8::try_from((2 * 255 * entry + 28) / 56).unwrap_or(u8::MAX)
        }
        _ => 0,
    }
}

/// The bits of CV33–46 that stand for outputs the decoder has: no other may be set (S-9.2.2, all bit-coded CVs).
pub(crate) fn matrix_mask(cv: u16, sheet: &DecoderSheet) -> u8 {
    let mut map = FunctionMap::from_values([0; 14]);
    let numbers = || sheet.output.iter().filter_map(|output| u8::try_from(output.number.get()).ok());
    for key in FunctionKey::all().filter(|key| FunctionMap::cv_of(*key).get() == cv) {
        for number in numbers().filter(|number| FunctionMap::reach(key).contains(number)) {
            // Within reach it cannot be refused.
            let _ = map.set(key, number, true);
        }
    }
    matrix_value(&map, cv)
}

/// The value of one of CV33 to CV46; 0 for any other CV.
fn matrix_value(map: &FunctionMap, cv: u16) -> u8 {
    map.to_cvs().find(|(number, _)| number.get() == cv).map_or(0, |(_, value)| value)
}

#[cfg(test)]
mod tests;
