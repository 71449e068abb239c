//! What a run tells while it goes on.

use cvplan::Image;
use datasheets::{CvPlace, ServiceMode};

use crate::journal::PlanKind;
use crate::programmer::PowerOnReading;
use crate::strategy::{Content, Identity};

/// What the latest step of a run did.
///
/// In a run that nothing disturbs they come in this order: `Connected`, `Identified`, `CvRead` for each CV,
/// `SnapshotTaken`, `Planned`, then `PageSelected`, `CvWritten` and `CvRefused` in the order of the plan, `ProofBegun`,
/// `Connected`, `Recognised`, `CvProved` for each CV, `Closed`, `Finished`. After an interruption `Connected` and
/// `Recognised` come again (`Identified`, if it had not come) and the order goes on where it was. Undoing begins again with
/// `Planned`.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// The track is on and a mode was found.
    Connected {
        /// The mode in use.
        mode: ServiceMode,
        /// What switching on showed.
        power_on: Option<PowerOnReading>,
    },
    /// The decoder was identified.
    Identified(Identity),
    /// It is the same decoder as before.
    Recognised,
    /// A CV was read.
    CvRead {
        /// The CV.
        place: CvPlace,
        /// What came of it.
        content: Content,
    },
    /// The snapshot is complete.
    SnapshotTaken(Image),
    /// It is settled what will be written.
    Planned {
        /// What for.
        kind: PlanKind,
        /// How many steps.
        n_steps: usize,
    },
    /// A page was selected.
    PageSelected {
        /// CV31.
        high: u8,
        /// CV32.
        low: u8,
    },
    /// A CV holds what it shall, verified.
    CvWritten {
        /// The CV.
        place: CvPlace,
        /// What it holds.
        value: u8,
    },
    /// A CV did not take what it shall hold.
    CvRefused {
        /// The CV.
        place: CvPlace,
        /// What it holds.
        holds: Content,
    },
    /// All is written; the track goes off and on, and everything is read back.
    ProofBegun,
    /// A CV was read back.
    CvProved {
        /// The CV.
        place: CvPlace,
        /// What came of it.
        content: Content,
    },
    /// Page and lock are as they shall be left.
    Closed,
    /// The run is over; the track is off.
    Finished,
}

/// How far a run has come within its present part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// The part.
    pub part: Part,
    /// How many of its acts are done.
    pub n_done: usize,
    /// How many there are.
    pub n_all: usize,
}

/// The parts of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Reading before anything is written.
    Reading,
    /// Writing what differs.
    Writing,
    /// Reading back.
    Proving,
    /// Putting page and lock back.
    Closing,
    /// Nothing is left to do.
    Over,
}
