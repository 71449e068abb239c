//! What the store hands out: plain data, made anew for each question.
//!
//! What it is: the views of documents, orders, the board, trains, dossiers, parts, snapshots, runs and photos.
//! What it is not: live. A view is as of one revision; [`crate::Store::subscribe`] says when there is a newer one.

mod decoder;
mod document;
mod order;
mod shelf;

pub use decoder::{
    Pace, RunProgress, RunState, RunView, SnapshotDifference, SnapshotHead, SnapshotRow, SnapshotView,
};
pub use document::{DocumentKey, DocumentView, EditOutcome, FieldConflict, HistoryRow, SearchHit};
pub use order::{
    Board, BoardQuestion, BoardRow, Lane, NewOrder, OrderView, PhotoView, RenderedSound, StageState,
    StageView, Waits,
};
pub use shelf::{
    DossierRow, DossierView, PartRow, PartView, StockMovement, TrainRow, TrainUnitView, TrainView,
};
