//! A run carried out in a thread of its own.
//!
//! What it is: act after act with the journal in the ledger, so that a run that is cut off anywhere can be taken up where it was; its
//! progress told as it happens, its snapshots kept.
//! What it is not: leave to power anything; whoever makes a [`Ready`] has asked for that.

use std::ops::ControlFlow;
use std::sync::Arc;
use std::time::{Duration, Instant};

use ledger::{DocumentId, RunId, RunOutcome};
use track::{Entry, Event, Journal, JournalError, Link, Run, Standing, VirtualLink};

use super::clock::now;
use super::estimate::Estimate;
use super::event::{Happening, ShopEvent};
use super::live::{Live, Stopped};
use super::open::{Store, stamp};
use super::view::{Pace, RunProgress, RunState};
use super::virtual_bench::TruthMemory;
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::program::{self, Kept, Prepared, Task};

/// A journal in the ledger: each entry is on the disk before the next act.
#[derive(Debug)]
pub(super) struct LedgerJournal {
    pub(super) store: Store,
    pub(super) run: RunId,
}

impl Journal for LedgerJournal {
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError> {
        let kept = self.store.ledger().append_line(self.run, &entry.to_line(), now());
        kept.map_err(|cause| JournalError { what: cause.to_string() })
    }
}

/// What a run is asked to be.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    pub(super) order: String,
    pub(super) document: DocumentId,
    pub(super) task: Task,
    pub(super) pace: Pace,
    pub(super) by: String,
}

/// A run ready to go.
pub(super) struct Ready {
    store: Store,
    pub(super) wanted: Wanted,
    pub(super) id: RunId,
    run: Run<LedgerJournal>,
    desk: Arc<Desk>,
    checked: Arc<CheckedOrder>,
    link: VirtualLink<Kept<TruthMemory>>,
    estimate: Estimate,
}

/// Gives the order free when a run's thread ends, however that is.
struct Ending {
    store: Store,
    document: DocumentId,
    id: RunId,
    has_ended: bool,
}

impl Ending {
    /// The run is over or stopped.
    fn end(&mut self, stopped: Stopped) {
        self.store.inner.live.end(self.document, self.id, stopped);
        self.has_ended = true;
    }
}

impl Drop for Ending {
    fn drop(&mut self) {
        if !self.has_ended {
            self.end(Stopped::default());
        }
        self.store.inner.live.left(self.id);
    }
}

impl Ready {
    pub(super) fn of(
        store: &Store,
        wanted: Wanted,
        id: RunId,
        run: Run<LedgerJournal>,
        (desk, checked): (Arc<Desk>, Arc<CheckedOrder>),
        on_bench: Kept<TruthMemory>,
    ) -> Self {
        let settlement = checked.inspection.answers.settlement.as_ref();
        let n_targets = settlement.map_or(0, |settlement| settlement.targets.len());
        Self {
            store: store.clone(),
            wanted,
            id,
            run,
            desk,
            checked,
            link: VirtualLink::new(on_bench),
            estimate: Estimate::new(n_targets),
        }
    }

    pub(super) fn carry_out(mut self, live: &Live) {
        let store = self.store.clone();
        let document = self.wanted.document;
        let mut ending = Ending { store: store.clone(), document, id: self.id, has_ended: false };
        // A shop that cannot be written says so to whoever asks next; here nobody listens.
        match self.act(live) {
            Ok(flow) => {
                if flow.is_break() {
                    drop(store.tell_about(document));
                }
                ending.end(Stopped::default());
                drop(store.notice_changes());
            }
            Err(error) => {
                ending.end(Stopped { help: Some(error.help()), suspects: suspects_of(&error) });
                let state = RunState::CutOff { why: error.to_string(), help: error.help().to_owned() };
                let what = Happening::RunChanged { order: self.wanted.order, run: self.id, state };
                store.tell(&ShopEvent { what, at: now(), by: self.wanted.by });
            }
        }
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
                cancelled.map_err(|cause| ShopError::run(&self.wanted.order, cause))?;
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
            if self.wanted.pace == Pace::AsOnRails {
                live.rest(on_rails.saturating_sub(rails_before).saturating_sub(began.elapsed()));
            }
        }
    }

    fn step(&mut self) -> Result<Event, ShopError> {
        let wanted = &self.wanted;
        let event = program::step(&mut self.run, &mut self.link, wanted.task, &wanted.order, Kept::check);
        event.map_err(|error| {
            error.explained(|cause| match Prepared::of(&self.desk, &self.checked) {
                Ok(prepared) => program::suspects(cause, &self.link, &self.run, &self.checked, &prepared),
                Err(_) => Vec::new(),
            })
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
        let what = Happening::RunProgress { order: self.wanted.order.clone(), run: self.id, progress };
        self.store.tell(&ShopEvent { what, at: now(), by: self.wanted.by.clone() });
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
        self.store.ledger().end_run(self.id, outcome, &stamp(&self.wanted.by))?;
        Ok(())
    }

    /// A program that died between the journal's entry and the snapshot left the snapshot to be kept now.
    fn keep_missed_snapshot(&mut self) -> Result<(), ShopError> {
        let has_one = self
            .store
            .ledger()
            .snapshots_of(self.wanted.document)?
            .iter()
            .any(|taken| taken.run == Some(self.id));
        if self.wanted.task != Task::Undo && !has_one && self.run.report().snapshot.is_some() {
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
        let stamp = stamp(&self.wanted.by).with_note(note);
        let decoder = self.run.report().decoder;
        ledger.keep_snapshot(self.wanted.document, Some(self.id), &decoder, &readings, &stamp)?;
        Ok(())
    }
}

/// What may be behind a run that stopped.
fn suspects_of(error: &ShopError) -> Vec<finding::Finding> {
    match error {
        ShopError::Run { suspects, .. } => suspects.clone(),
        _ => Vec::new(),
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
