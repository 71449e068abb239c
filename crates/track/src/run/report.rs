//! The report: for each CV that was to hold something, whether it does, by what was read back.

use cvplan::Image;
use datasheets::CvPlace;
use dcc::Microseconds;

use super::error::TakeUpError;
use super::event::Part;
use super::state::{Ending, Next, State, StepProgress};
use crate::acknowledgement::Evidence;
use crate::journal::Entry;
use crate::permit::Overridden;
use crate::programmer::PowerOnReading;
use crate::strategy::{Content, Identity};

/// How a run stands, or how it ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// The job's name.
    pub job: String,
    /// The name of the decoder's sheet.
    pub decoder: String,
    /// Who the decoder is; none when it was not identified.
    pub identity: Option<Identity>,
    /// What the latest switching on showed; none where the link does not measure.
    pub power_on: Option<PowerOnReading>,
    /// How it stands.
    pub standing: Standing,
    /// Every CV that was to hold something, plain ones first.
    pub targets: Vec<TargetReport>,
    /// CVs that nobody wanted changed and that hold something else now, or no longer answer.
    pub disturbed: Vec<Disturbed>,
    /// Registers that gave no answer after they were put back, as a lock may.
    pub unverified: Vec<u16>,
    /// Stops that somebody took upon themselves.
    pub overridden: Vec<Overridden>,
    /// What everything was before; none when not all of it was read.
    pub snapshot: Option<Image>,
    /// How long the rails were used, and what the readings would have cost the plain way.
    pub rail_times: RailTimes,
}

/// How a run stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// It is not over; this part is under way.
    Underway(Part),
    /// It is over, and all was read back.
    Proved,
    /// It was cancelled.
    Cancelled {
        /// Why.
        reason: String,
    },
    /// It was undone, and all was read back.
    Undone {
        /// Why.
        reason: String,
    },
}

/// One CV that was to hold something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TargetReport {
    /// The CV.
    pub place: CvPlace,
    /// The bits that were decided.
    pub mask: u8,
    /// What they were to hold, in place.
    pub value: u8,
    /// What that means, each with the path of its wish.
    pub because: Vec<(String, String)>,
    /// What the CV was before; none when it was not read.
    pub before: Option<Content>,
    /// What was read back; none when it was not.
    pub after: Option<Content>,
    /// Whether it is as wanted.
    pub verdict: Verdict,
    /// The weakest acknowledgement of reading back.
    pub evidence: Option<Evidence>,
}

/// Whether a CV is as wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// It was read back and is.
    Met,
    /// It was read back and is not.
    NotMet,
    /// It could not be told.
    Unknown {
        /// Why.
        why: Doubt,
    },
}

/// Why it could not be told whether a CV is as wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// It could not be read before, so nothing was written to it.
    NotReadBefore,
    /// It was not read back, or not yet.
    NotReadBack,
    /// It was read back, and the decoder gave no value.
    NoValue,
}

/// A CV that nobody wanted changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Disturbed {
    /// The CV.
    pub place: CvPlace,
    /// What it was before.
    pub before: u8,
    /// What it is now.
    pub after: Content,
}

/// How long the rails were used, by part, waiting with the power off included. Time that was lost with a program that died is not in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RailTimes {
    /// Switching on, finding the mode, identifying.
    pub connecting: Microseconds,
    /// Reading before anything was written.
    pub reading: Microseconds,
    /// Setting pages and the lock.
    pub registers: Microseconds,
    /// Writing and verifying.
    pub writing: Microseconds,
    /// Reading back.
    pub proving: Microseconds,
    /// Putting pages and lock back.
    pub closing: Microseconds,
    /// Before interruptions, without a result.
    pub wasted: Microseconds,
    /// What the readings that gave a value cost: a part of `reading` and `proving`.
    pub readings: Microseconds,
    /// What the same readings cost bit by bit, or by counting where the mode knows no bits ([`crate::plain_read_time`]).
    pub readings_plain: Microseconds,
}

impl RailTimes {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> Microseconds {
        self.connecting
            + self.reading
            + self.registers
            + self.writing
            + self.proving
            + self.closing
            + self.wasted
    }

    pub(super) fn take(&mut self, entry: &Entry) {
        let cost = entry.cost().rail_time();
        let part = match entry {
            Entry::Read { .. } => &mut self.reading,
            Entry::Set { .. } => &mut self.registers,
            Entry::Written { .. } | Entry::Refused { .. } => &mut self.writing,
            Entry::Proved { .. } => &mut self.proving,
            Entry::Closed { .. } => &mut self.closing,
            Entry::Interrupted { .. } => &mut self.wasted,
            _ => &mut self.connecting,
        };
        *part += cost;
        if let Entry::Read { plain: Some(plain), .. } | Entry::Proved { plain: Some(plain), .. } = entry {
            self.readings += cost;
            self.readings_plain += plain.rail_time();
        }
    }
}

impl Report {
    /// How the run of these entries stands, without the job that it was begun with: sheets and wishes may have changed since.
    ///
    /// # Errors
    /// [`TakeUpError::NothingBegun`] for none, [`TakeUpError::Inconsistent`] for entries that no run writes in this order.
    pub fn of_entries(entries: &[Entry]) -> Result<Self, TakeUpError> {
        Ok(Self::of(&State::after(entries)?))
    }

    /// Whether the run is over, everything that was wanted is proved, and nothing else was disturbed.
    #[must_use]
    pub fn is_fulfilled(&self) -> bool {
        matches!(self.standing, Standing::Proved | Standing::Undone { .. })
            && self.targets.iter().all(|target| target.verdict == Verdict::Met)
            && self.disturbed.is_empty()
    }

    pub(super) fn of(state: &State) -> Self {
        let targets = state.aims().into_iter().map(|(place, aim)| {
            let before = state.read.get(&place).cloned();
            let (after, evidence) = match state.proved.get(&place) {
                Some((content, evidence)) => (Some(content.clone()), *evidence),
                None => (None, None),
            };
            let is_unread = before.as_ref().is_some_and(|content| content.value().is_none());
            let verdict = match &after {
                None if is_unread => Verdict::Unknown { why: Doubt::NotReadBefore },
                None => Verdict::Unknown { why: Doubt::NotReadBack },
                Some(content) => match content.value() {
                    Some(value) if aim.is_met_by(value) => Verdict::Met,
                    Some(_) => Verdict::NotMet,
                    None if is_unread => Verdict::Unknown { why: Doubt::NotReadBefore },
                    None => Verdict::Unknown { why: Doubt::NoValue },
                },
            };
            let (mask, value, because) = (aim.mask, aim.value, aim.because);
            TargetReport { place, mask, value, because, before, after, verdict, evidence }
        });
        Self {
            job: state.job.clone(),
            decoder: state.decoder.clone(),
            identity: state.identity,
            power_on: state.power_on,
            standing: standing(state),
            targets: targets.collect(),
            disturbed: disturbed(state),
            unverified: state.unverified.clone(),
            overridden: state.overridden.clone(),
            snapshot: state.snapshot.clone(),
            rail_times: state.rail_times,
        }
    }
}

fn standing(state: &State) -> Standing {
    if !state.is_finished {
        return Standing::Underway(part(state));
    }
    match &state.ending {
        Ending::Programmed => Standing::Proved,
        Ending::Cancelled { reason } => Standing::Cancelled { reason: reason.clone() },
        Ending::Undone { reason } => Standing::Undone { reason: reason.clone() },
    }
}

pub(super) fn part(state: &State) -> Part {
    match state.next() {
        Next::Read(_) | Next::TakeSnapshot | Next::Plan => Part::Reading,
        Next::Step(_) => Part::Writing,
        Next::BeginProof | Next::Prove(_) => Part::Proving,
        Next::Close | Next::Finish => Part::Closing,
        Next::Nothing => Part::Over,
    }
}

/// How many acts of the present part are done, and how many there are.
pub(super) fn counts(state: &State) -> (usize, usize) {
    match part(state) {
        Part::Reading => (state.read.len(), state.to_read.len()),
        Part::Writing => {
            let steps = state.plan.iter().flat_map(|plan| &plan.steps);
            let is_over = |progress: &StepProgress| {
                matches!(progress, StepProgress::Done { .. } | StepProgress::Refused { .. })
            };
            let (over, waiting): (Vec<_>, Vec<_>) = steps.partition(|step| is_over(&step.progress));
            (over.len(), over.len() + waiting.len())
        }
        Part::Proving => (state.proved.len(), state.aims().len() + state.bystanders().len()),
        Part::Closing => (usize::from(state.is_closed), 1),
        Part::Over => (1, 1),
    }
}

fn disturbed(state: &State) -> Vec<Disturbed> {
    let changed = state.bystanders().into_iter().filter_map(|place| {
        let before = state.snapshot.as_ref()?.get(place)?;
        let (after, _) = state.proved.get(&place)?;
        (after.value() != Some(before)).then(|| Disturbed { place, before, after: after.clone() })
    });
    changed.collect()
}
