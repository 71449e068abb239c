//! What happened in the shop, in order, and who wants to hear of it.
//!
//! What it is: a list of all changes, which a page asks for what is new since it last looked, and a channel that says at
//! once when there is something new, so that two browsers see each other's changes.
//! What it is not: the changes themselves; those are found where they are kept.
//!
//! Changes made by another *program* do not come through the channel; [`Ledger::changes_since`] tells them.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};

use rusqlite::params;

use crate::error::StoreError;
use crate::identity::{DocumentId, MovementId, PhotoId, RevisionNumber, RunId, Sequence, SnapshotId};
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

/// What a change is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// A document has a new revision.
    Document {
        /// The document.
        document: DocumentId,
        /// The new revision.
        number: RevisionNumber,
    },
    /// A run began.
    RunBegun(RunId),
    /// A run ended.
    RunEnded(RunId),
    /// A snapshot was taken.
    Snapshot(SnapshotId),
    /// A photo was attached.
    Photo(PhotoId),
    /// A photo was hidden.
    PhotoHidden(PhotoId),
    /// A photo was shown again.
    PhotoShown(PhotoId),
    /// Parts came or went.
    Stock(MovementId),
}

impl Subject {
    /// As it is stored: a word, a number, and a second number where there is one.
    pub(crate) fn parts(self) -> (&'static str, i64, Option<i64>) {
        match self {
            Self::Document { document, number } => ("document", document.get(), Some(number.get())),
            Self::RunBegun(run) => ("run-begun", run.get(), None),
            Self::RunEnded(run) => ("run-ended", run.get(), None),
            Self::Snapshot(snapshot) => ("snapshot", snapshot.get(), None),
            Self::Photo(photo) => ("photo", photo.get(), None),
            Self::PhotoHidden(photo) => ("photo-hidden", photo.get(), None),
            Self::PhotoShown(photo) => ("photo-shown", photo.get(), None),
            Self::Stock(movement) => ("stock", movement.get(), None),
        }
    }

    /// From how it is stored.
    pub(crate) fn from_parts(word: &str, id: i64, number: Option<i64>) -> Option<Self> {
        Some(match (word, number) {
            ("document", Some(number)) => {
                Self::Document { document: DocumentId::new(id), number: RevisionNumber::new(number) }
            }
            ("run-begun", None) => Self::RunBegun(RunId::new(id)),
            ("run-ended", None) => Self::RunEnded(RunId::new(id)),
            ("snapshot", None) => Self::Snapshot(SnapshotId::new(id)),
            ("photo", None) => Self::Photo(PhotoId::new(id)),
            ("photo-hidden", None) => Self::PhotoHidden(PhotoId::new(id)),
            ("photo-shown", None) => Self::PhotoShown(PhotoId::new(id)),
            ("stock", None) => Self::Stock(MovementId::new(id)),
            _ => return None,
        })
    }
}

/// One change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Its place in the history.
    pub sequence: Sequence,
    /// What it is about.
    pub subject: Subject,
    /// When it was made.
    pub at: Moment,
    /// By whom.
    pub by: String,
}

impl Ledger {
    /// The changes after `sequence`, oldest first, at most `limit` of them.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn changes_since(&self, sequence: Sequence, limit: usize) -> Result<Vec<Change>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT seq, subject, id, number, at, by FROM change WHERE seq > ?1 ORDER BY seq LIMIT ?2",
        )?;
        let rows = statement.query_map(params![sequence, row_count(limit)], |row| {
            let subject: String = row.get(1)?;
            let subject = Subject::from_parts(&subject, row.get(2)?, row.get(3)?);
            Ok((row.get(0)?, subject, Moment::from_unix_millis(row.get(4)?), row.get(5)?))
        })?;
        let change = |row: (Sequence, Option<Subject>, Moment, String)| {
            let (sequence, subject, at, by) = row;
            let subject =
                subject.ok_or_else(|| StoreError::damaged(format!("the subject of change {sequence}")))?;
            Ok(Change { sequence, subject, at, by })
        };
        rows.map(|row| change(row?)).collect()
    }

    /// The newest change's place in the history; [`Sequence::START`] while there is none.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn newest_change(&self) -> Result<Sequence, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT coalesce(max(seq), 0) FROM change")?;
        Ok(statement.query_row([], |row| row.get(0))?)
    }

    /// A channel that tells every change made from now on through this connection and those made by
    /// [`Ledger::another`], each once it is safe on the disk. Drop the receiver to stop it.
    #[must_use]
    pub fn watch(&self) -> Receiver<Change> {
        let (sender, receiver) = channel();
        self.watchers.lock().push(sender);
        receiver
    }

    /// Notes a change within the transaction that makes it.
    pub(crate) fn note_change(&self, subject: Subject, stamp: &Stamp<'_>) -> Result<(), StoreError> {
        let (word, id, number) = subject.parts();
        let mut statement = self
            .connection
            .prepare_cached("INSERT INTO change (subject, id, number, at, by) VALUES (?1, ?2, ?3, ?4, ?5)")?;
        let seq = statement.insert(params![word, id, number, stamp.at.as_unix_millis(), stamp.by])?;
        self.pending.borrow_mut().push(Change {
            sequence: Sequence::new(seq),
            subject,
            at: stamp.at,
            by: stamp.by.to_owned(),
        });
        Ok(())
    }
}

/// A limit as SQLite wants it.
pub(crate) fn row_count(limit: usize) -> i64 {
    i64::try_from(limit).unwrap_or(i64::MAX)
}

/// Everybody who watches, across connections.
#[derive(Debug, Clone, Default)]
pub(crate) struct Watchers {
    senders: Arc<Mutex<Vec<Sender<Change>>>>,
}

impl Watchers {
    fn lock(&self) -> std::sync::MutexGuard<'_, Vec<Sender<Change>>> {
        // The list is whole at every moment, even where a thread died while it held the lock.
        self.senders.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Tells changes to all who still listen.
    pub(crate) fn tell(&self, changes: &[Change]) {
        self.lock().retain(|sender| changes.iter().all(|change| sender.send(change.clone()).is_ok()));
    }
}

#[cfg(test)]
mod tests;
