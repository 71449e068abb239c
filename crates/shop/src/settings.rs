//! The settings as a person reads them: by meaning, with the CV, the value and the wish behind each.

use cvplan::{Image, Settlement};
use datasheets::CvPlace;
use finding::Path;

/// One CV that shall hold something.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingRow {
    /// The CV.
    pub place: CvPlace,
    /// The bits that wishes decide.
    pub mask: u8,
    /// Their content, in place.
    pub value: u8,
    /// What the CV held before, where that is known.
    pub before: Option<u8>,
    /// What the whole CV will hold, where that is known: all of it decided, or the rest read.
    pub whole: Option<u8>,
    /// The wishes and what each decides, in the trade's words.
    pub because: Vec<(Path, String)>,
}

/// The settings of a settlement; `image` is what the decoder is known to hold.
#[must_use]
pub fn setting_rows(settlement: &Settlement, image: &Image) -> Vec<SettingRow> {
    settlement
        .targets
        .iter()
        .map(|target| {
            let before = image.get(target.place);
            let whole = if target.mask == u8::MAX {
                Some(target.value)
            } else {
                before.map(|content| target.merged(content))
            };
            let because =
                target.because.iter().map(|because| (because.wish.clone(), because.words.clone())).collect();
            SettingRow { place: target.place, mask: target.mask, value: target.value, before, whole, because }
        })
        .collect()
}
