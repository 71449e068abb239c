//! Runs: a decoder is identified, read, written, read back and reported on, and a cut anywhere loses nothing.
//!
//! What it is: a durable object. Every act is written down before and after it, in a [`Journal`]; a run that was cut off is
//! taken up from its entries and ends in the same state. The plan itself comes from [`cvplan`].
//! What it is not: a store, or a user of the clock. It does one act a [`Run::step`], so that the caller can show how far it
//! is, cancel it, or stop.
//!
//! Source: ours; what is written, and in which order, by [`cvplan::write_steps`]; pairs and side effects by NMRA S-9.2.1
//! note 8 and S-9.2.3.

mod error;
mod event;
mod proving;
mod reading;
mod registers;
mod report;
mod session;
mod state;
#[cfg(test)]
mod tests;
mod undo;
mod writing;

use std::collections::BTreeSet;

use cvplan::{Image, Targets, places_to_read};
use datasheets::{CvPlace, DecoderSheet};
use dcc::{CvNumber, Microseconds};

pub use error::{RunError, TakeUpError};
pub use event::{Event, Part, Progress};
pub use report::{Disturbed, Doubt, RailTimes, Report, Standing, TargetReport, Verdict};

use crate::journal::{Cost, Entry, Journal, WantedRecord};
use crate::link::Link;
use crate::permit::Permit;
use crate::standard::{PAGE_HIGH, PAGE_LOW, plain};
use crate::strategy::Identity;
use session::Session;
use state::{Next, State};

/// What is to be done to one decoder.
#[derive(Debug, Clone)]
pub struct Job<'a> {
    /// A name to know it by, the number of the work order for instance.
    pub name: &'a str,
    /// What the CVs shall hold.
    pub targets: &'a Targets,
    /// The decoder's sheet.
    pub sheet: &'a DecoderSheet,
    /// Who the decoder must be; what the sheet says when left out. A version that the sheet does not know must be accepted
    /// here by name.
    pub identity: Option<Identity>,
    /// An earlier snapshot of the same decoder: its contents are asked for first, which saves most of the reading.
    pub earlier: Option<&'a Image>,
    /// Leave to put power on the track.
    pub permit: Permit,
}

/// The programming of one decoder.
#[derive(Debug)]
pub struct Run<J> {
    state: State,
    targets: Targets,
    guesses: Image,
    expected: Identity,
    permit: Permit,
    journal: J,
    session: Option<Session>,
    /// Whether the next connection follows a switching off of our own, so that nobody can have changed the decoder.
    is_own_cycle: bool,
    /// The link's rail time at the latest entry; none before the first use of the link.
    accounted: Option<Microseconds>,
}

impl<J: Journal> Run<J> {
    /// Begins a run.
    ///
    /// # Errors
    /// [`RunError::Journal`].
    pub fn begin(job: Job<'_>, mut journal: J) -> Result<Self, RunError> {
        let entry = begun(&job);
        journal.append(&entry)?;
        let state = match State::after(std::slice::from_ref(&entry)) {
            Ok(state) => state,
            Err(error) => unreachable!("a run begins with this entry: {error}"),
        };
        Ok(Self::at(state, job, journal))
    }

    /// Takes up a run from its entries. The job must be the one it began with, as it was. Steps that the decoder had
    /// refused are tried again.
    ///
    /// # Errors
    /// [`TakeUpError`].
    pub fn take_up(job: Job<'_>, entries: &[Entry], mut journal: J) -> Result<Self, TakeUpError> {
        let mut state = State::after(entries)?;
        check_job(&begun(&job), &entries[0])?;
        if !state.is_finished {
            journal.append(&Entry::TakenUp)?;
            state.apply(&Entry::TakenUp);
        }
        Ok(Self::at(state, job, journal))
    }

    fn at(state: State, job: Job<'_>, journal: J) -> Self {
        let expected = job.identity.unwrap_or_else(|| identity_of(job.sheet));
        Self {
            state,
            targets: job.targets.clone(),
            guesses: reading::guesses(job.sheet, job.earlier),
            expected,
            permit: job.permit,
            journal,
            session: None,
            is_own_cycle: false,
            accounted: None,
        }
    }

    /// Does the next act and tells what it was. Once the run is over, that is [`Event::Finished`] again and again.
    ///
    /// # Errors
    /// [`RunError`]. The track is switched off then; another call connects again and goes on where the run was.
    pub fn step<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        self.accounted.get_or_insert(link.rail_time());
        let done = self.act(link);
        if let Err(error) = &done {
            self.interrupt(link, error)?;
        }
        done
    }

    /// Does all acts that are left, and tells each.
    ///
    /// # Errors
    /// As [`Self::step`].
    pub fn proceed<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        mut tell: impl FnMut(&Event, Progress),
    ) -> Result<Report, RunError> {
        loop {
            let event = self.step(link)?;
            tell(&event, self.progress());
            if event == Event::Finished {
                return Ok(self.report());
            }
        }
    }

    /// Goes on after [`RunError::WritesRefused`], once the cause is gone: what was refused is tried again.
    ///
    /// # Errors
    /// [`RunError::Journal`].
    pub fn retry(&mut self) -> Result<(), RunError> {
        self.note(Entry::TakenUp)
    }

    /// Wants no more written. What is written stays; page and lock are put back by the steps that follow.
    ///
    /// # Errors
    /// [`RunError::Journal`].
    pub fn cancel(&mut self, reason: impl Into<String>) -> Result<(), RunError> {
        if self.state.is_finished {
            return Ok(());
        }
        self.note(Entry::Cancelled { reason: reason.into() })
    }

    /// Wants everything back as the snapshot has it, by a plan of its own that the steps that follow carry out and prove.
    /// Also when the run is over.
    ///
    /// # Errors
    /// [`RunError::Journal`].
    pub fn undo(&mut self, reason: impl Into<String>) -> Result<(), RunError> {
        self.note(Entry::Undoing { reason: reason.into() })
    }

    /// How it stands.
    pub fn report(&self) -> Report {
        Report::of(&self.state)
    }

    /// How far it is.
    pub fn progress(&self) -> Progress {
        let (n_done, n_all) = report::counts(&self.state);
        Progress { part: report::part(&self.state), n_done, n_all }
    }

    /// Whether nothing is left to do.
    pub fn is_over(&self) -> bool {
        self.state.next() == Next::Nothing
    }

    /// The journal.
    pub fn journal(&self) -> &J {
        &self.journal
    }

    fn act<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        let next = self.state.next();
        if next.needs_decoder(&self.state) {
            match &self.session {
                None => return self.connect(link),
                Some(session) if !session.is_recognised => return self.recognise(link),
                Some(_) => {}
            }
        }
        match next {
            Next::Read(place) => self.read(link, place),
            Next::TakeSnapshot => self.take_snapshot(),
            Next::Plan => self.plan(),
            Next::Step(index) => self.take_step(link, index),
            Next::BeginProof => self.begin_proof(link),
            Next::Prove(place) => self.prove(link, place),
            Next::Close => self.close(link),
            Next::Finish => self.finish(link),
            Next::Nothing => Ok(Event::Finished),
        }
    }

    fn finish<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        link.disconnect();
        self.session = None;
        self.note(Entry::Finished)?;
        Ok(Event::Finished)
    }

    fn interrupt<L: Link + ?Sized>(&mut self, link: &mut L, error: &RunError) -> Result<(), RunError> {
        link.disconnect();
        self.session = None;
        self.is_own_cycle = false;
        if matches!(error, RunError::Journal(_)) {
            return Ok(());
        }
        let cost = self.cost(link);
        self.note(Entry::Interrupted { what: error.to_string(), cost })
    }

    /// Writes an entry down and takes it in.
    fn note(&mut self, entry: Entry) -> Result<(), RunError> {
        self.journal.append(&entry)?;
        match self.state.apply(&entry) {
            Some(()) => Ok(()),
            None => unreachable!("a run writes its entries in an order that it can read: {entry:?}"),
        }
    }

    /// What was spent on the rails since this was asked last.
    fn cost<L: Link + ?Sized>(&mut self, link: &L) -> Cost {
        let now = link.rail_time();
        let before = self.accounted.replace(now).unwrap_or(now);
        Cost::of(now - before)
    }
}

fn begun(job: &Job<'_>) -> Entry {
    Entry::Begun {
        job: job.name.to_owned(),
        decoder: job.sheet.part.name.as_str().to_owned(),
        wanted: job.targets.iter().map(WantedRecord::from).collect(),
        to_read: places(job).into_iter().map(Into::into).collect(),
        overridden: job.permit.overridden().to_vec(),
    }
}

/// What is read before anything is written. The page register belongs to it where any CV has a page, also where the sheet
/// forgets it: it must be put back.
fn places(job: &Job<'_>) -> BTreeSet<CvPlace> {
    let mut places: BTreeSet<CvPlace> = places_to_read(job.targets, job.sheet).into_iter().collect();
    if places.iter().any(|place| place.page.is_some()) {
        places.extend([plain(PAGE_HIGH), plain(PAGE_LOW)]);
    }
    places
}

/// Compares the job with the one that a run began with. The stops that were overridden may be others.
fn check_job(now: &Entry, then: &Entry) -> Result<(), TakeUpError> {
    let (
        Entry::Begun { job, decoder, wanted, to_read, .. },
        Entry::Begun { job: old_job, decoder: old_decoder, wanted: old_wanted, to_read: old_to_read, .. },
    ) = (now, then)
    else {
        return Err(TakeUpError::NothingBegun);
    };
    let changed = |what: String| Err(TakeUpError::JobChanged { what });
    if job != old_job {
        return changed(format!("it was {old_job}, this is {job}"));
    }
    if decoder != old_decoder {
        return changed(format!("the decoder's sheet was {old_decoder}, this is {decoder}"));
    }
    let bits = |wanted: &WantedRecord| (wanted.place, wanted.mask, wanted.value);
    let differing = wanted
        .iter()
        .find(|one| !old_wanted.iter().any(|old| bits(old) == bits(one)))
        .or_else(|| old_wanted.iter().find(|old| !wanted.iter().any(|one| bits(old) == bits(one))));
    if let Some(one) = differing {
        return changed(format!("{} was to hold something else", CvPlace::from(one.place)));
    }
    if to_read != old_to_read {
        return changed("the sheet has other CVs now".to_owned());
    }
    Ok(())
}

pub(crate) fn identity_of(sheet: &DecoderSheet) -> Identity {
    let byte = |value: datasheets::CvValue| u8::try_from(value.get()).unwrap_or(u8::MAX);
    Identity { manufacturer: byte(sheet.decoder.manufacturer), version: byte(sheet.decoder.version) }
}

/// The number of a CV, as packets carry it.
fn number(place: CvPlace) -> Result<CvNumber, RunError> {
    CvNumber::new(place.cv).map_err(|_| RunError::NoSuchCv { place })
}
