//! Acknowledgements: how a decoder says yes on the programming track, and how that is told from noise.
//!
//! A decoder answers with a rise of its current by at least 60 mA for 5 to 7 ms (S-9.2.3 §D). The current is sampled, its
//! baseline and noise are measured over the reset packets before each question, and whatever was decided comes with what
//! was measured.

mod detector;
mod evidence;
mod filter;
pub(crate) mod limits;
#[cfg(test)]
mod tests;

use std::fmt;

use serde::{Deserialize, Serialize};

pub(crate) use detector::Detector;
pub use evidence::Evidence;
pub(crate) use evidence::{amperes, microamperes};
pub(crate) use filter::{MovingAverage, Stretch};

/// What came back when a decoder was asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answer {
    /// What it amounts to.
    pub kind: AnswerKind,
    /// How clear that is.
    pub confidence: Confidence,
    /// What was measured.
    pub evidence: Evidence,
    /// Whether the page register was set on the way, and the decoder acknowledged that.
    pub is_page_acknowledged: bool,
    /// Whether the current fell to nothing on the way: the decoder may have missed packets or started anew.
    pub is_contact_lost: bool,
}

/// What an answer amounts to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AnswerKind {
    /// A pulse as the standard wants it.
    Acknowledged,
    /// A steady current and no pulse.
    None,
    /// The page register was to be set before anything else, and nobody acknowledged that: nothing more was asked.
    PageUnheard,
    /// The current swings too far, or rose for longer than an acknowledgement lasts: nothing can be told.
    Unstable,
    /// No current at all: nothing is on the rails, or it lost contact.
    NoCurrent,
    /// More than a programming track gives: the power is off now.
    OverCurrent(Excess),
}

/// In what way a current was too much.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Excess {
    /// Above the limit of the track for longer than it allows (S-9.2.3 §B and §E).
    Sustained,
    /// So high for a moment that it is a short: an output of the decoder feeds it while it acknowledges.
    AtAStroke,
}

impl fmt::Display for Excess {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Sustained => "more than 250 mA for 100 ms",
            Self::AtAStroke => "more than any motor lets through, in one stroke",
        })
    }
}

/// How clear a decision was, by its distance from the threshold in standard deviations of the averaged current.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Confidence {
    /// Below three: ask again.
    Weak,
    /// Three to six.
    Fair,
    /// Six or more.
    Firm,
}

impl Confidence {
    pub(crate) fn of_margin(deviations: f32) -> Self {
        if deviations >= 6.0 {
            Self::Firm
        } else if deviations >= 3.0 {
            Self::Fair
        } else {
            Self::Weak
        }
    }
}

impl fmt::Display for Confidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Weak => "weak",
            Self::Fair => "fair",
            Self::Firm => "firm",
        })
    }
}

impl Detector {
    /// The answer by what was seen so far.
    pub(crate) fn answer(&self) -> Answer {
        let kind = if self.is_unsteady() {
            AnswerKind::Unstable
        } else if self.pulse().is_some() {
            AnswerKind::Acknowledged
        } else if self.rose_for_too_long() {
            AnswerKind::Unstable
        } else if self.baseline() < limits::NOTHING {
            AnswerKind::NoCurrent
        } else {
            AnswerKind::None
        };
        let confidence = match kind {
            AnswerKind::Unstable => Confidence::Weak,
            _ => Confidence::of_margin(self.margin()),
        };
        let evidence = self.evidence();
        Answer { kind, confidence, evidence, is_page_acknowledged: false, is_contact_lost: false }
    }
}
