//! What was read from and written to a decoder, as the store hands it out.

use std::sync::Arc;

use datasheets::CvPlace;
use ledger::{Moment, RunId, SnapshotId};
use track::{Part, Report};

use crate::program::Task;

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
    /// What may be behind it where it was cut off in this program, the best first; each with how to find out.
    pub suspects: Vec<finding::Finding>,
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
