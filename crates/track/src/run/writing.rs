//! Taking the steps of a plan: write, verify, and never rely on an acknowledgement of a write.

use datasheets::CvPlace;

use super::registers::{content_at, holds_at, write_unheard};
use super::{Event, Run, RunError};
use crate::acknowledgement::Evidence;
use crate::journal::{Entry, Journal, StepRecord};
use crate::link::Link;
use crate::standard::{LONG_HIGH, LONG_LOW, plain};
use crate::strategy::TRIES;

/// When so many CVs were refused and none taken, something stands in the way of all of them (own choice).
const REFUSED_MOST: usize = 3;

impl<J: Journal> Run<J> {
    pub(super) fn take_step<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        index: usize,
    ) -> Result<Event, RunError> {
        let Some(step) = self.state.step(index).map(|planned| planned.record) else {
            unreachable!("the state names steps of its plan")
        };
        let (refused, n_taken) = self.state.refused();
        if n_taken == 0 && refused.len() >= REFUSED_MOST {
            return Err(RunError::WritesRefused { refused });
        }
        match step {
            StepRecord::Select { high, low } => self.take_selection(link, index, high, low),
            StepRecord::Write { place, from, to } => {
                let place = CvPlace::from(place);
                // After a cut nobody knows whether the write was done, and writing it twice wears the memory.
                let is_doubtful = self.state.uncertain.contains(&place);
                self.take_write(link, index, place, Some(from), to, is_doubtful)
            }
            StepRecord::Ensure { place, value } => {
                self.take_write(link, index, place.into(), None, value, true)
            }
        }
    }

    fn take_selection<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        step: usize,
        high: u8,
        low: u8,
    ) -> Result<Event, RunError> {
        self.note(Entry::Writing { step })?;
        self.select(link, high, low)?;
        let cost = self.cost(link);
        self.note(Entry::Written { step, n_writes: 0, evidence: None, cost })?;
        Ok(Event::PageSelected { high, low })
    }

    fn take_write<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        step: usize,
        place: CvPlace,
        from: Option<u8>,
        to: u8,
        is_asked_first: bool,
    ) -> Result<Event, RunError> {
        self.reach(link, place)?;
        self.forget_page(place);
        self.note(Entry::Writing { step })?;
        if is_asked_first {
            let (is_there, evidence) = holds_at(link, place, to)?;
            if is_there {
                return self.taken(link, step, place, to, 0, evidence);
            }
        }
        for n_writes in 1..=TRIES {
            write_unheard(link, place, to)?;
            let (mut is_there, mut evidence) = holds_at(link, place, to)?;
            if !is_there && place == plain(LONG_HIGH) {
                // A write of CV17 may wait for one of CV18 (S-9.2.1 note 8).
                if let Some(low) = self.long_low(step) {
                    write_unheard(link, plain(LONG_LOW), low)?;
                    (is_there, evidence) = holds_at(link, place, to)?;
                }
            }
            if is_there {
                return self.taken(link, step, place, to, n_writes, evidence);
            }
        }
        let holds = content_at(link, place, from)?;
        let cost = self.cost(link);
        self.note(Entry::Refused { step, holds: holds.clone(), cost })?;
        Ok(Event::CvRefused { place, holds })
    }

    fn taken<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        step: usize,
        place: CvPlace,
        value: u8,
        n_writes: u32,
        evidence: Option<Evidence>,
    ) -> Result<Event, RunError> {
        let cost = self.cost(link);
        self.note(Entry::Written { step, n_writes, evidence, cost })?;
        Ok(Event::CvWritten { place, value })
    }

    /// What CV18 shall hold once CV17 is written: what a later step says, else what it holds.
    fn long_low(&self, step: usize) -> Option<u8> {
        let later = self.state.plan.iter().flat_map(|plan| plan.steps.iter().skip(step + 1));
        let mut aims = later.filter_map(|planned| planned.record.aim());
        let planned = aims.find(|(place, _)| *place == plain(LONG_LOW)).map(|(_, value)| value);
        planned.or_else(|| self.state.known.get(plain(LONG_LOW)))
    }
}
