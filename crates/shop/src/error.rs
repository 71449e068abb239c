//! Why a use case could not be carried out.

use std::path::PathBuf;

use documents::Faults;
use finding::Finding;
use thiserror::Error;
use track::WayOut;

/// Why a use case could not be carried out; sorted by what the person can do about it.
#[derive(Debug, Error)]
pub enum ShopError {
    /// A document has faults.
    #[error("{}", told(.faults))]
    Faults {
        /// Of each document.
        faults: Vec<Faults>,
    },
    /// A file could not be read.
    #[error("cannot read {}: {cause}", .path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// Why.
        cause: std::io::Error,
    },
    /// A file could not be written; what was there before is untouched.
    #[error("cannot write {}: {cause}", .path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// Why.
        cause: std::io::Error,
    },
    /// A file is far too large for a document.
    #[error("{} has {bytes} bytes; a document has at most {}", .path.display(), documents::MOST_BYTES)]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        bytes: u64,
    },
    /// Stops that nobody mended or overrode hold the job.
    #[error("order {order} is held: {}", headlines(.stops))]
    Held {
        /// The order.
        order: String,
        /// What stops it.
        stops: Vec<Finding>,
    },
    /// The order names no decoder.
    #[error("order {order} names no decoder")]
    NoDecoder {
        /// The order.
        order: String,
    },
    /// The virtual bench cannot be set up.
    #[error("the virtual bench cannot be set up: {cause}")]
    Bench {
        /// Why.
        cause: bench::BenchError,
    },
    /// A run stopped; it can be taken up.
    #[error("the run of order {order} stopped: {cause}")]
    Run {
        /// The order.
        order: String,
        /// Why.
        cause: Box<track::RunError>,
        /// The usual causes that fit what was measured, the best first.
        suspects: Vec<Finding>,
    },
    /// A run cannot be taken up.
    #[error("the run of order {order} cannot be taken up: {cause}")]
    TakeUp {
        /// The order.
        order: String,
        /// Why.
        cause: track::TakeUpError,
    },
    /// A journal cannot be read.
    #[error("{place}: {cause}")]
    Journal {
        /// Where it is kept.
        place: String,
        /// Why.
        cause: track::ReadJournalError,
    },
    /// The shop's file could not be opened, read or written.
    #[error(transparent)]
    Ledger(#[from] ledger::StoreError),
    /// A document of the shop was not changed or read.
    #[error(transparent)]
    Document(#[from] ledger::DocumentError),
    /// A run of the shop was not begun, written or read.
    #[error(transparent)]
    RunRecord(#[from] ledger::RunError),
    /// A snapshot was not kept or read.
    #[error(transparent)]
    Snapshot(#[from] ledger::SnapshotError),
    /// A movement of stock was not kept.
    #[error(transparent)]
    Stock(#[from] ledger::StockError),
    /// A photo was not kept or read.
    #[error(transparent)]
    Photo(#[from] ledger::PhotoError),
    /// An edit could not be made; the text is as it was.
    #[error(transparent)]
    Edit(#[from] forms::EditError),
    /// A change was to be made upon another revision than the newest.
    #[error("{what} was changed by {by} in the meantime; nothing was overwritten")]
    ChangedMeanwhile {
        /// The document.
        what: String,
        /// Who changed it.
        by: String,
    },
    /// An order's run is under way.
    #[error("a run of order {order} is under way")]
    RunUnderWay {
        /// The order.
        order: String,
    },
    /// A stop cannot be set aside without a reason.
    #[error("{rule} cannot be set aside without a reason")]
    NoReason {
        /// The rule.
        rule: String,
    },
    /// A run is not under way in this program.
    #[error("run {run} is not under way here")]
    RunNotUnderWay {
        /// The run.
        run: ledger::RunId,
    },
    /// The system gives no thread for a run.
    #[error("the run cannot begin: {cause}")]
    Thread {
        /// Why.
        cause: std::io::Error,
    },
    /// An archive could not be written or read.
    #[error(transparent)]
    Archive(#[from] ledger::ArchiveError),
    /// A backup could not be made or restored.
    #[error(transparent)]
    Backup(#[from] ledger::BackupError),
    /// Nothing was programmed that could be undone.
    #[error("no run of order {order} wrote anything that could be brought back")]
    NothingToBringBack {
        /// The order.
        order: String,
    },
    /// The document has faults, and this needs one without.
    #[error("{what} has faults, and {purpose} needs a document without any: {first}")]
    NotSound {
        /// The document.
        what: String,
        /// What it was needed for.
        purpose: &'static str,
        /// The first fault.
        first: String,
    },
    /// There is no browser that prints.
    #[error("no browser was found that can print a PDF: {} are not installed", .names.join(", "))]
    NoBrowser {
        /// The names that were looked for.
        names: Vec<&'static str>,
    },
    /// A browser was found and did not print.
    #[error("`{browser}` did not print the card: {what}")]
    Browser {
        /// The browser.
        browser: String,
        /// What it said.
        what: String,
    },
    /// The system does not tell where a user's data belongs.
    #[error("this system does not tell where a user's data belongs")]
    NoDataFolder,
    /// A sound that an order does not have.
    #[error("order {order} cannot be heard {title}: {why}")]
    Silent {
        /// The order.
        order: String,
        /// Which sound.
        title: String,
        /// Why.
        why: String,
    },
    /// Something was asked for by a name that is not known.
    #[error("there is no {what} `{name}`{}", .near.as_ref().map_or_else(String::new, |near| format!("; did you mean `{near}`?")))]
    Unknown {
        /// What kind of thing.
        what: &'static str,
        /// The name.
        name: String,
        /// The nearest known one.
        near: Option<String>,
    },
}

fn headlines(stops: &[Finding]) -> String {
    stops.iter().map(|stop| format!("{} [{}]", stop.headline, stop.rule)).collect::<Vec<_>>().join("; ")
}

fn told(faults: &[Faults]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

impl From<Faults> for ShopError {
    fn from(faults: Faults) -> Self {
        Self::Faults { faults: vec![faults] }
    }
}

impl ShopError {
    pub(crate) fn run(order: &str, cause: track::RunError) -> Self {
        Self::Run { order: order.to_owned(), cause: Box::new(cause), suspects: Vec::new() }
    }

    /// The same with what may be behind it, where it is a run that stopped.
    pub(crate) fn explained(self, suspects: impl FnOnce(&track::RunError) -> Vec<Finding>) -> Self {
        match self {
            Self::Run { order, cause, .. } => {
                let suspects = suspects(&cause);
                Self::Run { order, cause, suspects }
            }
            other => other,
        }
    }

    /// What the person can do about it.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::Faults { .. } => "mend the places shown",
            Self::Read { .. } => "check the name, and whether you may read it",
            Self::Write { .. } => {
                "check that the folder exists, that you may write there and that the disk is not full"
            }
            Self::TooLarge { .. } => "name a work order, train or part sheet; those have a few kilobytes",
            Self::Held { .. } => {
                "mend what stops it (`check` shows where), or set it aside with a written reason: `[[override]] rule = \"…\" reason = \"…\"`"
            }
            Self::NoDecoder { .. } => "add `decoder = \"…\"` to [plan]",
            Self::Bench { .. } => "the truth must name parts that have sheets",
            Self::Run { cause, .. } => way_out(cause.way_out()),
            Self::TakeUp { .. } => "put the order back as it was, or begin anew by moving the journal away",
            Self::Journal { .. } => "put the journal aside to begin anew; it holds what was done so far",
            Self::Ledger(_)
            | Self::Snapshot(_)
            | Self::Stock(_)
            | Self::Photo(_)
            | Self::Archive(_)
            | Self::Backup(_) => "do what the message says, then try again",
            Self::Document(_) | Self::ChangedMeanwhile { .. } => {
                "look at the document as it is now, and try again"
            }
            Self::RunRecord(_) => "take up, undo or give up the run that was cut off",
            Self::Edit(_) => "do what stands at the field, or change the text",
            Self::Thread { .. } => "end other programs, then take the run up",
            Self::RunUnderWay { .. } => "wait until it is over, or cancel it",
            Self::NoReason { .. } => "write why it may be set aside, for whoever reads the order later",
            Self::RunNotUnderWay { .. } => {
                "see in the order's runs how it ended; one that was cut off can be taken up"
            }
            Self::NothingToBringBack { .. } => "program the decoder first; only that can be undone",
            Self::NotSound { .. } => "mend the faults that the document's page shows",
            Self::NoBrowser { .. } => {
                "install Chromium or one of its relatives, or print the card's page with any browser (Ctrl+P, save as PDF)"
            }
            Self::Browser { .. } => "print the card's page with any browser (Ctrl+P, save as PDF)",
            Self::NoDataFolder => "name the shop's file: `--shop FILE`",
            Self::Silent { .. } => "complete the facts that it names",
            Self::Unknown { .. } => "list what is known with the command's own list",
        }
    }
}

fn way_out(way: WayOut) -> &'static str {
    match way {
        WayOut::Retry => "run it again: it goes on where it was",
        WayOut::SeeToContact => {
            "clean rails and wheels, see that it is the programming track, then run it again: it goes on where it was"
        }
        WayOut::FindShort => "leave the power off and find the short before you run it again",
        WayOut::Diagnose => "see the causes below; once mended, run it again: it goes on where it was",
        WayOut::Reconnect => "connect again and run it again: it goes on where it was",
        WayOut::AskOtherwise => "use another programming mode, or a decoder whose sheet tells it",
        WayOut::PutOnTheRightOne => "put the decoder on the track that the order is about",
        _ => "run it again: it goes on where it was",
    }
}
