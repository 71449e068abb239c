//! Runs whose journals are files.
//!
//! Beside the journal of a run stands the memory of the virtual decoder, which like a real one keeps what it holds when the
//! program is gone.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use track::{Entry, Event, Job, Journal, JournalError, Progress, Run, VirtualLink};

use super::memory::{self, MemoryFile};
use super::{Kept, Prepared, RunOutcome, Task, image_of, locomotive, n_taken_up, step, suspects};
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::files;

/// Where a run happens and where its files are.
#[derive(Debug, Clone)]
pub struct Place {
    /// The truth of the locomotive on the virtual bench.
    pub truth: PathBuf,
    /// The folder of journals and memories.
    pub runs: PathBuf,
}

impl Place {
    /// The usual place for an order of a desk: `bench/ORDER.toml` and `runs/`.
    #[must_use]
    pub fn usual(desk: &Desk, order: &CheckedOrder) -> Self {
        let number = &order.document.value.order.number;
        Self {
            truth: desk.folder().join("bench").join(format!("{number}.toml")),
            runs: desk.folder().join("runs"),
        }
    }
}

/// A journal in a file: each entry is on the disk before the next act.
#[derive(Debug)]
struct FileJournal {
    path: PathBuf,
    file: fs::File,
}

impl FileJournal {
    fn open(path: &Path) -> Result<Self, ShopError> {
        let file = fs::OpenOptions::new().create(true).append(true).open(path);
        Ok(Self {
            path: path.to_owned(),
            file: file.map_err(|cause| ShopError::Write { path: path.to_owned(), cause })?,
        })
    }
}

impl Journal for FileJournal {
    fn append(&mut self, entry: &Entry) -> Result<(), JournalError> {
        let written = self.file.write_all(entry.to_line().as_bytes()).and_then(|()| self.file.sync_data());
        written.map_err(|cause| JournalError { what: format!("{}: {cause}", self.path.display()) })
    }
}

/// Carries out a task on the virtual bench. A run that was cut off is taken up where it was; `tell` hears what happens.
///
/// # Errors
/// A stop that holds programming, an order without a decoder, files that cannot be read or written, a decoder that does not
/// answer or is another one.
pub fn run_on_bench(
    desk: &Desk,
    order: &CheckedOrder,
    task: Task,
    place: &Place,
    mut tell: impl FnMut(&Event, Progress),
) -> Result<RunOutcome, ShopError> {
    let number = order.document.value.order.number.to_string();
    let prepared = Prepared::of(desk, order)?;
    files::make_folder(&place.runs)?;
    let memory_file = place.runs.join(format!("{number}.memory"));
    let truth = files::read_document(&place.truth)?;
    let on_bench = locomotive(&files::shown(&place.truth), &truth, &desk.shelf)?;
    let on_bench = memory::restored(on_bench, &memory_file)?;
    let mut link = VirtualLink::new(Kept::new(on_bench, MemoryFile(memory_file)));
    let journal_file =
        place.runs.join(format!("{number}.{}.jsonl", if task == Task::Prove { "proof" } else { "run" }));
    let entries = read_entries(&journal_file)?;
    let earlier = image_of(&entries);
    let (mut run, n_taken_up) = open_run(prepared.job(Some(&earlier)), task, &entries, &journal_file)?;
    if task == Task::Undo {
        run.undo("asked for").map_err(|cause| ShopError::run(&number, cause))?;
    }
    loop {
        let event = step(&mut run, &mut link, task, &number, Kept::check);
        let event =
            event.map_err(|error| error.explained(|cause| suspects(cause, &link, &run, order, &prepared)))?;
        tell(&event, run.progress());
        if event == Event::Finished {
            return Ok(RunOutcome { report: run.report(), n_taken_up, journal: files::shown(&journal_file) });
        }
    }
}

/// Begins a run, or takes up the one whose journal is there. A run that is over is put aside, never written over.
fn open_run(
    job: Job<'_>,
    task: Task,
    entries: &[Entry],
    journal_file: &Path,
) -> Result<(Run<FileJournal>, usize), ShopError> {
    let name = job.name.to_owned();
    let begun = |job| {
        let run = Run::begin(job, FileJournal::open(journal_file)?);
        Ok((run.map_err(|cause| ShopError::run(&name, cause))?, 0))
    };
    if entries.is_empty() {
        return begun(job);
    }
    let is_over = matches!(entries.last(), Some(Entry::Finished));
    if (!is_over || task == Task::Undo) && task != Task::Prove {
        match Run::take_up(job.clone(), entries, FileJournal::open(journal_file)?) {
            Ok(run) => return Ok((run, n_taken_up(entries) + usize::from(!is_over))),
            Err(cause) if task == Task::Undo => return Err(ShopError::TakeUp { order: name, cause }),
            // The order was changed since: that run cannot go on, and is put aside whole.
            Err(_) => {}
        }
    }
    put_aside(journal_file)?;
    begun(job)
}

fn read_entries(journal_file: &Path) -> Result<Vec<Entry>, ShopError> {
    if !journal_file.exists() {
        return Ok(Vec::new());
    }
    let text = fs::read_to_string(journal_file)
        .map_err(|cause| ShopError::Read { path: journal_file.to_owned(), cause })?;
    let recovered = track::read_journal(&text)
        .map_err(|cause| ShopError::Journal { place: files::shown(journal_file), cause })?;
    if recovered.is_torn {
        // The half line at the end did not count; the next entry must begin on a line of its own.
        let whole = text.rfind('\n').map_or(0, |end| end + 1);
        let file = fs::OpenOptions::new().write(true).open(journal_file);
        let cut = file.and_then(|file| file.set_len(whole as u64));
        cut.map_err(|cause| ShopError::Write { path: journal_file.to_owned(), cause })?;
    }
    Ok(recovered.entries)
}

/// The first free name `ORDER.run-1.jsonl`, `ORDER.run-2.jsonl` … for a journal that is over.
fn put_aside(journal_file: &Path) -> Result<(), ShopError> {
    let stem = journal_file.with_extension("");
    let mut number = 1;
    let free = loop {
        let candidate = PathBuf::from(format!("{}-{number}.jsonl", stem.display()));
        if !candidate.exists() {
            break candidate;
        }
        number += 1;
    };
    fs::rename(journal_file, &free).map_err(|cause| ShopError::Write { path: free, cause })
}
