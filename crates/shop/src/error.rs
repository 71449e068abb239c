//! Why a use case could not be carried out.

use std::path::PathBuf;

use documents::Faults;
use thiserror::Error;

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

fn told(faults: &[Faults]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

impl ShopError {
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
            Self::Unknown { .. } => "list what is known with the command's own list",
        }
    }
}
