//! The store: one opened shop, with every use case of the bench sheet and the command line.
//!
//! What it is: [`Store`], which can be cloned and used from several threads; plain data in, plain data out. Whatever text a
//! document gets is kept as it is, faults and all, so that nothing that was typed is lost; what cannot be read is shown as
//! faults, answers then stay those of the newest revision without faults, and programming needs a document without any.
//! What it is not: a page, a server or SQL.

mod acting;
mod answers;
mod board;
mod cards;
mod circumstances;
mod clock;
mod copying;
mod demo;
mod documents;
mod dossiers;
mod editing;
mod estimate;
mod event;
mod files;
mod history;
mod listeners;
mod live;
mod naming;
mod noticing;
mod open;
mod orders;
mod parts;
mod photos;
mod reading;
mod running;
mod runs;
mod snapshots;
mod sounds;
mod standing;
mod suggestions;
mod teller;
mod trains;
mod view;
mod virtual_bench;

pub use clock::{shown_day, shown_moment};
pub use demo::DemoFilled;
pub use event::{Closed, Happening, ShopEvent, Subscription};
pub use files::Imported;
pub use open::{Store, usual_path};
pub use view::{
    Board, BoardQuestion, BoardRow, DocumentKey, DocumentView, DossierRow, DossierView, EditOutcome,
    FieldConflict, HistoryRow, Lane, NewOrder, OrderView, Pace, PartRow, PartView, PhotoView, RenderedSound,
    RunProgress, RunState, RunView, SearchHit, SnapshotDifference, SnapshotHead, SnapshotRow, SnapshotView,
    StageState, StageView, StockMovement, TrainRow, TrainUnitView, TrainView, Waits,
};
