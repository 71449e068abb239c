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
    #[error("{}: {cause}", .path.display())]
    Journal {
        /// The file.
        path: PathBuf,
        /// Why.
        cause: String,
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

impl ShopError {
    pub(crate) fn run(order: &str, cause: track::RunError) -> Self {
        Self::Run { order: order.to_owned(), cause: Box::new(cause) }
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
            Self::Journal { .. } => "move the journal away to begin anew; it holds what was done so far",
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
