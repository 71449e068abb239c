//! Why the shop's file could not be opened, read or written.
//!
//! What it is: SQLite's result codes sorted by what the person can do about them. Each text says what was kept and what
//! to do.
//! What it is not: refusals of a request (a stale revision, a name that is taken). Those stand beside the requests.
//!
//! Source: SQLite documentation, "Result and Error Codes".

use std::io;
use std::time::Duration;

use rusqlite::ErrorCode;

/// Why the shop's file could not be opened, read or written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The file is something else.
    #[error(
        "`{place}` is not a shop: {what}; nothing in it was touched; name a shop's file, or a new name to begin a shop"
    )]
    NotAShop {
        /// The file.
        place: String,
        /// What it is instead.
        what: String,
    },
    /// A newer program wrote it.
    #[error(
        "`{place}` has form {found} and this program knows forms up to {known}; nothing in it was touched; \
         open it with the newer program that wrote it"
    )]
    Newer {
        /// The file.
        place: String,
        /// Its form.
        found: i64,
        /// The newest form known here.
        known: i64,
    },
    /// There is no such place, or it may not be reached.
    #[error(
        "cannot open `{place}` as a shop: {source}; nothing was written; name a file in a folder that exists"
    )]
    CannotOpen {
        /// The file.
        place: String,
        /// What the system says.
        source: io::Error,
    },
    /// Another program is writing and does not come to an end.
    #[error(
        "the shop is locked by another program; this was not kept, everything before it was; \
         end the other program and try again"
    )]
    Locked,
    /// The file or its folder may only be read.
    #[error(
        "the shop cannot be written: its file or folder is read-only; this was not kept, everything before it was; \
         allow writing to the file and its folder, or copy the file to a folder where writing is allowed"
    )]
    ReadOnly,
    /// There is no room left.
    #[error(
        "the disk is full; this was not kept, everything before it was; make room on the shop's disk and try again"
    )]
    Full,
    /// The file does not hold what was written to it.
    #[error(
        "the shop's file is damaged: {what}; nothing was changed; copy the file and its `-wal` to a safe place, \
         let a verification name what is hit, and restore the newest backup into a new file"
    )]
    Damaged {
        /// Where, as far as it is known.
        what: String,
    },
    /// The file was taken away or replaced while it was open.
    #[error(
        "the shop's file was moved or replaced while it was open; this was not kept, everything before it is in the \
         file that was moved and the `-wal` beside its old place; put it back there and try again"
    )]
    Moved,
    /// The disk does not obey.
    #[error(
        "the shop's disk does not answer as it should: {what}; this was not kept, everything before it was unless the \
         disk lost it; check the disk and its cable, and make a backup to another one"
    )]
    Disk {
        /// What SQLite says.
        what: String,
    },
    /// A fault of the ledger itself.
    #[error(
        "the ledger did something that its own file refuses: {source}; this was not kept; please report it"
    )]
    Refused {
        /// What SQLite says.
        source: rusqlite::Error,
    },
}

impl StoreError {
    /// A place in the file that does not hold what it should.
    pub(crate) fn damaged(what: impl Into<String>) -> Self {
        Self::Damaged { what: what.into() }
    }

    /// An error of the file system while a place is made ready.
    pub(crate) fn of_place(place: &std::path::Path, source: io::Error) -> Self {
        match source.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly,
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::Full,
            _ => Self::CannotOpen { place: place.display().to_string(), source },
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::Error as Sql;
        match &error {
            Sql::SqliteFailure(failure, text) => {
                let what = text.clone().unwrap_or_else(|| failure.to_string());
                match failure.code {
                    ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => Self::Locked,
                    ErrorCode::ReadOnly
                        if failure.extended_code == rusqlite::ffi::SQLITE_READONLY_DBMOVED =>
                    {
                        Self::Moved
                    }
                    // A file that exists and cannot be opened has a folder in which SQLite may not put the files it
                    // works with; opening tells missing folders apart beforehand.
                    ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied => {
                        Self::ReadOnly
                    }
                    ErrorCode::DiskFull => Self::Full,
                    ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase => Self::damaged(what),
                    ErrorCode::SystemIoFailure => Self::Disk { what },
                    _ => Self::Refused { source: error },
                }
            }
            // The columns are STRICT and the words are ours: something else in them came from outside.
            Sql::FromSqlConversionFailure(..)
            | Sql::InvalidColumnType(..)
            | Sql::IntegralValueOutOfRange(..)
            | Sql::Utf8Error(..) => Self::damaged(error.to_string()),
            _ => Self::Refused { source: error },
        }
    }
}

/// How long to wait for another program that is writing.
pub(crate) const PATIENCE: Duration = Duration::from_secs(5);

#[cfg(test)]
mod tests;
