//! The shop's store: a SQLite file that forgets nothing.
//!
//! What it is: documents with every revision, the journals of programming runs, snapshots of decoders, photos, stock, the
//! work board and a search over all of it; an archive of the whole shop, backups and their restoration.
//! What it is not: a reader of documents. It keeps texts and bytes; titles, findings and what an order waits for are told
//! by the caller. It has no clock: the caller says when.
//!
//! # A sketch
//!
//! ```text
//! let mut ledger = Ledger::open(path)?;
//! let stamp = Stamp::new(Moment::from_unix_millis(now), "tablet");
//! let first = ledger.save(Kind::Order, "V-0031", text, None, &stamp)?;
//! match ledger.save_upon(first.document, other_text, first.number, &stamp) {
//!     Ok(record) => …,
//!     Err(DocumentError::Conflict(conflict)) => show(conflict.theirs.text),
//!     Err(error) => …,
//! }
//! ```

mod ledger;
mod migration;
mod transaction;

mod board;
mod change;
mod document;
mod identity;
mod kind;
mod moment;
mod photo;
mod run;
mod search;
mod snapshot;
mod stock;

mod archive;
mod backup;
mod counts;
mod files;
mod verify;

mod error;
mod seal;

pub use archive::ArchiveError;
pub use backup::BackupError;
pub use board::{BoardCount, BoardLine, BoardOrder, BoardQuery, BoardRow, SeverityCounts, Told, WaitsFor};
pub use change::{Change, Subject};
pub use counts::Counts;
pub use document::{
    Act, Conflict, Document, DocumentError, MOST_TEXT_BYTES, Revision, RevisionRecord, UndoSteps,
};
pub use error::StoreError;
pub use files::{FilesError, TakenIn};
pub use identity::{DocumentId, MovementId, PhotoId, RevisionNumber, RunId, Sequence, SnapshotId};
pub use kind::{Kind, MOST_NAME_CHARACTERS, NameError};
pub use ledger::Ledger;
pub use migration::NEWEST_FORM;
pub use moment::{Moment, Stamp};
pub use photo::{MOST_PHOTO_BYTES, MOST_PIXELS, Photo, PhotoBytes, PhotoError, PictureFault, PictureFormat};
pub use run::{RunError, RunOutcome, RunRecord};
pub use seal::Digest;
pub use search::{Found, Hit, Piece, SearchQuery};
pub use snapshot::{
    Difference, FoundReading, Held, Place, Reading, ReadingQuery, SnapshotError, SnapshotRecord,
};
pub use stock::{Movement, StockCount, StockError};
pub use verify::{Damage, Verification};
