//! One revision: what was done, when, by whom, and what the document then was.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};

use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::Kind;
use crate::moment::Moment;
use crate::seal::{Digest, Sealing};

/// What a revision does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Act {
    /// Gives the document a text.
    Saved,
    /// Deletes it; the text stays in the history.
    Deleted,
    /// Shows the state before.
    Undone,
    /// Shows a state that was undone.
    Redone,
    /// Gives it another name.
    Renamed,
}

impl Act {
    const ALL: [Self; 5] = [Self::Saved, Self::Deleted, Self::Undone, Self::Redone, Self::Renamed];

    /// Its word, as it is stored.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Saved => "saved",
            Self::Deleted => "deleted",
            Self::Undone => "undone",
            Self::Redone => "redone",
            Self::Renamed => "renamed",
        }
    }

    /// The act of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|act| act.word() == word)
    }

    /// Whether it makes a state of its own rather than showing one that exists.
    #[must_use]
    pub fn makes_state(self) -> bool {
        matches!(self, Self::Saved | Self::Deleted)
    }
}

impl ToSql for Act {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.word().into())
    }
}

impl FromSql for Act {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::from_word(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

/// A revision without its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RevisionRecord {
    /// The document.
    pub document: DocumentId,
    /// What the document is.
    pub kind: Kind,
    /// Which revision, from 1.
    pub number: RevisionNumber,
    /// What was done.
    pub act: Act,
    /// The revision that made the state which this one shows; itself, where it made one.
    pub state: RevisionNumber,
    /// The revision that made the state which was there before; none for the first.
    pub parent: Option<RevisionNumber>,
    /// The document's name with this revision.
    pub name: String,
    /// Whether the document is deleted with this revision.
    pub is_deleted: bool,
    /// When it was made.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why, in words; may be empty.
    pub note: String,
}

/// A revision with its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// All but the text.
    pub record: RevisionRecord,
    /// The text. Where the revision deletes the document, the last one it had.
    pub text: String,
}

/// The seal of a revision.
pub(crate) fn seal(record: &RevisionRecord, text: &str) -> Digest {
    Sealing::of("revision")
        .number(record.document.get())
        .text(record.kind.word())
        .number(record.number.get())
        .text(record.act.word())
        .number(record.state.get())
        .maybe(record.parent.map(RevisionNumber::get))
        .text(&record.name)
        .number(i64::from(record.is_deleted))
        .number(record.at.as_unix_millis())
        .text(&record.by)
        .text(&record.note)
        .text(text)
        .done()
}
