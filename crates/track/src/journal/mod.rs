//! The journal: what a run does, written down before and after each act, one JSON object a line.
//!
//! What it is: the entries, their form as text, and the trait through which they are kept. A run that was cut off is
//! taken up by replaying its entries; nothing else is kept of it.
//! What it is not: a file. Whoever implements [`Journal`] decides where the lines go, and must have them safe before it
//! returns.
//!
//! Source: ours.

mod entry;
mod record;
#[cfg(test)]
mod tests;

use serde::{Deserialize, Serialize};

pub use entry::{Cost, Entry, PlanKind};
pub use record::{PlaceRecord, StepRecord, WantedRecord};

/// The version of the form below. A journal of another version is refused, not guessed at.
pub const JOURNAL_VERSION: u32 = 1;

/// Where entries are kept.
pub trait Journal {
    /// Keeps an entry, safely: when this returns, a power cut must not lose it.
    ///
    /// # Errors
    /// What went wrong; the run then stops before its next act.
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError>;
}

/// A journal in memory, for trials and tests.
impl Journal for Vec<Entry> {
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError> {
        self.push(entry.clone());
        Ok(())
    }
}

impl<J: Journal + ?Sized> Journal for &mut J {
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError> {
        (**self).append(entry)
    }
}

/// Why an entry could not be kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("cannot keep the journal, so nothing more is done to the decoder: {what}")]
pub struct JournalError {
    /// What went wrong, in the words of whoever keeps it.
    pub what: String,
}

/// Why a journal cannot be read. Lines are counted from 1.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadJournalError {
    /// Its form is another.
    #[error("line {line} of the journal has version {found}; this program reads version {JOURNAL_VERSION}")]
    Version {
        /// The line.
        line: usize,
        /// The version found there.
        found: u32,
    },
    /// It is no entry.
    #[error("line {line} of the journal is no entry: {what}")]
    NoEntry {
        /// The line.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
}

/// The entries of a journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    /// Every whole entry, in order.
    pub entries: Vec<Entry>,
    /// Whether half a line stood at the end: the power went while it was written. What it was to say did not count yet.
    pub is_torn: bool,
}

#[derive(Serialize)]
struct LineOut<'a> {
    version: u32,
    entry: &'a Entry,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LineIn {
    #[serde(rename = "version")]
    _version: u32,
    entry: Entry,
}

#[derive(Deserialize)]
struct VersionOnly {
    version: u32,
}

impl Entry {
    /// The entry as a line, with the line feed that marks it as whole.
    #[must_use]
    pub fn to_line(&self) -> String {
        match serde_json::to_string(&LineOut { version: JOURNAL_VERSION, entry: self }) {
            Ok(line) => line + "\n",
            Err(error) => {
                unreachable!("entries hold texts, numbers and lists, which JSON can always say: {error}")
            }
        }
    }
}

/// Reads a journal.
///
/// # Errors
/// The first line that is no entry of this version. A torn last line is none.
pub fn read_journal(text: &str) -> Result<Recovered, ReadJournalError> {
    let (whole, torn) = text.rsplit_once('\n').unwrap_or(("", text));
    let lines = whole.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    let entries = lines.map(|(index, line)| read_line(index + 1, line)).collect::<Result<_, _>>()?;
    Ok(Recovered { entries, is_torn: !torn.is_empty() })
}

fn read_line(line: usize, text: &str) -> Result<Entry, ReadJournalError> {
    let no_entry = |error: serde_json::Error| ReadJournalError::NoEntry { line, what: error.to_string() };
    let VersionOnly { version } = serde_json::from_str(text).map_err(no_entry)?;
    if version != JOURNAL_VERSION {
        return Err(ReadJournalError::Version { line, found: version });
    }
    serde_json::from_str::<LineIn>(text).map(|line| line.entry).map_err(no_entry)
}
