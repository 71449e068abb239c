//! The entries.

use dcc::Microseconds;
use serde::{Deserialize, Serialize};

use super::record::{PlaceRecord, StepRecord, WantedRecord};
use crate::acknowledgement::Evidence;
use crate::permit::Overridden;
use crate::programmer::PowerOnReading;
use crate::strategy::{Content, Identity};

/// What an act cost on the rails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Cost {
    rail_microseconds: u64,
}

impl Cost {
    pub(crate) fn of(span: Microseconds) -> Self {
        Self { rail_microseconds: span.as_micros() }
    }

    /// The time on the rails.
    #[must_use]
    pub fn rail_time(self) -> Microseconds {
        Microseconds::from_micros(self.rail_microseconds)
    }
}

/// What a plan is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlanKind {
    /// To meet the wishes.
    Program,
    /// To bring everything back to the snapshot.
    Undo,
}

/// One thing that a run did or is about to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", rename_all_fields = "kebab-case", deny_unknown_fields)]
pub enum Entry {
    /// The run begins.
    Begun {
        /// The job's name.
        job: String,
        /// The name of the decoder's sheet.
        decoder: String,
        /// What the decoder shall hold.
        wanted: Vec<WantedRecord>,
        /// What is read before anything is written, in this order.
        to_read: Vec<PlaceRecord>,
        /// The stops that somebody took upon themselves.
        overridden: Vec<Overridden>,
    },
    /// The track was switched on and a mode was found.
    Connected {
        /// The modes, the one in use first.
        modes: Vec<String>,
        /// What switching on showed.
        power_on: Option<PowerOnReading>,
        /// What it cost.
        cost: Cost,
    },
    /// Who the decoder is, asked for twice.
    Identified {
        /// Who it is.
        identity: Identity,
        /// What it cost.
        cost: Cost,
    },
    /// After another switching on: it is the same decoder, and it holds what it should.
    Recognised {
        /// How many CVs were compared.
        n_compared: usize,
        /// What it cost.
        cost: Cost,
    },
    /// A CV was read before anything was written.
    Read {
        /// The CV.
        place: PlaceRecord,
        /// What came of it.
        content: Content,
        /// How often it was tried.
        n_tries: u32,
        /// The weakest acknowledgement.
        evidence: Option<Evidence>,
        /// What it cost.
        cost: Cost,
        /// What it would have cost without guesses.
        plain: Option<Cost>,
    },
    /// Everything was read: the contents so far are the snapshot, which nothing changes any more.
    SnapshotTaken {
        /// How many CVs it holds.
        n_cvs: usize,
    },
    /// What will be written.
    Planned {
        /// What the plan is for.
        kind: PlanKind,
        /// The steps, in order.
        steps: Vec<StepRecord>,
    },
    /// A register that all else depends on (page, lock) is about to be written.
    Setting {
        /// The CV.
        cv: u16,
        /// What it will hold.
        value: u8,
    },
    /// It was written and verified, or held that already.
    Set {
        /// The CV.
        cv: u16,
        /// What it holds.
        value: u8,
        /// What it cost.
        cost: Cost,
    },
    /// A step of the plan is about to be taken.
    Writing {
        /// Its index in the plan.
        step: usize,
    },
    /// The step is taken and verified.
    Written {
        /// Its index in the plan.
        step: usize,
        /// How often it had to be written; 0 when it was there already.
        n_writes: u32,
        /// The acknowledgement of the verification.
        evidence: Option<Evidence>,
        /// What it cost.
        cost: Cost,
    },
    /// The decoder does not take it.
    Refused {
        /// The step's index in the plan.
        step: usize,
        /// What the CV holds instead.
        holds: Content,
        /// What it cost.
        cost: Cost,
    },
    /// All steps are taken; the track is switched off and on, and everything is read back.
    Proving {
        /// What was spent since the entry before.
        cost: Cost,
    },
    /// A CV was read back.
    Proved {
        /// The CV.
        place: PlaceRecord,
        /// What came of it.
        content: Content,
        /// The weakest acknowledgement.
        evidence: Option<Evidence>,
        /// What it cost.
        cost: Cost,
        /// What it would have cost without guesses.
        plain: Option<Cost>,
    },
    /// Page and lock are as they shall be left.
    Closed {
        /// Registers that were written but gave no answer afterwards, as a lock may.
        unverified: Vec<u16>,
        /// What it cost.
        cost: Cost,
    },
    /// The run is over.
    Finished,
    /// Somebody wants no more written. What is written stays.
    Cancelled {
        /// Why.
        reason: String,
    },
    /// Somebody wants everything back as it was.
    Undoing {
        /// Why.
        reason: String,
    },
    /// Something stopped the run.
    Interrupted {
        /// What, in words.
        what: String,
        /// What was spent since the entry before.
        cost: Cost,
    },
    /// It goes on.
    TakenUp,
}

impl Entry {
    /// What the act cost on the rails; nothing for acts that are only decided.
    #[must_use]
    pub fn cost(&self) -> Cost {
        match self {
            Self::Connected { cost, .. }
            | Self::Identified { cost, .. }
            | Self::Recognised { cost, .. }
            | Self::Read { cost, .. }
            | Self::Set { cost, .. }
            | Self::Written { cost, .. }
            | Self::Refused { cost, .. }
            | Self::Proving { cost }
            | Self::Proved { cost, .. }
            | Self::Closed { cost, .. }
            | Self::Interrupted { cost, .. } => *cost,
            Self::Begun { .. }
            | Self::SnapshotTaken { .. }
            | Self::Planned { .. }
            | Self::Setting { .. }
            | Self::Writing { .. }
            | Self::Finished
            | Self::Cancelled { .. }
            | Self::Undoing { .. }
            | Self::TakenUp => Cost::default(),
        }
    }
}
