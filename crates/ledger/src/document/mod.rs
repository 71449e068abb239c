//! Documents with every revision they ever had.
//!
//! What it is: saving upon a known revision (a stale save is refused with the other's text), undo and redo as new
//! revisions, deletion as a revision, renaming, and reading any revision back.
//! What it is not: a reader of documents. A text that is full of faults is kept like any other; what stands in it is the
//! caller's matter.
//!
//! How the history runs: revisions have the numbers 1, 2, 3, … and each follows the one before. Most make a new *state*
//! (a text, or the fact of being deleted). Undoing, redoing and renaming make none: they *show* a state that exists. A state's
//! parent is the state it was made from, so that undo goes to the parent. Redo goes back towards the newest state.

mod path;
mod read;
mod record;
mod save;
mod splice;
mod store;
mod undo;

use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::{Kind, NameError};
use crate::moment::Moment;

pub(crate) use path::HistoryPath;
pub(crate) use record::seal;
pub use record::{Act, Revision, RevisionRecord};
pub(crate) use store::{insert_document, insert_revision, show};
pub use undo::UndoSteps;

/// The longest text of a document, in bytes. The reader of documents takes less.
pub const MOST_TEXT_BYTES: usize = 4 << 20;

/// A document as it is now, without its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// By this it is known, whatever its name.
    pub id: DocumentId,
    /// What it is.
    pub kind: Kind,
    /// Its name now.
    pub name: String,
    /// What the caller last told as its title; empty before that.
    pub title: String,
    /// Its newest revision.
    pub head: RevisionNumber,
    /// Whether that one deletes it.
    pub is_deleted: bool,
    /// When that one was made.
    pub at: Moment,
    /// By whom.
    pub by: String,
}

/// Somebody else was faster.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The revision that the change was to be made upon; none where there was to be no document yet.
    pub expected: Option<RevisionNumber>,
    /// What is there now, with its text. It may have another name.
    pub theirs: Revision,
}

/// Why a document was not changed or read.
#[derive(Debug, thiserror::Error)]
pub enum DocumentError {
    /// It was changed by somebody else in the meantime.
    #[error(
        "{kind} `{name}` was changed by {by} in the meantime (revision {number}): nothing of theirs was overwritten and \
         yours was not kept; put both together and save upon revision {number}",
        kind = .0.theirs.record.kind, name = .0.theirs.record.name, by = .0.theirs.record.by,
        number = .0.theirs.record.number
    )]
    Conflict(Box<Conflict>),
    /// There is none of this name.
    #[error("there is no {kind} `{name}`")]
    NoSuchName {
        /// The kind that was asked for.
        kind: Kind,
        /// The name that was asked for.
        name: String,
    },
    /// There is none of this number.
    #[error("there is no document number {document}")]
    NoSuchDocument {
        /// The number.
        document: DocumentId,
    },
    /// The document has no such revision.
    #[error("the document has no revision {number}")]
    NoSuchRevision {
        /// The revision that was asked for.
        number: RevisionNumber,
    },
    /// The name is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// Another document has the name, or had it when it was deleted.
    #[error(
        "there is {a} {kind} `{name}` already, with a history of its own: choose another name",
        a = if *is_deleted { "a deleted" } else { "another" }
    )]
    NameTaken {
        /// The kind.
        kind: Kind,
        /// The name.
        name: String,
        /// Whether that document is deleted.
        is_deleted: bool,
    },
    /// The text is longer than a document may be.
    #[error(
        "a text of {n_bytes} bytes is too long for a document: at most {MOST_TEXT_BYTES} bytes; it was not kept"
    )]
    TooLong {
        /// Its length in bytes.
        n_bytes: usize,
    },
    /// It is deleted already, or to be renamed while it is deleted.
    #[error("{kind} `{name}` is deleted: undo that first")]
    IsDeleted {
        /// The kind.
        kind: Kind,
        /// The name.
        name: String,
    },
    /// This is the first state.
    #[error("there is nothing to undo: this is how the document began")]
    NothingToUndo,
    /// Nothing was undone since the last change.
    #[error("there is nothing to redo: nothing was undone since the last change")]
    NothingToRedo,
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl DocumentError {
    /// What is wrong with the file, where the thing is known to be there: then every other refusal is damage too.
    pub(crate) fn into_damage(self) -> StoreError {
        match self {
            Self::Store(error) => error,
            other => StoreError::damaged(other.to_string()),
        }
    }
}

impl From<rusqlite::Error> for DocumentError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}

#[cfg(test)]
mod tests;
