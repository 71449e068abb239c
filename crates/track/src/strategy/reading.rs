//! What reading a CV came to.

use std::fmt;

use dcc::Microseconds;
use serde::{Deserialize, Serialize};

use crate::acknowledgement::Evidence;

/// What a CV holds, as far as the decoder would say. An error is never dressed up as a number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Content {
    /// The decoder confirmed this value.
    Value(u8),
    /// The decoder says yes to every bit as 0 and as 1: it does not have this CV (RCN-214, digest).
    Absent,
    /// The decoder says yes to nothing: it does not have this CV, or it is locked, or it lost contact.
    Silent,
    /// The bits spelled values that the decoder would not confirm.
    Unsettled {
        /// The values, in the order of the tries.
        spelled: Vec<u8>,
    },
}

impl Content {
    /// The value; none where there is no confirmed one.
    #[must_use]
    pub fn value(&self) -> Option<u8> {
        match self {
            Self::Value(value) => Some(*value),
            Self::Absent | Self::Silent | Self::Unsettled { .. } => None,
        }
    }
}

/// In words: `6`, `not there`, `no answer`, `unsettled: 4, 6, 4`.
impl fmt::Display for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value(value) => value.fmt(f),
            Self::Absent => f.write_str("not there"),
            Self::Silent => f.write_str("no answer"),
            Self::Unsettled { spelled } => {
                let spelled: Vec<String> = spelled.iter().map(ToString::to_string).collect();
                write!(f, "unsettled: {}", spelled.join(", "))
            }
        }
    }
}

/// A reading with what it rests on and what it cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// What it came to.
    pub content: Content,
    /// How often it was tried, a guess included.
    pub n_tries: u32,
    /// The weakest acknowledgement that it rests on; none where there was none, or where the link does not measure.
    pub evidence: Option<Evidence>,
    /// How long it took on the rails.
    pub rail_time: Microseconds,
    /// How long it would have taken without guess and repetition ([`super::plain_read_time`]); none without a value.
    pub plain_rail_time: Option<Microseconds>,
}
