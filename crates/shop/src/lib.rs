//! The use cases, in the practitioner's words: plain data in, plain data out.
//!
//! What it is: the one room that joins documents, engine, track and paper, and that reads and writes files. Command line
//! and bench sheet call it and draw what it returns, so that the two cannot drift apart.
//! What it is not: a view. It prints nothing and knows no arguments, no HTML and no terminal.

mod card;
mod demo;
mod desk;
mod drawing;
mod error;
mod files;
mod print;
mod program;
mod settings;
mod sound;
mod store;
mod trouble;

pub use card::{ProofFacts, card_of, card_page, card_with, write_card, write_card_pdf};
pub use demo::{DemoFolder, lay_out_demo};
pub use desk::{CheckedOrder, Desk, TrainMembership, read_sheet_file};
pub use drawing::sound_figures;
pub use error::ShopError;
pub use ledger::{
    Counts, Kind, Moment, MovementId, PhotoId, RevisionNumber, RunId, SnapshotId, Verification,
};
pub use paper::PaperSize;
pub use print::to_pdf;
pub use program::{Place, RunOutcome, Task, rail_time, run_on_bench};
pub use settings::{SettingRow, setting_rows};
pub use sound::{Recording, Rendering, SoundReport, WiringReport, listen, part_choice, sound_report};
pub use store::{
    Board, BoardQuestion, BoardRow, Closed, DemoFilled, DocumentKey, DocumentView, DossierRow, DossierView,
    EditOutcome, FieldConflict, Happening, HistoryRow, Imported, Lane, NewOrder, OrderView, Pace, PartRow,
    PartView, PhotoView, RenderedSound, RunProgress, RunState, RunView, SearchHit, ShopEvent,
    SnapshotDifference, SnapshotHead, SnapshotRow, SnapshotView, StageState, StageView, StockMovement, Store,
    Subscription, TrainRow, TrainUnitView, TrainView, Waits, shown_day, shown_moment, usual_path,
};
pub use trouble::Trouble;
