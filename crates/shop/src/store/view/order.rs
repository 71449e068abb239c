//! Orders and the work board as the store hands them out.

use std::sync::Arc;

use inspection::Stage as RuleStage;
use ledger::{Moment, PhotoId, RevisionNumber};
use workorder::{WaitsFor, WorkStage};

use super::{DocumentView, RunView, SnapshotHead};
use crate::desk::CheckedOrder;
use crate::sound::{Rendering, SoundReport};

/// A work order with everything that the bench sheet shows of it.
#[derive(Debug, Clone)]
pub struct OrderView {
    /// Its document.
    pub document: DocumentView,
    /// Answers and findings of the newest revision without faults; none while there was never one.
    pub checked: Option<Arc<CheckedOrder>>,
    /// The revision that they are of: the present one unless the document has faults.
    pub checked_revision: Option<RevisionNumber>,
    /// What the speakers do; none as long as `checked` is.
    pub sound: Option<Arc<SoundReport>>,
    /// Its trains' names.
    pub trains: Vec<String>,
    /// Its runs, newest first.
    pub runs: Vec<RunView>,
    /// Its decoder's snapshots, newest first.
    pub snapshots: Vec<SnapshotHead>,
    /// Its photos, oldest first.
    pub photos: Vec<PhotoView>,
    /// What it waits for.
    pub waits: Waits,
    /// The stages of the work, in their order.
    pub stages: Vec<StageView>,
    /// Dossiers of the same model and scale.
    pub dossiers: Vec<String>,
}

/// What an order waits for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waits {
    /// For what.
    pub for_what: WaitsFor,
    /// Why, in words: the finding that asks, the part that is missing, what somebody wrote.
    pub because: String,
    /// Whether somebody said so in the order (`[progress] waits-for`), against what was computed.
    pub is_stated: bool,
}

/// How a stage of the work stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageView {
    /// The stage.
    pub stage: WorkStage,
    /// How it stands.
    pub state: StageState,
    /// Why, in words.
    pub because: String,
    /// Whether somebody ticked it off in the order (`[progress] done`).
    pub is_ticked: bool,
    /// The stages of the rules whose findings belong here.
    pub rule_stages: Vec<RuleStage>,
}

/// How a stage of the work stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StageState {
    /// Nothing is there yet.
    NotBegun,
    /// Something is there, something is missing.
    UnderWay,
    /// It is held by a stop.
    Held,
    /// It is done.
    Done,
    /// This job has no such stage: a locomotive that runs alone has no train.
    NotNeeded,
}

/// What a new order needs to begin with.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewOrder {
    /// Its number; the next free one where it is empty.
    pub number: String,
    /// The model.
    pub model: String,
    /// Its scale, as orders write it: `HO`.
    pub scale: String,
    /// Whose it is; may be empty.
    pub client: String,
    /// What is wanted; may be empty.
    pub wanted: String,
}

/// A lane of the work board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lane {
    /// Orders that wait for something, or for nothing but a hand.
    Waits(WaitsFor),
    /// Orders whose handover is ticked off.
    HandedOver,
}

/// The work board.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Board {
    /// The rows that were asked for, newest change first.
    pub rows: Vec<BoardRow>,
    /// How many orders there are in each lane, whatever was asked for; in the order in which the board shows them.
    pub counts: Vec<(Lane, usize)>,
}

/// Which rows of the board are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardQuestion {
    /// Only this lane; everything that is not handed over when left out.
    pub lane: Option<Lane>,
    /// How many to leave out at the front.
    pub skip: usize,
    /// How many at most.
    pub limit: usize,
}

/// One order on the board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardRow {
    /// Its number.
    pub number: String,
    /// The model.
    pub model: String,
    /// Where it stands.
    pub lane: Lane,
    /// How many findings of each severity: stop, rework, open, note.
    pub n_findings: [usize; 4],
    /// When it was changed last.
    pub changed_at: Moment,
}

/// A photo.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoView {
    /// Which.
    pub id: PhotoId,
    /// The order.
    pub order: String,
    /// The stage that it belongs to.
    pub stage: WorkStage,
    /// What it shows; may be empty.
    pub caption: String,
    /// Its type: `image/jpeg`.
    pub mime: String,
    /// Width and height in pixels.
    pub size: (u32, u32),
    /// A digest of its bytes, in hexadecimal: the same for the same picture, so that a page may keep it for ever.
    pub digest: String,
    /// When it was attached.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Whether it was put away; such a photo is kept, and left out of [`OrderView::photos`].
    pub is_put_away: bool,
}

/// One sound that an order can be listened to.
#[derive(Debug, Clone, PartialEq)]
pub struct RenderedSound {
    /// Which.
    pub rendering: Rendering,
    /// In words: "as found, levels matched".
    pub title: String,
    /// Why it cannot be made; none where it can.
    pub silent_because: Option<String>,
}
