//! Answers: what follows from the facts. Computed, never typed in.

mod boxes;
mod budget;
mod connection;
mod fit;
mod joints;
mod lamps;
mod network;
mod opposition;
mod sound;
mod train;

use cvplan::Settlement;

pub use boxes::{Leak, SpeakerBack};
pub use budget::{Budget, OutputLoad};
pub use connection::Connection;
pub use fit::Fit;
pub(crate) use fit::pair_goes_in;
pub use joints::Joints;
pub(crate) use lamps::BULB_STANDS;
pub use lamps::LampAnswer;
pub use network::{Network, SpeakerShare, WiringState};
pub use opposition::Opposition;
pub(crate) use sound::MOST_SPEAKERS;
pub use sound::SoundAnswer;
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
    /// What the speakers as found do over frequency.
    pub found_sound: Option<SoundAnswer>,
    /// What the speakers as planned do over frequency.
    pub planned_sound: Option<SoundAnswer>,
    /// What each planned lamp does to its output and resistor; lamps whose facts are not all known are left out.
    pub lamps: Vec<LampAnswer>,
    /// What each output and the whole have to carry, where the decoder has a sheet.
    pub budget: Option<Budget>,
    /// How decoder and model come together; none while the socket or the decoder is not known.
    pub connection: Option<Connection>,
    /// The decoder in its room; none where the size of either is unknown.
    pub decoder_fit: Option<Fit>,
    /// What is behind each cone of the speakers that will be in the model.
    pub backs: Vec<SpeakerBack>,
    /// The settings, where the decoder has a sheet.
    pub settlement: Option<Settlement>,
    /// The units of its train, in the train's order; none for units whose order is not at hand.
    pub train: Vec<Option<UnitAnswer>>,
}

impl Answers {
    /// Computes everything that the facts allow.
    #[must_use]
    pub fn of(job: &Job<'_>) -> Self {
        let (found, planned) = (Network::found(job), Network::planned(job));
        let lamps = lamps::answers(job);
        let budget = Budget::of(job, &lamps, wiring(job, found.as_ref(), planned.as_ref()));
        Self {
            found,
            planned,
            found_sound: SoundAnswer::found(job),
            planned_sound: SoundAnswer::planned(job),
            lamps,
            budget,
            connection: Connection::of(job),
            decoder_fit: Fit::of_decoder(job),
            backs: boxes::backs(job),
            settlement: job.decoder().map(|sheet| cvplan::settle(job.order, sheet)),
            train: train::answers(job),
        }
    }

    /// The speaker network that the model will have: the planned one, or the found one as long as there is no plan.
    #[must_use]
    pub fn wiring(&self, job: &Job<'_>) -> Option<&Network> {
        wiring(job, self.found.as_ref(), self.planned.as_ref())
    }
}

fn wiring<'a>(
    job: &Job<'_>,
    found: Option<&'a Network>,
    planned: Option<&'a Network>,
) -> Option<&'a Network> {
    if job.order.plan.is_some() { planned } else { found }
}
