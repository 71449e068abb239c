//! Runs begun, taken up, cancelled and brought back.
//!
//! What it is: the choice of what a run has to do, from the order, its earlier runs and what is wanted. A stop that nobody set aside
//! holds here as everywhere.
//! What it is not: the run itself (the room of the track), or the thread that carries it out (`acting`).

use std::sync::Arc;
use std::thread;

use ledger::{DocumentId, RunId, RunOutcome};
use track::{Entry, Run};

use super::acting::{LedgerJournal, Ready, Wanted};
use super::clock::now;
use super::live::{Place, Stopped};
use super::open::{Store, order_id, stamp};
use super::runs::Purpose;
use super::view::{Pace, RunView};
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::program::{self, Prepared, Task, image_of};

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
        let wanted = Wanted { order: order.to_owned(), document, task, pace, by: by.to_owned() };
        let (revision, checked, desk) = self.sound_order(order, "programming")?;
        if task == Task::Undo {
            return self.begin_undo(place, wanted);
        }
        let prepared = Prepared::of(&desk, &checked)?;
        let on_bench = self.locomotive(&checked.document.value, &desk.shelf, by)?;
        let earlier = image_of(&self.latest_entries(document)?);
        let purpose = Purpose { task, revision };
        let id = self.ledger().begin_run(document, &stamp(by).with_note(&purpose.note()))?;
        let run = Run::begin(prepared.job(Some(&earlier)), LedgerJournal { store: self.clone(), run: id });
        let run = run.map_err(|cause| ShopError::run(order, cause))?;
        self.go(place, Ready::of(self, wanted, id, run, (desk, checked), on_bench))?;
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
        let task = Purpose::of(&record.note).map_or(Task::Program, |purpose| purpose.task);
        let wanted = Wanted { order, document: record.document, task, pace, by: by.to_owned() };
        self.take_up(place, run, wanted)
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

    fn begin_undo(&self, place: Place<'_>, wanted: Wanted) -> Result<RunId, ShopError> {
        let document = wanted.document;
        let nothing = || ShopError::NothingToBringBack { order: wanted.order.clone() };
        let records = self.ledger().runs_of(document)?;
        let mut found = None;
        for record in records {
            match (record.ended, Purpose::of(&record.note)) {
                (None, _) => {
                    self.take_up(place, record.id, wanted)?;
                    return Ok(record.id);
                }
                (Some((RunOutcome::Undone, _)), _) => return Err(nothing()),
                (Some(_), Some(purpose)) if purpose.task != Task::Prove => {
                    let read = self.inner.ended_runs.read(&self.ledger(), record.id)?;
                    if read.report.as_ref().is_some_and(|report| report.snapshot.is_some()) {
                        found = Some((read, purpose.revision));
                        break;
                    }
                }
                _ => {}
            }
        }
        let (read, revision) = found.ok_or_else(nothing)?;
        let (desk, checked) = self.checked_at(document, revision)?;
        let job = Prepared::of(&desk, &checked)?;
        // Tried before anything is begun: part sheets may have changed since.
        let take_up = |cause| ShopError::TakeUp { order: wanted.order.clone(), cause };
        drop(Run::take_up(job.job(None), &read.entries, Vec::new()).map_err(take_up)?);
        let purpose = Purpose { task: Task::Undo, revision };
        let id = self.ledger().together(|ledger| {
            let id = ledger.begin_run(document, &stamp(&wanted.by).with_note(&purpose.note()))?;
            for entry in &read.entries {
                ledger.append_line(id, &entry.to_line(), now())?;
            }
            Ok::<RunId, ShopError>(id)
        })?;
        self.take_up(place, id, wanted)?;
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

    fn take_up(&self, place: Place<'_>, id: RunId, wanted: Wanted) -> Result<(), ShopError> {
        let (record, entries) = {
            let ledger = self.ledger();
            (ledger.run(id)?, super::runs::read_run(&ledger, id)?.entries)
        };
        let (revision, now_checked, _) = self.sound_order(&wanted.order, "programming")?;
        let purpose = Purpose::of(&record.note).unwrap_or(Purpose { task: wanted.task, revision });
        // What stops the order now stops it, whatever was so when the run began.
        program::permit(&now_checked)?;
        let (desk, checked) = self.checked_at(wanted.document, purpose.revision)?;
        let prepared = Prepared::of(&desk, &checked)?;
        let journal = LedgerJournal { store: self.clone(), run: id };
        let earlier = image_of(&entries);
        let job = prepared.job(Some(&earlier));
        let stopped = |cause| ShopError::run(&wanted.order, cause);
        let mut run = if entries.is_empty() {
            Run::begin(job, journal).map_err(stopped)?
        } else {
            let run = Run::take_up(job, &entries, journal);
            run.map_err(|cause| ShopError::TakeUp { order: wanted.order.clone(), cause })?
        };
        let is_undoing = entries.iter().any(|entry| matches!(entry, Entry::Undoing { .. }));
        if wanted.task == Task::Undo && !is_undoing {
            run.undo(format!("asked for by {}", wanted.by)).map_err(stopped)?;
        }
        // The locomotive is the one of the order as it is called now.
        let on_bench = self.locomotive(&now_checked.document.value, &desk.shelf, &wanted.by)?;
        self.go(place, Ready::of(self, wanted, id, run, (desk, Arc::new(checked)), on_bench))
    }

    fn go(&self, place: Place<'_>, ready: Ready) -> Result<(), ShopError> {
        let live = place.keep(ready.id);
        let (document, id) = (ready.wanted.document, ready.id);
        self.notice_changes()?;
        let begun = thread::Builder::new().name(format!("run {id}")).spawn(move || ready.carry_out(&live));
        begun.map_err(|cause| {
            self.inner.live.end(document, id, Stopped::default());
            self.inner.live.left(id);
            ShopError::Thread { cause }
        })?;
        Ok(())
    }
}
