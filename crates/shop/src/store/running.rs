//! Runs begun, taken up, cancelled and brought back, each in a thread of its own.
//!
//! What it is: the journal of a run in the ledger, so that one that was cut off anywhere is taken up where it was; its progress
//! told as it happens.
//! What it is not: the run itself (the room of the track), or leave to power anything: a stop that nobody set aside holds here as
//! everywhere.

use std::ops::ControlFlow;
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use bench::Locomotive;
use ledger::{DocumentId, RunId, RunOutcome};
use track::{Entry, Event, Journal, JournalError, Link, Run, Standing, VirtualLink};

use super::clock::now;
use super::estimate::Estimate;
use super::event::{Happening, ShopEvent};
use super::live::{Live, Place};
use super::open::{Store, order_id, stamp};
use super::runs::{Purpose, run_words};
use super::view::{Pace, RunProgress, RunState, RunView};
use super::virtual_bench::Kept;
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::program::{self, Prepared, Task, image_of};

/// A journal in the ledger: each entry is on the disk before the next act.
#[derive(Debug)]
struct LedgerJournal {
    store: Store,
    run: RunId,
}

impl Journal for LedgerJournal {
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError> {
        let kept = self.store.ledger().append_line(self.run, &entry.to_line(), now());
        kept.map_err(|cause| JournalError { what: cause.to_string() })
    }
}

/// A run ready to go.
struct Ready {
    store: Store,
    run: Run<LedgerJournal>,
    link: VirtualLink<Locomotive>,
    kept: Kept,
    estimate: Estimate,
    id: RunId,
    document: DocumentId,
    order: String,
    decoder: String,
    task: Task,
    pace: Pace,
    by: String,
}

impl Store {
    /// Begins a run of an order on the virtual bench, in a thread of its own, and returns at once. To undo, the run that was cut
    /// off is brought back, or the latest one that wrote anything.
    ///
    /// # Errors
    /// An order with faults, without a decoder or held by a stop; a run that is under way, or was cut off and waits to be taken up or
    /// given up; nothing to bring back; a shop that cannot be written.
    pub fn start_run(&self, order: &str, task: Task, pace: Pace, by: &str) -> Result<RunId, ShopError> {
        let document = order_id(&self.ledger(), order)?;
        let place = self.place_for(document, order)?;
        let (revision, checked, desk) = self.sound_order(order, "programming")?;
        if task == Task::Undo {
            program::permit(&checked)?;
            return self.begin_undo(place, document, order, pace, by);
        }
        let prepared = Prepared::of(&desk, &checked)?;
        let (locomotive, kept) = self.locomotive(&checked.document.value, &desk.shelf, by)?;
        let earlier = image_of(&self.latest_entries(document)?);
        let purpose = Purpose { task, revision };
        let id = self.ledger().begin_run(document, &stamp(by).with_note(&purpose.note()))?;
        let run = Run::begin(prepared.job(Some(&earlier)), LedgerJournal { store: self.clone(), run: id });
        let run = run.map_err(|cause| ShopError::run(order, cause))?;
        let ready = self.ready(run, locomotive, kept, &prepared, (id, document, order), task, pace, by);
        self.go(place, ready)?;
        Ok(id)
    }

    /// Takes up a run that was cut off. It goes on with what the order said when it began.
    ///
    /// # Errors
    /// A run that is under way or over; an order that is held by a stop now; part sheets that were changed since, so that the run can
    /// only be given up.
    pub fn take_up_run(&self, run: RunId, pace: Pace, by: &str) -> Result<(), ShopError> {
        let record = self.ledger().run(run)?;
        let order = self.ledger().document(record.document)?.name;
        let place = self.place_for(record.document, &order)?;
        if let Some((outcome, _)) = record.ended {
            return Err(ledger::RunError::HasEnded { run, outcome }.into());
        }
        self.take_up(place, run, &order, pace, by, false)
    }

    /// Stops a run that is under way: nothing more is written, and what was written stays.
    ///
    /// # Errors
    /// A run that is not under way in this program.
    pub fn cancel_run(&self, run: RunId, by: &str) -> Result<(), ShopError> {
        self.inner.live.get(run).ok_or(ShopError::RunNotUnderWay { run })?.cancel(by);
        Ok(())
    }

    /// Gives up a run that was cut off: nobody will take it up. What it wrote stays in the decoder.
    ///
    /// # Errors
    /// A run that is under way or over.
    pub fn give_up_run(&self, run: RunId, by: &str) -> Result<(), ShopError> {
        let record = self.ledger().run(run)?;
        let order = self.ledger().document(record.document)?.name;
        let _place = self.place_for(record.document, &order)?;
        self.ledger().end_run(run, RunOutcome::GivenUp, &stamp(by))?;
        self.notice_changes()
    }

    /// Waits until a run is no longer under way here, and tells how it stands.
    ///
    /// # Errors
    /// No such run, or the shop cannot be read.
    pub fn wait_for_run(&self, run: RunId) -> Result<RunView, ShopError> {
        self.inner.live.wait_for(run);
        self.run(run)
    }

    /// Stops all runs between two acts, as a program does that is about to end. They can be taken up later.
    pub fn stop_runs(&self) {
        self.inner.live.stop_all();
    }

    fn place_for(&self, document: DocumentId, order: &str) -> Result<Place<'_>, ShopError> {
        self.inner.live.take(document).ok_or_else(|| ShopError::RunUnderWay { order: order.to_owned() })
    }

    /// The entries of an order's latest run.
    fn latest_entries(&self, document: DocumentId) -> Result<Vec<Entry>, ShopError> {
        let ledger = self.ledger();
        match ledger.runs_of(document)?.first() {
            Some(run) => Ok(self.inner.ended_runs.read(&ledger, run.id)?.entries.clone()),
            None => Ok(Vec::new()),
        }
    }

    fn begin_undo(
        &self,
        place: Place<'_>,
        document: DocumentId,
        order: &str,
        pace: Pace,
        by: &str,
    ) -> Result<RunId, ShopError> {
        let nothing = || ShopError::NothingToBringBack { order: order.to_owned() };
        let ledger = self.ledger();
        let mut found = None;
        for record in ledger.runs_of(document)? {
            let purpose = Purpose::of(&record.note);
            match (record.ended, purpose) {
                (None, _) => {
                    drop(ledger);
                    self.take_up(place, record.id, order, pace, by, true)?;
                    return Ok(record.id);
                }
                (Some((RunOutcome::Undone, _)), _) => return Err(nothing()),
                (Some(_), Some(purpose)) if purpose.task != Task::Prove => {
                    let read = self.inner.ended_runs.read(&ledger, record.id)?;
                    if read.report.as_ref().is_some_and(|report| report.snapshot.is_some()) {
                        found = Some((read, purpose.revision));
                        break;
                    }
                }
                _ => {}
            }
        }
        drop(ledger);
        let (read, revision) = found.ok_or_else(nothing)?;
        let (desk, checked) = self.checked_at(document, revision)?;
        let job = Prepared::of(&desk, &checked)?;
        // Tried before anything is begun: part sheets may have changed since.
        let take_up = |cause| ShopError::TakeUp { order: order.to_owned(), cause };
        drop(Run::take_up(job.job(None), &read.entries, Vec::new()).map_err(take_up)?);
        let purpose = Purpose { task: Task::Undo, revision };
        let id = self.ledger().together(|ledger| {
            let id = ledger.begin_run(document, &stamp(by).with_note(&purpose.note()))?;
            for entry in &read.entries {
                ledger.append_line(id, &entry.to_line(), now())?;
            }
            Ok::<RunId, ShopError>(id)
        })?;
        self.take_up(place, id, order, pace, by, true)?;
        Ok(id)
    }

    /// An order as it was at a revision, with the parts of today.
    fn checked_at(
        &self,
        document: DocumentId,
        revision: ledger::RevisionNumber,
    ) -> Result<(Arc<Desk>, CheckedOrder), ShopError> {
        let desk = self.desk()?;
        let revision = self.ledger().at(document, revision)?;
        let name = format!("work order {} as of revision {}", revision.record.name, revision.record.number);
        let checked = desk.check_text(&name, &revision.text)?;
        Ok((desk, checked))
    }

    fn take_up(
        &self,
        place: Place<'_>,
        id: RunId,
        order: &str,
        pace: Pace,
        by: &str,
        is_to_undo: bool,
    ) -> Result<(), ShopError> {
        let (record, entries) = {
            let ledger = self.ledger();
            (ledger.run(id)?, super::runs::read_run(&ledger, id)?.entries)
        };
        let document = record.document;
        let (revision, now_checked, _) = self.sound_order(order, "programming")?;
        let purpose = Purpose::of(&record.note).unwrap_or(Purpose { task: Task::Program, revision });
        // What stops the order now stops it, whatever was so when the run began.
        program::permit(&now_checked)?;
        let (desk, checked) = self.checked_at(document, purpose.revision)?;
        let prepared = Prepared::of(&desk, &checked)?;
        let journal = LedgerJournal { store: self.clone(), run: id };
        let earlier = image_of(&entries);
        let mut run = if entries.is_empty() {
            Run::begin(prepared.job(Some(&earlier)), journal).map_err(|cause| ShopError::run(order, cause))?
        } else {
            let run = Run::take_up(prepared.job(Some(&earlier)), &entries, journal);
            run.map_err(|cause| ShopError::TakeUp { order: order.to_owned(), cause })?
        };
        let is_undoing = entries.iter().any(|entry| matches!(entry, Entry::Undoing { .. }));
        if (is_to_undo || purpose.task == Task::Undo) && !is_undoing {
            run.undo(format!("asked for by {by}")).map_err(|cause| ShopError::run(order, cause))?;
        }
        let (locomotive, kept) = self.locomotive(&checked.document.value, &desk.shelf, by)?;
        let names = (id, document, order);
        let ready = self.ready(run, locomotive, kept, &prepared, names, purpose.task, pace, by);
        self.go(place, ready)
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "each is a different thing that only a run brings together"
    )]
    fn ready(
        &self,
        run: Run<LedgerJournal>,
        locomotive: Locomotive,
        kept: Kept,
        prepared: &Prepared<'_>,
        (id, document, order): (RunId, DocumentId, &str),
        task: Task,
        pace: Pace,
        by: &str,
    ) -> Ready {
        Ready {
            store: self.clone(),
            run,
            link: VirtualLink::new(locomotive),
            kept,
            estimate: Estimate::new(prepared.settlement.targets.len()),
            id,
            document,
            order: order.to_owned(),
            decoder: prepared.sheet.part.name.to_string(),
            task,
            pace,
            by: by.to_owned(),
        }
    }

    fn go(&self, place: Place<'_>, ready: Ready) -> Result<(), ShopError> {
        let live = place.keep(ready.id);
        let (document, id) = (ready.document, ready.id);
        self.notice_changes()?;
        let begun = thread::Builder::new().name(format!("run {id}")).spawn(move || ready.carry_out(&live));
        begun.map_err(|cause| {
            self.inner.live.end(document, id, None);
            ShopError::Thread { cause }
        })?;
        Ok(())
    }
}

/// Gives the order free when a run's thread ends, however that is.
struct Ending {
    store: Store,
    document: DocumentId,
    id: RunId,
    help: Option<&'static str>,
}

impl Drop for Ending {
    fn drop(&mut self) {
        self.store.inner.live.end(self.document, self.id, self.help);
    }
}

impl Ready {
    fn carry_out(mut self, live: &Live) {
        let mut ending =
            Ending { store: self.store.clone(), document: self.document, id: self.id, help: None };
        let ended = self.act(live);
        let store = self.store.clone();
        match ended {
            Ok(ControlFlow::Continue(())) => {}
            Ok(ControlFlow::Break(())) => {
                // Told before the order is free again, so that whoever waits for the run finds the board as it is now.
                // A shop that cannot be written says so to whoever asks next; here nobody listens.
                let _ = store.tell_about(self.document);
            }
            Err(error) => {
                ending.help = Some(error.help());
                let state = RunState::CutOff { why: error.to_string(), help: error.help().to_owned() };
                let what = Happening::RunChanged { order: self.order.clone(), run: self.id, state };
                drop(ending);
                store.tell(&ShopEvent { what, at: now(), by: self.by });
                return;
            }
        }
        drop(ending);
        let _ = store.notice_changes();
    }

    /// Acts until the run is over (break) or the program is about to end (continue).
    fn act(&mut self, live: &Live) -> Result<ControlFlow<()>, ShopError> {
        self.keep_missed_snapshot()?;
        loop {
            if live.is_to_stop() {
                return Ok(ControlFlow::Continue(()));
            }
            if let Some(by) = live.take_cancelled() {
                let cancelled = self.run.cancel(format!("stopped by {by}"));
                cancelled.map_err(|cause| ShopError::run(&self.order, cause))?;
            }
            let (began, rails_before) = (Instant::now(), self.on_rails());
            let event = self.step()?;
            let on_rails = self.on_rails();
            if matches!(event, Event::SnapshotTaken(_)) {
                self.keep_snapshot(false)?;
            }
            self.tell_progress(live, &event, on_rails);
            if event == Event::Finished {
                self.finish()?;
                return Ok(ControlFlow::Break(()));
            }
            if self.pace == Pace::AsOnRails {
                live.rest(on_rails.saturating_sub(rails_before).saturating_sub(began.elapsed()));
            }
        }
    }

    fn step(&mut self) -> Result<Event, ShopError> {
        let (store, kept, by) = (&self.store, &mut self.kept, &self.by);
        let note = format!("written by {}", run_words(self.id));
        program::step(&mut self.run, &mut self.link, self.task, &self.order, |locomotive| {
            kept.keep(&mut store.ledger(), locomotive, &note, by)
        })
    }

    fn on_rails(&self) -> Duration {
        Duration::from_micros(self.link.rail_time().as_micros())
    }

    fn tell_progress(&mut self, live: &Live, event: &Event, on_rails: Duration) {
        let progress = self.run.progress();
        self.estimate.take(event, on_rails);
        let progress = RunProgress {
            part: progress.part,
            n_done: progress.n_done,
            n_all: progress.n_all,
            told: in_words(event),
            on_rails,
            left: self.estimate.left(progress),
        };
        live.set_progress(progress.clone());
        let what = Happening::RunProgress { order: self.order.clone(), run: self.id, progress };
        self.store.tell(&ShopEvent { what, at: now(), by: self.by.clone() });
    }

    fn finish(&mut self) -> Result<(), ShopError> {
        let outcome = match self.run.report().standing {
            Standing::Cancelled { .. } => RunOutcome::Cancelled,
            Standing::Undone { .. } => RunOutcome::Undone,
            Standing::Proved | Standing::Underway(_) => RunOutcome::Finished,
        };
        if outcome != RunOutcome::Cancelled {
            self.keep_snapshot(true)?;
        }
        self.store.ledger().end_run(self.id, outcome, &stamp(&self.by))?;
        Ok(())
    }

    /// A program that died between the journal's entry and the snapshot left the snapshot to be kept now.
    fn keep_missed_snapshot(&mut self) -> Result<(), ShopError> {
        let has_one =
            self.store.ledger().snapshots_of(self.document)?.iter().any(|taken| taken.run == Some(self.id));
        if self.task != Task::Undo && !has_one && self.run.report().snapshot.is_some() {
            self.keep_snapshot(false)?;
        }
        Ok(())
    }

    /// Keeps what was read before anything was written, or what was read back.
    fn keep_snapshot(&self, is_read_back: bool) -> Result<(), ShopError> {
        let mut ledger = self.store.ledger();
        let entries = super::runs::read_run(&ledger, self.id)?.entries;
        let readings = super::snapshots::readings(&entries, is_read_back);
        if readings.is_empty() {
            return Ok(());
        }
        let note = match (is_read_back, self.run.report().standing) {
            (false, _) => "before anything was written",
            (true, Standing::Undone { .. }) => "read back after all was brought back",
            (true, _) => "read back at the end",
        };
        let stamp = stamp(&self.by).with_note(note);
        ledger.keep_snapshot(self.document, Some(self.id), &self.decoder, &readings, &stamp)?;
        Ok(())
    }
}

/// What happened, in words.
fn in_words(event: &Event) -> String {
    match event {
        Event::Connected { mode, .. } => format!("the track is on, {mode} mode"),
        Event::Identified(identity) => format!("a decoder with {identity}"),
        Event::Recognised => "it is the same decoder".to_owned(),
        Event::CvRead { place, content } => format!("{place} read: {content}"),
        Event::SnapshotTaken(image) => format!("a snapshot of {} CVs is kept", image.len()),
        Event::Planned { n_steps: 0, .. } => "nothing is to be written".to_owned(),
        Event::Planned { n_steps, .. } => format!("{n_steps} steps are planned"),
        Event::PageSelected { high, low } => format!("page {high}/{low} selected"),
        Event::CvWritten { place, value } => format!("{place} holds {value}"),
        Event::CvRefused { place, holds } => format!("{place} keeps {holds}"),
        Event::ProofBegun => {
            "all is written; the track goes off and on, and everything is read back".to_owned()
        }
        Event::CvProved { place, content } => format!("{place} read back: {content}"),
        Event::Closed => "page and lock are as they were".to_owned(),
        Event::Finished => "over; the track is off".to_owned(),
    }
}
