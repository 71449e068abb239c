//! Programming and proving over the virtual bench, with everything that must survive the program kept in files.
//!
//! Beside the journal of a run stands the memory of the virtual decoder, which like a real one keeps what it holds when the
//! program is gone.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use bench::Locomotive;
use cvplan::Image;
use datasheets::CvPlace;
use track::{
    Entry, Event, Job, Journal, JournalError, Overridden, Permit, Progress, Report, Run, VirtualLink,
};

use crate::card::ProofFacts;
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::files;

/// What to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Task {
    /// Read, write what differs, prove by reading back.
    Program,
    /// Read and compare; write nothing.
    Prove,
    /// Bring everything back to what the latest run read before it wrote.
    Undo,
}

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

/// How a run ended.
#[derive(Debug)]
pub struct RunOutcome {
    /// The report.
    pub report: Report,
    /// The run was cut off before and taken up again, so often.
    pub n_taken_up: usize,
    /// The journal.
    pub journal: PathBuf,
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
    let document = &order.document.value;
    let number = document.order.number.to_string();
    let (Some(sheet), Some(settlement)) = (decoder_of(desk, order), &order.inspection.answers.settlement)
    else {
        return Err(ShopError::NoDecoder { order: number });
    };
    let overrides: Vec<Overridden> = document
        .r#override
        .iter()
        .map(|entry| Overridden { rule: entry.rule.to_string(), reason: entry.reason.clone() })
        .collect();
    let permit = Permit::for_job(&order.inspection.findings, &overrides)
        .map_err(|held| ShopError::Held { order: number.clone(), stops: held.stops })?;

    files::make_folder(&place.runs)?;
    let memory_file = place.runs.join(format!("{number}.memory"));
    let mut link = VirtualLink::new(locomotive(desk, place, &memory_file)?);
    let journal_file =
        place.runs.join(format!("{number}.{}.jsonl", if task == Task::Prove { "proof" } else { "run" }));
    let earlier = earlier_image(&journal_file);
    let job = Job {
        name: &number,
        targets: &settlement.targets,
        sheet,
        identity: None,
        earlier: earlier.as_ref(),
        permit,
    };
    let (mut run, n_taken_up) = open_run(job, task, &journal_file)?;
    if task == Task::Undo {
        run.undo("asked for").map_err(|cause| ShopError::run(&number, cause))?;
    }
    loop {
        let event = run.step(&mut link).map_err(|cause| ShopError::run(&number, cause));
        // What the decoder was told is in its memory, whether or not its answer reached us.
        keep_memory(link.programmer_mut().rails_mut(), &memory_file)?;
        let event = event?;
        tell(&event, run.progress());
        match event {
            Event::Planned { n_steps, .. } if task == Task::Prove && n_steps > 0 => {
                run.cancel("compared only").map_err(|cause| ShopError::run(&number, cause))?;
            }
            Event::Finished => break,
            _ => {}
        }
    }
    Ok(RunOutcome { report: run.report(), n_taken_up, journal: journal_file })
}

fn decoder_of<'a>(desk: &'a Desk, order: &CheckedOrder) -> Option<&'a datasheets::DecoderSheet> {
    desk.shelf.decoders.get(order.document.value.plan.as_ref()?.decoder.as_ref()?)
}

fn locomotive(desk: &Desk, place: &Place, memory_file: &Path) -> Result<Locomotive, ShopError> {
    // The seed decides about noise and dirt; one seed makes a practice run repeatable.
    const SEED: u64 = 1;
    let text = files::read_document(&place.truth)?;
    let truth = bench::read_truth(&files::shown(&place.truth), &text, &desk.shelf)
        .map_err(|faults| ShopError::Faults { faults: vec![faults] })?;
    let locomotive =
        Locomotive::new(&truth.value, &desk.shelf, SEED).map_err(|cause| ShopError::Bench { cause })?;
    if !memory_file.exists() {
        return Ok(locomotive);
    }
    let memory = read_memory(&files::read_document(memory_file)?);
    Ok(locomotive.with_memory(&memory))
}

/// Begins a run, or takes up the one whose journal is there. A run that is over is put aside, never written over.
fn open_run<'a>(
    job: Job<'a>,
    task: Task,
    journal_file: &Path,
) -> Result<(Run<FileJournal>, usize), ShopError> {
    let entries = read_entries(journal_file)?;
    let name = job.name.to_owned();
    if entries.is_empty() {
        let journal = FileJournal::open(journal_file)?;
        return Ok((Run::begin(job, journal).map_err(|cause| ShopError::run(&name, cause))?, 0));
    }
    let is_over = matches!(entries.last(), Some(Entry::Finished));
    let goes_on = !is_over || task == Task::Undo;
    if goes_on && task != Task::Prove {
        let n_taken_up =
            entries.iter().filter(|entry| matches!(entry, Entry::TakenUp)).count() + usize::from(!is_over);
        let taken_up = Run::take_up(job.clone(), &entries, FileJournal::open(journal_file)?);
        match taken_up {
            Ok(run) => return Ok((run, n_taken_up)),
            Err(cause) if task == Task::Undo => return Err(ShopError::TakeUp { order: name, cause }),
            // The order was changed since: that run cannot go on, and is put aside whole.
            Err(_) => {}
        }
    }
    put_aside(journal_file)?;
    let journal = FileJournal::open(journal_file)?;
    Ok((Run::begin(job, journal).map_err(|cause| ShopError::run(&name, cause))?, 0))
}

fn read_entries(journal_file: &Path) -> Result<Vec<Entry>, ShopError> {
    if !journal_file.exists() {
        return Ok(Vec::new());
    }
    let text = fs::read_to_string(journal_file)
        .map_err(|cause| ShopError::Read { path: journal_file.to_owned(), cause })?;
    let recovered = track::read_journal(&text)
        .map_err(|cause| ShopError::Journal { path: journal_file.to_owned(), cause: cause.to_string() })?;
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

/// What the latest run read of a decoder: worth asking for first, and never taken for more than a guess.
fn earlier_image(journal_file: &Path) -> Option<Image> {
    let text = fs::read_to_string(journal_file).ok()?;
    let entries = track::read_journal(&text).ok()?.entries;
    let read = entries.iter().filter_map(|entry| match entry {
        Entry::Read { place, content, .. } | Entry::Proved { place, content, .. } => {
            Some((CvPlace::from(*place), content.value()?))
        }
        _ => None,
    });
    Some(read.collect())
}

fn keep_memory(locomotive: &mut Locomotive, memory_file: &Path) -> Result<(), ShopError> {
    if !locomotive.take_memory_changed() {
        return Ok(());
    }
    let lines: Vec<String> = locomotive
        .memory()
        .iter()
        .map(|(place, value)| match place.page {
            None => format!("{} {value}", place.cv),
            Some((high, low)) => format!("{} {value} {high} {low}", place.cv),
        })
        .collect();
    files::write_whole(memory_file, (lines.join("\n") + "\n").as_bytes())
}

/// Lines of CV, value and, where the CV is seen through a page, CV31 and CV32.
fn read_memory(text: &str) -> Vec<(CvPlace, u8)> {
    let line = |line: &str| {
        let mut numbers = line.split(' ');
        let cv: u16 = numbers.next()?.parse().ok()?;
        let value: u8 = numbers.next()?.parse().ok()?;
        let high = numbers.next().and_then(|number| number.parse().ok());
        let low = numbers.next().and_then(|number| number.parse().ok());
        Some((CvPlace { page: high.zip(low), cv }, value))
    };
    text.lines().filter_map(line).collect()
}

impl RunOutcome {
    /// What the card says about a run. `when` is the time as people write it.
    #[must_use]
    pub fn proof_facts(&self, when: &str) -> ProofFacts {
        let report = &self.report;
        let after =
            report.targets.iter().filter_map(|target| Some((target.place, target.after.as_ref()?.value()?)));
        let interrupted = match self.n_taken_up {
            0 => Vec::new(),
            1 => vec!["the run was cut off once and taken up again".to_owned()],
            n => vec![format!("the run was cut off {n} times and taken up again")],
        };
        ProofFacts {
            before: report.snapshot.clone().unwrap_or_default(),
            after: after.collect(),
            proof: paper::Proof {
                when: when.to_owned(),
                link: "programming track of the virtual bench".to_owned(),
                rail_time: Some(rail_time(report)),
                interrupted,
                snapshot: report.snapshot.as_ref().map(|snapshot| {
                    format!("{} CVs as they were before, in {}", snapshot.len(), self.journal.display())
                }),
                compared: Some(when.to_owned()),
                trials: Vec::new(),
                figures: Vec::new(),
            },
        }
    }
}

/// Rail time, beside what reading every bit of the same CVs would have cost.
#[must_use]
pub fn rail_time(report: &Report) -> String {
    let times = &report.rail_times;
    let seconds = |micros: u64| format!("{:.1} s", std::time::Duration::from_micros(micros).as_secs_f64());
    let total = times.total().as_micros();
    let plain = total - times.readings.as_micros() + times.readings_plain.as_micros();
    format!("{} on the rails; reading bit by bit would have made it {}", seconds(total), seconds(plain))
}
