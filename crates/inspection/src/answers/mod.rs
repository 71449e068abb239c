//! Answers: what follows from the facts. Computed, never typed in.

mod lamps;
mod network;
mod train;

use cvplan::Settlement;

pub use lamps::LampAnswer;
pub use network::{Network, SpeakerShare, WiringState};
pub(crate) use train::consist_bits;
pub use train::{ConsistKeys, UnitAnswer};

use crate::job::Job;

/// What follows from the facts of a job.
#[derive(Debug, Clone)]
pub struct Answers {
    /// The speakers as found, where the survey has any.
    pub found: Option<Network>,
    /// The speakers as planned, where there will be any.
    pub planned: Option<Network>,
    /// What each planned lamp does to its output and resistor; lamps whose facts are not all known are left out.
    pub lamps: Vec<LampAnswer>,
    /// The settings, where the decoder has a sheet.
    pub settlement: Option<Settlement>,
    /// The units of its train, in the train's order; none for units whose order is not at hand.
    pub train: Vec<Option<UnitAnswer>>,
}

impl Answers {
    /// Computes everything that the facts allow.
    #[must_use]
    pub fn of(job: &Job<'_>) -> Self {
        Self {
            found: Network::found(job),
            planned: Network::planned(job),
            lamps: lamps::answers(job),
            settlement: job.decoder().map(|sheet| cvplan::settle(job.order, sheet)),
            train: train::answers(job),
        }
    }
}
