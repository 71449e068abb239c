//! What the store hands out: plain data, made anew for each question.
//!
//! What it is: the views of documents, orders, the board, trains, dossiers, parts, snapshots, runs and photos.
//! What it is not: live. A view is as of one revision; [`crate::Store::subscribe`] says when there is a newer one.

use std::sync::Arc;

use datasheets::{CvPlace, PartKind};
use documents::{Fault, Faults};
use finding::Path;
use inspection::Stage as RuleStage;
use ledger::{Kind, Moment, MovementId, PhotoId, RevisionNumber, RunId, SnapshotId};
use track::{Part, Report};
use workorder::{WaitsFor, WorkStage};

use crate::desk::CheckedOrder;
use crate::program::Task;
use crate::sound::{Rendering, SoundReport};

/// Which document: its kind and its name. An order's name is its number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocumentKey {
    /// What it is.
    pub kind: Kind,
    /// Its name: letters, digits, `-`, `_` and `+`, so that it is safe in an address and as a file's name.
    pub name: String,
}

impl DocumentKey {
    /// A document's key.
    #[must_use]
    pub fn new(kind: Kind, name: impl Into<String>) -> Self {
        Self { kind, name: name.into() }
    }

    /// A work order's.
    #[must_use]
    pub fn order(number: impl Into<String>) -> Self {
        Self::new(Kind::Order, number)
    }

    /// A train's.
    #[must_use]
    pub fn train(name: impl Into<String>) -> Self {
        Self::new(Kind::Train, name)
    }

    /// A part sheet's.
    #[must_use]
    pub fn part(name: impl Into<String>) -> Self {
        Self::new(Kind::Part, name)
    }

    /// A dossier's.
    #[must_use]
    pub fn dossier(name: impl Into<String>) -> Self {
        Self::new(Kind::Dossier, name)
    }
}

/// A document as it is now.
#[derive(Debug, Clone)]
pub struct DocumentView {
    /// Which it is.
    pub key: DocumentKey,
    /// The revision that this is, to be sent along with edits.
    pub revision: RevisionNumber,
    /// Its text, whatever it is: the store keeps what was typed, faults and all.
    pub text: String,
    /// What cannot be read in it; none when all of it can.
    pub faults: Option<Faults>,
    /// Its fields, with faults and suggestions where they belong.
    pub form: forms::form::Form,
    /// Whether it was put away.
    pub is_deleted: bool,
    /// When it was changed last.
    pub changed_at: Moment,
    /// By whom.
    pub changed_by: String,
    /// Whether there is something to undo.
    pub can_undo: bool,
    /// Whether there is something to redo.
    pub can_redo: bool,
}

/// What became of an edit.
#[derive(Debug, Clone, PartialEq)]
pub enum EditOutcome {
    /// It is kept.
    Saved {
        /// Under which name: another than before where the edit gave it one.
        key: DocumentKey,
        /// The revision that it made, or the present one where nothing changed.
        revision: RevisionNumber,
        /// What cannot be read in the document now. Not empty where there were faults before, or where an added entry
        /// still lacks what it must have.
        faults: Vec<Fault>,
    },
    /// It is not kept, because it would bring a fault that was not there: a wrong unit, a name that nobody has. Show it
    /// at the field, with what was typed.
    Invalid {
        /// The faults, each with its path and what to do.
        faults: Vec<Fault>,
    },
    /// It is not kept, because somebody changed the same field since the expected revision. To have it anyway, send it
    /// again with this revision.
    Conflict {
        /// The revision that it is now.
        revision: RevisionNumber,
        /// The fields, each with both values.
        fields: Vec<FieldConflict>,
    },
}

/// A field that two people changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldConflict {
    /// The field; the whole document where one of the texts is no TOML.
    pub path: Path,
    /// The path in words: "Survey: speaker A: part".
    pub label: String,
    /// What it said at the revision that both began with; none where it said nothing.
    pub before: Option<String>,
    /// What somebody else made of it, which is what the store holds.
    pub theirs: Option<String>,
    /// What this edit wanted.
    pub yours: Option<String>,
}

/// One revision in a document's history.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryRow {
    /// Its number, from 1.
    pub revision: RevisionNumber,
    /// What kind of change, in a word: "created", "edited", "undone" …
    pub act: String,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why; may be empty.
    pub note: String,
    /// Whether it is the revision that the document shows now.
    pub is_present: bool,
    /// What changed against the revision before, in words.
    pub changes: Vec<String>,
}

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

/// A document that a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SearchHit {
    /// Which.
    pub key: DocumentKey,
    /// Its title: an order's model, a train's or part's title.
    pub title: String,
    /// The place, as pieces of text; the ones that matched are marked.
    pub excerpt: Vec<(String, bool)>,
}

/// A train in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrainRow {
    /// Its name.
    pub name: String,
    /// Its title; the name where it has none.
    pub title: String,
    /// Its consist address; none where the document has faults.
    pub consist_address: Option<u8>,
    /// The numbers of its units' orders, from the front.
    pub units: Vec<String>,
}

/// A train with its units.
#[derive(Debug, Clone)]
pub struct TrainView {
    /// Its document.
    pub document: DocumentView,
    /// What it says; none where it has faults.
    pub train: Option<workorder::Train>,
    /// Its units, from the front.
    pub units: Vec<TrainUnitView>,
}

/// A unit of a train.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainUnitView {
    /// The number of its order.
    pub order: String,
    /// The model; empty where the order cannot be read.
    pub model: String,
    /// Its address as people say it: `4031 long`; empty where there is none.
    pub address: String,
    /// Whether it faces to the rear.
    pub is_reversed: bool,
    /// Whether it powers the train.
    pub powers_train: bool,
    /// The findings of its order that belong to the train, gravest first.
    pub findings: Vec<finding::Finding>,
}

/// A dossier in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DossierRow {
    /// Its name.
    pub name: String,
    /// The model type.
    pub model: String,
    /// Its scale; empty where the document has faults.
    pub scale: String,
    /// How many things were learned.
    pub n_learned: usize,
}

/// A dossier with the orders of its model.
#[derive(Debug, Clone)]
pub struct DossierView {
    /// Its document.
    pub document: DocumentView,
    /// What it says; none where it has faults.
    pub dossier: Option<workorder::Dossier>,
    /// The orders of its model and scale.
    pub orders: Vec<String>,
}

/// A part in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartRow {
    /// Its sheet's name.
    pub name: String,
    /// What it is; none where the sheet cannot be read.
    pub kind: Option<PartKind>,
    /// Its title.
    pub title: String,
    /// Whether it comes with the standards; such a sheet cannot be edited, and one of the shop of the same name takes its
    /// place.
    pub is_standard: bool,
    /// Pieces in stock; none where nobody counted.
    pub in_stock: Option<i64>,
}

/// A part sheet.
#[derive(Debug, Clone)]
pub struct PartView {
    /// Its row in the list.
    pub row: PartRow,
    /// Its document; none for a sheet that comes with the standards.
    pub document: Option<DocumentView>,
    /// Its text.
    pub text: String,
    /// What it says; none where it has faults.
    pub sheet: Option<datasheets::Sheet>,
    /// What came and went, newest first.
    pub movements: Vec<StockMovement>,
    /// Orders that plan it.
    pub used_by: Vec<String>,
}

/// Pieces that came or went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockMovement {
    /// Which.
    pub id: MovementId,
    /// The part.
    pub part: String,
    /// How many came; negative where they went.
    pub pieces: i64,
    /// The order that they went into.
    pub order: Option<String>,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why.
    pub note: String,
}

/// A snapshot in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SnapshotHead {
    /// Which.
    pub id: SnapshotId,
    /// The order whose decoder it was.
    pub order: String,
    /// The run that took it.
    pub run: Option<RunId>,
    /// The decoder's sheet.
    pub decoder: String,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why.
    pub note: String,
    /// How many CVs.
    pub n_cvs: usize,
}

/// Everything that was read at one moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SnapshotView {
    /// Its head.
    pub head: SnapshotHead,
    /// The CVs, plain ones first.
    pub rows: Vec<SnapshotRow>,
}

/// A CV as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SnapshotRow {
    /// The CV.
    pub place: CvPlace,
    /// What it held; none where it gave no value.
    pub value: Option<u8>,
    /// What that means by the decoder's sheet, one for each role in it: ("voice.horn", "five chimes").
    pub meanings: Vec<(String, String)>,
}

/// A difference between two snapshots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SnapshotDifference {
    /// The CV.
    pub place: CvPlace,
    /// In the first.
    pub before: Option<u8>,
    /// In the second.
    pub after: Option<u8>,
    /// In words, one for each role that differs: "voice.horn: one chime became five chimes".
    pub words: Vec<String>,
}

/// A run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunView {
    /// Which.
    pub id: RunId,
    /// The order.
    pub order: String,
    /// What it does.
    pub task: Task,
    /// How it stands.
    pub state: RunState,
    /// When it began.
    pub begun_at: Moment,
    /// By whom.
    pub by: String,
    /// When it ended.
    pub ended_at: Option<Moment>,
    /// How far it is; none where it is not under way in this program.
    pub progress: Option<RunProgress>,
    /// How it stands by its journal; none while nothing was begun.
    pub report: Option<Arc<Report>>,
    /// How often it was cut off and taken up again.
    pub n_taken_up: usize,
}

/// How a run stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RunState {
    /// It is under way in this program.
    UnderWay,
    /// It was cut off: its program ended, or something stopped it. It can be taken up again.
    CutOff {
        /// What stopped it, in words; empty where its program ended.
        why: String,
        /// What to do about it.
        help: String,
    },
    /// It is over, and everything that was wanted was read back.
    Proven,
    /// It is over, and something is not as wanted.
    NotProven,
    /// It is over, and all is back as it was.
    Undone,
    /// Somebody ended it. What was written stays.
    Cancelled,
    /// It was given up: another run took its place before it was over.
    GivenUp,
}

/// How far a run is.
#[derive(Debug, Clone, PartialEq)]
pub struct RunProgress {
    /// The part.
    pub part: Part,
    /// How many of its acts are done.
    pub n_done: usize,
    /// How many there are.
    pub n_all: usize,
    /// What happened last, in words: "CV 29 read: 38".
    pub told: String,
    /// Time driven on the rails so far.
    pub on_rails: std::time::Duration,
    /// What is left of it, estimated from the time that acts of this run took; none while nothing tells.
    pub left: Option<std::time::Duration>,
}

/// How fast a run on the virtual bench goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pace {
    /// As fast as it can be computed.
    #[default]
    Unpaced,
    /// As fast as real rails would let it, so that a practice run feels like one.
    AsOnRails,
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
