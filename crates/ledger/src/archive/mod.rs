//! The whole shop as one file, and back.
//!
//! What it is: a tape archive of texts and pictures that opens everywhere and can be read without Backshop; its form is
//! described in `README.txt`, which stands in every archive. Export, import into an empty shop, and export again give the
//! same bytes.
//! What it is not: a backup of the file as it is (see `backup`). Answers (titles, findings, the work board) are left out: they are
//! told again after an import.

mod export;
mod hashed;
mod import;
mod lines;
mod tar;

use std::io;

use crate::counts::Counts;
use crate::error::StoreError;
use lines::End;
use tar::TarError;

/// What an archive says of itself.
const FORMAT: &str = "backshop-archive";
/// The form that is written and read.
const VERSION: u32 = 1;
/// The name of the last file.
const END: &str = "end.json";

/// Why a shop was not exported or imported. An import that fails keeps nothing.
#[derive(Debug, thiserror::Error)]
pub enum ArchiveError {
    /// The shop has something in it.
    #[error(
        "an archive goes into an empty shop only, and this one has something in it: name a new file; nothing was changed"
    )]
    NotEmpty,
    /// It is something else.
    #[error("this is no archive of a shop: {what}; nothing was imported")]
    NotAnArchive {
        /// What it is instead.
        what: String,
    },
    /// A newer program wrote it.
    #[error(
        "this archive has form {found}, and this program reads form {VERSION}: import it with the program that wrote it; nothing was imported"
    )]
    Newer {
        /// Its form.
        found: u32,
    },
    /// It ends in the middle.
    #[error("the archive ends before it is complete: fetch it once more; nothing was imported")]
    CutOff,
    /// Something in it does not fit.
    #[error(
        "`{entry}` in the archive is not as it was written: {what}; nothing was imported; use another copy"
    )]
    Wrong {
        /// The file within the archive.
        entry: String,
        /// What is wrong.
        what: String,
    },
    /// Reading it failed.
    #[error("cannot read the archive: {0}; nothing was imported")]
    Read(#[source] io::Error),
    /// Writing it failed.
    #[error("cannot write the archive: {0}; the shop is as it was; write it to another place")]
    Write(#[source] io::Error),
    /// The shop's file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<rusqlite::Error> for ArchiveError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}

impl From<TarError> for ArchiveError {
    fn from(error: TarError) -> Self {
        match error {
            TarError::CutOff => Self::CutOff,
            TarError::NotATar(what) => Self::NotAnArchive { what: what.to_owned() },
            TarError::Read(error) => Self::Read(error),
        }
    }
}

/// The archive's last file for a shop.
fn end(counts: Counts, digest: String) -> End {
    let Counts {
        documents,
        revisions,
        runs,
        lines,
        snapshots,
        readings,
        pictures,
        photos,
        movements,
        changes,
    } = counts;
    End {
        documents,
        revisions,
        runs,
        lines,
        snapshots,
        readings,
        pictures,
        photos,
        movements,
        changes,
        digest,
    }
}

/// The folder of a document: its number, and its name for people, with what is not ASCII as `_`.
fn document_folder(id: i64, name: &str) -> String {
    let name: String = name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || matches!(c, '-' | '+') { c } else { '_' })
        .take(40)
        .collect();
    format!("documents/{id:06}-{name}")
}

#[cfg(test)]
mod tests;
