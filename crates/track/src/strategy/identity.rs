//! Who the decoder is: CV8 and CV7, each asked for twice, the second time from the other side.
//!
//! Two decoders that answer together make a value of their own when bits are asked for: a bit counts as 1 when either has
//! a 1. Asking the same way again gives the same wrong value. Asking whether those bits are 0 as well does not.
//!
//! Source: practice, rows 40 and 41 (CV8 and CV7 must repeat); the second look is our own.

use std::fmt;

use datasheets::ServiceMode;
use dcc::{BitPosition, CvNumber};
use serde::{Deserialize, Serialize};

use super::{Content, holds, patiently, read};
use crate::link::{Link, LinkError};
use crate::standard::{MANUFACTURER, VERSION};

/// What a decoder says it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Identity {
    /// CV8.
    pub manufacturer: u8,
    /// CV7.
    pub version: u8,
}

/// In words: `CV8 = 13, CV7 = 41`.
impl fmt::Display for Identity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "CV8 = {}, CV7 = {}", self.manufacturer, self.version)
    }
}

/// Why it is not known who the decoder is.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IdentityError {
    /// It could not be asked.
    #[error(transparent)]
    Link(#[from] LinkError),
    /// It gives no value.
    #[error("cannot identify the decoder: {cv} gives {content}")]
    Unread {
        /// The CV.
        cv: CvNumber,
        /// What reading came to.
        content: Content,
    },
    /// It says yes to a bit as 1 and as 0: two decoders answer, or one answers wrongly.
    #[error("cannot identify the decoder: {cv} reads {value}, yet bit {} of it is acknowledged as 0 too", bit.get())]
    Contradiction {
        /// The CV.
        cv: CvNumber,
        /// What reading came to.
        value: u8,
        /// The bit.
        bit: BitPosition,
    },
}

/// Reads CV8 and CV7 and looks at each a second time. Without guesses: a guess would be confirmed by the decoder that
/// is expected, and the other one would not be noticed.
pub(crate) fn identify<L: Link + ?Sized>(
    link: &mut L,
    expected: Identity,
) -> Result<Identity, IdentityError> {
    let manufacturer = twice(link, MANUFACTURER, expected.manufacturer)?;
    let version = twice(link, VERSION, expected.version)?;
    Ok(Identity { manufacturer, version })
}

fn twice<L: Link + ?Sized>(link: &mut L, cv: CvNumber, expected: u8) -> Result<u8, IdentityError> {
    let is_direct = link.mode() == Some(ServiceMode::Direct);
    // Counting has no bits to contradict each other, and the guess saves up to a quarter of a minute.
    let reading = read(link, cv, (!is_direct).then_some(expected))?;
    let Content::Value(value) = reading.content else {
        return Err(IdentityError::Unread { cv, content: reading.content });
    };
    if is_direct {
        for bit in BitPosition::all().filter(|bit| bit.of(value)) {
            let outcome = patiently(|| link.verify_bit(cv, bit, false))?;
            if outcome.is_acknowledged {
                return Err(IdentityError::Contradiction { cv, value, bit });
            }
        }
    } else if !holds(link, cv, value, &mut Vec::new())? {
        return Err(IdentityError::Unread { cv, content: Content::Unsettled { spelled: vec![value] } });
    }
    Ok(value)
}
