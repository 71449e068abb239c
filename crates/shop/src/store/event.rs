//! What happens in the shop while it is open, told to whoever listens.
//!
//! What it is: the events behind live pages.
//! What it is not: the history; that is kept in the ledger.

use std::sync::mpsc::{Receiver, RecvTimeoutError, TryRecvError};
use std::time::Duration;

use ledger::{Moment, PhotoId, RevisionNumber, RunId, SnapshotId};

use super::view::{DocumentKey, RunProgress, RunState};

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopEvent {
    /// What.
    pub what: Happening,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Happening {
    /// A document has a new revision: edited, undone, renamed, put away or brought back.
    DocumentChanged {
        /// Which.
        key: DocumentKey,
        /// The new revision.
        revision: RevisionNumber,
    },
    /// A run is one act further.
    RunProgress {
        /// The order.
        order: String,
        /// The run.
        run: RunId,
        /// How far it is.
        progress: RunProgress,
    },
    /// A run began, was cut off or ended.
    RunChanged {
        /// The order.
        order: String,
        /// The run.
        run: RunId,
        /// How it stands now.
        state: RunState,
    },
    /// A snapshot was taken.
    SnapshotTaken {
        /// The order.
        order: String,
        /// The snapshot.
        snapshot: SnapshotId,
    },
    /// A photo was attached, or put away, or brought back.
    PhotosChanged {
        /// The order.
        order: String,
        /// The photo.
        photo: PhotoId,
    },
    /// Parts came or went.
    StockMoved {
        /// The part.
        part: String,
    },
}

/// A listener's end. Dropping it ends the listening.
#[derive(Debug)]
pub struct Subscription {
    pub(super) receiver: Receiver<ShopEvent>,
}

impl Subscription {
    /// The next event; waits for it. None when the store is closed.
    #[must_use]
    pub fn next(&self) -> Option<ShopEvent> {
        self.receiver.recv().ok()
    }

    /// The next event within a time; none when there was none.
    ///
    /// # Errors
    /// When the store is closed and nothing more will come.
    pub fn next_within(&self, patience: Duration) -> Result<Option<ShopEvent>, Closed> {
        match self.receiver.recv_timeout(patience) {
            Ok(event) => Ok(Some(event)),
            Err(RecvTimeoutError::Timeout) => Ok(None),
            Err(RecvTimeoutError::Disconnected) => Err(Closed),
        }
    }

    /// The next event if there is one already.
    ///
    /// # Errors
    /// As [`Self::next_within`].
    pub fn next_now(&self) -> Result<Option<ShopEvent>, Closed> {
        match self.receiver.try_recv() {
            Ok(event) => Ok(Some(event)),
            Err(TryRecvError::Empty) => Ok(None),
            Err(TryRecvError::Disconnected) => Err(Closed),
        }
    }
}

/// The store is closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the shop is closed")]
pub struct Closed;
