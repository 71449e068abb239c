//! Programming runs: what is known of each, by its journal and by what goes on in this program.

use std::sync::Arc;

use ledger::{Ledger, RevisionNumber, RunId, RunOutcome, RunRecord};
use track::{Entry, Report};

use super::open::{Store, order_id};
use super::view::{RunState, RunView};
use crate::error::ShopError;
use crate::program::{self, Task};

/// A run's journal, read.
#[derive(Debug)]
pub(super) struct JournalRead {
    pub(super) entries: Vec<Entry>,
    /// How it stands; none while nothing was begun.
    pub(super) report: Option<Arc<Report>>,
}

/// What a run is for, as the ledger keeps it with the run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Purpose {
    pub(super) task: Task,
    /// The revision of the order that it carries out, so that it can be taken up after the order was changed.
    pub(super) revision: RevisionNumber,
}

const BETWEEN: &str = " as of revision ";

impl Purpose {
    pub(super) fn note(self) -> String {
        format!("{}{BETWEEN}{}", task_word(self.task), self.revision)
    }

    /// The purpose of a run's note; none where it was not written by this room.
    pub(super) fn of(note: &str) -> Option<Self> {
        let (word, revision) = note.split_once(BETWEEN)?;
        let task =
            [Task::Program, Task::Prove, Task::Undo].into_iter().find(|task| task_word(*task) == word)?;
        Some(Self { task, revision: RevisionNumber::new(revision.parse().ok()?) })
    }
}

fn task_word(task: Task) -> &'static str {
    match task {
        Task::Program => "program",
        Task::Prove => "prove",
        Task::Undo => "undo",
    }
}

/// Reads a run's journal.
pub(super) fn read_run(ledger: &Ledger, run: RunId) -> Result<JournalRead, ShopError> {
    let journal = |cause| ShopError::Journal { place: run_words(run), cause };
    let entries = track::read_journal(&ledger.journal(run)?).map_err(journal)?.entries;
    let report = match entries.as_slice() {
        [] => None,
        entries => {
            let report = Report::of_entries(entries);
            Some(Arc::new(report.map_err(|cause| ShopError::TakeUp { order: run_words(run), cause })?))
        }
    };
    Ok(JournalRead { entries, report })
}

/// A run, in words.
pub(super) fn run_words(run: RunId) -> String {
    format!("run {run} of the shop")
}

/// How a run stands that is over.
pub(super) fn ended_state(ledger: &Ledger, run: RunId) -> Result<RunState, ShopError> {
    let record = ledger.run(run)?;
    Ok(match record.ended {
        None => RunState::UnderWay,
        Some((outcome, _)) => over(outcome, task_of(&record), &read_run(ledger, run)?),
    })
}

fn task_of(record: &RunRecord) -> Task {
    Purpose::of(&record.note).map_or(Task::Program, |purpose| purpose.task)
}

fn over(outcome: RunOutcome, task: Task, read: &JournalRead) -> RunState {
    match outcome {
        RunOutcome::Finished if read.report.as_ref().is_some_and(|report| report.is_fulfilled()) => {
            RunState::Proven
        }
        RunOutcome::Finished => RunState::NotProven,
        RunOutcome::Undone => RunState::Undone,
        // A comparison that found differences ends by itself, without writing; nobody stopped it.
        RunOutcome::Cancelled if task == Task::Prove && !was_stopped(&read.entries) => RunState::NotProven,
        RunOutcome::Cancelled => RunState::Cancelled,
        RunOutcome::GivenUp => RunState::GivenUp,
    }
}

impl Store {
    /// A run.
    ///
    /// # Errors
    /// No such run, or the shop cannot be read.
    pub fn run(&self, run: RunId) -> Result<RunView, ShopError> {
        let ledger = self.ledger();
        let record = ledger.run(run)?;
        self.run_view(&ledger, record)
    }

    /// The runs of an order, newest first.
    ///
    /// # Errors
    /// No such order, or the shop cannot be read.
    pub fn runs(&self, order: &str) -> Result<Vec<RunView>, ShopError> {
        let ledger = self.ledger();
        let records = ledger.runs_of(order_id(&ledger, order)?)?;
        records.into_iter().map(|record| self.run_view(&ledger, record)).collect()
    }

    /// The runs that were cut off and wait to be taken up, of all orders, oldest first. Those under way in this program are not among
    /// them.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn unfinished_runs(&self) -> Result<Vec<RunView>, ShopError> {
        let ledger = self.ledger();
        let records = ledger.unfinished_runs()?;
        let cut_off = records.into_iter().filter(|record| self.inner.live.get(record.id).is_none());
        cut_off.map(|record| self.run_view(&ledger, record)).collect()
    }

    fn run_view(&self, ledger: &Ledger, record: RunRecord) -> Result<RunView, ShopError> {
        let live = self.inner.live.get(record.id);
        let read = self.inner.ended_runs.read(ledger, record.id)?;
        let task = task_of(&record);
        let state = match (&record.ended, &live) {
            (Some((outcome, _)), _) => over(*outcome, task, &read),
            (None, Some(_)) => RunState::UnderWay,
            (None, None) => self.cut_off(record.id, &read.entries),
        };
        Ok(RunView {
            id: record.id,
            order: ledger.document(record.document)?.name,
            task,
            state,
            begun_at: record.at,
            by: record.by,
            ended_at: record.ended.map(|(_, at)| at),
            progress: live.and_then(|live| live.progress()),
            n_taken_up: program::n_taken_up(&read.entries),
            suspects: self.inner.live.stopped(record.id).suspects,
            report: read.report.clone(),
        })
    }

    fn cut_off(&self, run: RunId, entries: &[Entry]) -> RunState {
        let why = entries.iter().rev().find_map(|entry| match entry {
            Entry::Interrupted { what, .. } => Some(what.clone()),
            _ => None,
        });
        let is_last = matches!(entries.last(), Some(Entry::Interrupted { .. }));
        let help = self.inner.live.stopped(run).help.unwrap_or("take it up: it goes on where it was");
        RunState::CutOff { why: why.filter(|_| is_last).unwrap_or_default(), help: help.to_owned() }
    }
}

/// Whether somebody stopped a run by hand.
fn was_stopped(entries: &[Entry]) -> bool {
    entries
        .iter()
        .any(|entry| matches!(entry, Entry::Cancelled { reason } if reason != program::COMPARED_ONLY))
}

#[cfg(test)]
mod tests {
    use ledger::RevisionNumber;

    use super::Purpose;
    use crate::program::Task;

    #[test]
    fn a_purpose_comes_back_from_its_note() {
        for task in [Task::Program, Task::Prove, Task::Undo] {
            let purpose = Purpose { task, revision: RevisionNumber::new(12) };
            assert_eq!(Purpose::of(&purpose.note()), Some(purpose));
        }
        assert_eq!(Purpose::of("tried something"), None);
        assert_eq!(Purpose::of("program as of revision many"), None);
    }
}
