//! CVs as the card names them: place, bits, content.

use std::fmt;

/// Where a CV is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CvPlace {
    /// CV31 and CV32, where the CV is seen through a page.
    pub page: Option<(u8, u8)>,
    /// The CV's number, 1 to 1024.
    pub cv: u16,
}

impl CvPlace {
    /// A CV outside any page.
    #[must_use]
    pub fn plain(cv: u16) -> Self {
        Self { page: None, cv }
    }
}

/// `CV 29`, `CV 257 on page 16/0`: the number never stands at the start of a line alone.
impl fmt::Display for CvPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "CV\u{a0}{}", self.cv)?;
        self.page.map_or(Ok(()), |(high, low)| write!(f, " on page\u{a0}{high}/{low}"))
    }
}

/// The bits of a CV that a meaning fills, numbered from 0 as the standard does (NMRA S-9.2.2, via the project's
/// reference text).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct BitRange {
    /// The lowest bit, 0 to 7.
    pub lowest: u8,
    /// The highest bit, not below the lowest.
    pub highest: u8,
}

/// `bit 5`, `bits 0–3`.
impl fmt::Display for BitRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.lowest == self.highest {
            write!(f, "bit\u{a0}{}", self.lowest)
        } else {
            write!(f, "bits\u{a0}{}–{}", self.lowest, self.highest)
        }
    }
}

/// What a CV holds for one meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct CvContent {
    /// Where.
    pub place: CvPlace,
    /// Which bits; none for all of them.
    pub bits: Option<BitRange>,
    /// The content of these bits, counted from their lowest.
    pub value: u8,
}

/// `CV 3 = 16`, `CV 29 bit 5 = 1`.
impl fmt::Display for CvContent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.place)?;
        if let Some(bits) = self.bits {
            write!(f, " {bits}")?;
        }
        write!(f, "\u{a0}=\u{a0}{}", self.value)
    }
}

/// The eight bits, highest first, in two groups of four.
pub(super) fn binary(value: u8) -> String {
    format!("{:04b}\u{a0}{:04b}", value >> 4, value & 0x0f)
}
