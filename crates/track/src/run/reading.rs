//! Reading before anything is written, and the plan that follows from it.

use cvplan::{Image, write_steps};
use datasheets::{CvPlace, DecoderSheet};

use super::{Event, Run, RunError, number, undo};
use crate::journal::{Cost, Entry, Journal, PlanKind, StepRecord};
use crate::link::Link;
use crate::standard::{
    ADDRESS, CONFIGURATION, CONSIST, LOCK_KEY, LONG_HIGH, LONG_LOW, PAGE_HIGH, PAGE_LOW, plain,
};

/// Contents that CVs are likely to have: an earlier snapshot, else what the sheet says about delivery, else the standard's
/// defaults.
pub(super) fn guesses(sheet: &DecoderSheet, earlier: Option<&Image>) -> Image {
    // S-9.2.2 and RCN-225: short address 3, long address 1000, no consist, 28 steps with analog conversion allowed; the
    // lock and the page are at 0 where nobody has set them (from memory).
    let defaults = [(ADDRESS, 3), (LONG_HIGH, 195), (LONG_LOW, 232), (CONSIST, 0), (CONFIGURATION, 6)];
    let mut guesses: Image = defaults.into_iter().map(|(cv, value)| (plain(cv), value)).collect();
    for cv in [15, 16, 31, 32] {
        guesses.set(CvPlace { page: None, cv }, 0);
    }
    let later = sheet.content_on_delivery().into_iter().chain(earlier.into_iter().flat_map(Image::iter));
    for (place, value) in later {
        guesses.set(place, value);
    }
    guesses
}

impl<J: Journal> Run<J> {
    pub(super) fn read<L: Link + ?Sized>(&mut self, link: &mut L, place: CvPlace) -> Result<Event, RunError> {
        self.reach(link, place)?;
        let reading = link.read(number(place)?, self.guesses.get(place))?;
        let is_page = [plain(PAGE_HIGH), plain(PAGE_LOW)].contains(&place);
        if is_page && self.state.needs_pages() && reading.content.value().is_none() {
            // Not written down, so that it is read again when the run goes on.
            return Err(RunError::RegisterUnread { place, content: reading.content });
        }
        let cost = self.cost(link);
        self.note(Entry::Read {
            place: place.into(),
            content: reading.content.clone(),
            n_tries: reading.n_tries,
            evidence: reading.evidence,
            cost,
            plain: reading.plain_rail_time.map(Cost::of),
        })?;
        Ok(Event::CvRead { place, content: reading.content })
    }

    pub(super) fn take_snapshot(&mut self) -> Result<Event, RunError> {
        let n_cvs = self.state.read.values().filter(|content| content.value().is_some()).count();
        self.note(Entry::SnapshotTaken { n_cvs })?;
        Ok(Event::SnapshotTaken(self.state.snapshot.clone().unwrap_or_default()))
    }

    pub(super) fn plan(&mut self) -> Result<Event, RunError> {
        let kind = self.state.kind();
        let steps = match kind {
            PlanKind::Program => self.program(),
            PlanKind::Undo => undo::steps(&self.state),
        };
        let n_steps = steps.len();
        self.note(Entry::Planned { kind, steps })?;
        Ok(Event::Planned { kind, n_steps })
    }

    /// The writes that meet the wishes. What could not be read is not written: it counts as met here, so that nothing is
    /// planned for it, and as unknown in the report. The lock is closed again at the very end, after the proof, because a
    /// locked decoder may refuse to be read (RCN-225).
    fn program(&self) -> Vec<StepRecord> {
        let mut image = self.state.snapshot.clone().unwrap_or_default();
        for target in
            self.targets.iter().filter(|target| image.get(target.place).is_none()).collect::<Vec<_>>()
        {
            image.set(target.place, target.value);
        }
        let Ok(steps) = write_steps(&self.targets, &image) else {
            unreachable!("the image holds every wanted CV")
        };
        let mut steps: Vec<StepRecord> = steps.into_iter().map(Into::into).collect();
        let is_lock = |step: &StepRecord| step.aim().is_some_and(|(place, _)| place == plain(LOCK_KEY));
        if steps.iter().filter(|step| is_lock(step)).count() > 1 && steps.last().is_some_and(is_lock) {
            steps.pop();
        }
        steps
    }
}
