//! What a decoder holds: the content of its CVs as far as it is known.

use std::collections::BTreeMap;

use datasheets::CvPlace;

/// The known content of a decoder's CVs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Image {
    content: BTreeMap<CvPlace, u8>,
}

impl Image {
    /// An image with nothing in it.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The content of a CV; none where it is not known.
    #[must_use]
    pub fn get(&self, place: CvPlace) -> Option<u8> {
        self.content.get(&place).copied()
    }

    /// The content of a plain CV; none where it is not known.
    #[must_use]
    pub fn plain(&self, cv: u16) -> Option<u8> {
        self.get(CvPlace { page: None, cv })
    }

    /// Notes the content of a CV.
    pub fn set(&mut self, place: CvPlace, value: u8) {
        self.content.insert(place, value);
    }

    /// All known CVs, plain ones first, then by page.
    pub fn iter(&self) -> impl Iterator<Item = (CvPlace, u8)> {
        self.content.iter().map(|(place, value)| (*place, *value))
    }

    /// How many CVs are known.
    #[must_use]
    pub fn len(&self) -> usize {
        self.content.len()
    }

    /// Whether nothing is known.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.content.is_empty()
    }
}

impl FromIterator<(CvPlace, u8)> for Image {
    fn from_iter<I: IntoIterator<Item = (CvPlace, u8)>>(entries: I) -> Self {
        Self { content: entries.into_iter().collect() }
    }
}
