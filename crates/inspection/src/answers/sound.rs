//! What the speakers do over frequency: the room `speakers` asked for both wirings.

use speakers::{Sounding, Wiring};

use crate::job::Job;

/// Above this many speakers nothing is computed over frequency: no locomotive holds them, and an answer after every keystroke
/// must stay quick. The rule `more-speakers-than-computed` says so.
pub(crate) const MOST_SPEAKERS: usize = 24;

/// A wiring with what it does over frequency.
#[derive(Debug, Clone)]
pub struct SoundAnswer {
    /// The wiring.
    pub wiring: Wiring,
    /// What it does.
    pub sounding: Sounding,
}

impl SoundAnswer {
    /// The wiring of the survey; none where it has no speakers, is not known well enough or has no solution. Each of those is
    /// a finding of its own.
    pub(super) fn found(job: &Job<'_>) -> Option<Self> {
        Self::of(Wiring::found(job.order, job.shelf)?.ok()?)
    }

    /// The wiring of the plan, likewise.
    pub(super) fn planned(job: &Job<'_>) -> Option<Self> {
        Self::of(Wiring::planned(job.order, job.shelf)?.ok()?)
    }

    fn of(wiring: Wiring) -> Option<Self> {
        if wiring.speakers.len() > MOST_SPEAKERS {
            return None;
        }
        let sounding = Sounding::of(&wiring).ok()?;
        Some(Self { wiring, sounding })
    }
}
