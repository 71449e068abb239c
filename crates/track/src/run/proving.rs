//! The proof: the track goes off and on, and everything that was wanted is read back, and everything that was not.

use datasheets::CvPlace;

use super::{Event, Run, RunError, number};
use crate::journal::{Cost, Entry, Journal};
use crate::link::Link;

impl<J: Journal> Run<J> {
    /// Switches off, so that what is read back is what the decoder keeps.
    pub(super) fn begin_proof<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        // After a take-up there was no session, and the decoder has yet to be recognised.
        self.is_own_cycle = self.session.is_some();
        link.disconnect();
        self.session = None;
        let cost = self.cost(link);
        self.note(Entry::Proving { cost })?;
        Ok(Event::ProofBegun)
    }

    pub(super) fn prove<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        place: CvPlace,
    ) -> Result<Event, RunError> {
        self.reach(link, place)?;
        let reading = link.read(number(place)?, self.state.known.get(place))?;
        let cost = self.cost(link);
        self.note(Entry::Proved {
            place: place.into(),
            content: reading.content.clone(),
            evidence: reading.evidence,
            cost,
            plain: reading.plain_rail_time.map(Cost::of),
        })?;
        Ok(Event::CvProved { place, content: reading.content })
    }
}
