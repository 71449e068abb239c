//! Places, wishes and steps as the journal keeps them.

use cvplan::{Step, Target};
use datasheets::CvPlace;
use serde::{Deserialize, Serialize};

/// A CV, with its page where it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PlaceRecord {
    /// The CV's number.
    pub cv: u16,
    /// CV31 and CV32.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub page: Option<(u8, u8)>,
}

impl From<CvPlace> for PlaceRecord {
    fn from(place: CvPlace) -> Self {
        Self { cv: place.cv, page: place.page }
    }
}

impl From<PlaceRecord> for CvPlace {
    fn from(record: PlaceRecord) -> Self {
        Self { page: record.page, cv: record.cv }
    }
}

/// What a CV shall hold, and for which wishes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct WantedRecord {
    /// The CV.
    pub place: PlaceRecord,
    /// The bits that are decided.
    pub mask: u8,
    /// Their content, in place.
    pub value: u8,
    /// What they mean, each with the path of its wish.
    pub because: Vec<(String, String)>,
}

impl WantedRecord {
    /// What the CV will hold when it holds `content` now.
    #[must_use]
    pub fn merged(&self, content: u8) -> u8 {
        (content & !self.mask) | self.value
    }

    /// Whether a content already is as wanted.
    #[must_use]
    pub fn is_met_by(&self, content: u8) -> bool {
        content & self.mask == self.value
    }
}

impl From<&Target> for WantedRecord {
    fn from(target: &Target) -> Self {
        let because = &target.because;
        Self {
            place: target.place.into(),
            mask: target.mask,
            value: target.value,
            because: because
                .iter()
                .map(|because| (because.wish.as_str().to_owned(), because.words.clone()))
                .collect(),
        }
    }
}

/// One step of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", rename_all_fields = "kebab-case", deny_unknown_fields)]
pub enum StepRecord {
    /// Write a CV and verify it.
    Write {
        /// The CV.
        place: PlaceRecord,
        /// What it is believed to hold.
        from: u8,
        /// What it shall hold.
        to: u8,
    },
    /// Verify a CV, and write it where it holds something else.
    Ensure {
        /// The CV.
        place: PlaceRecord,
        /// What it shall hold.
        value: u8,
    },
    /// Select a page.
    Select {
        /// CV31.
        high: u8,
        /// CV32.
        low: u8,
    },
}

impl StepRecord {
    /// The CV that a step may write, and what it shall hold; none for the selection of a page.
    #[must_use]
    pub fn aim(&self) -> Option<(CvPlace, u8)> {
        match self {
            Self::Write { place, to, .. } => Some(((*place).into(), *to)),
            Self::Ensure { place, value } => Some(((*place).into(), *value)),
            Self::Select { .. } => None,
        }
    }
}

impl From<Step> for StepRecord {
    fn from(step: Step) -> Self {
        match step {
            Step::Write { place, from, to } => Self::Write { place: place.into(), from, to },
            Step::Ensure { place, value } => Self::Ensure { place: place.into(), value },
            Step::Select { high, low } => Self::Select { high, low },
        }
    }
}
