//! The shop's file, opened.
//!
//! What it is: opening with care (a file that is not ours is left as it is), the settings that make a save survive a kill
//! or a power cut, and further connections to the same file.
//! What it is not: safe to share between threads. A ledger is one connection; put it behind a lock, or open another with
//! [`Ledger::another`].
//!
//! Source: SQLite documentation, "Pragma statements", "Write-Ahead Logging", "How To Corrupt An SQLite Database File".

use std::cell::{Cell, RefCell};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, MAIN_DB, OpenFlags};

use crate::change::{Change, Watchers};
use crate::error::{PATIENCE, StoreError};
use crate::migration;

/// The shop's store: a file that forgets nothing.
///
/// Every change is one transaction that is safe on the disk when the call returns; a kill at any moment loses at most
/// the call that has not returned yet.
#[derive(Debug)]
pub struct Ledger {
    pub(crate) connection: Connection,
    pub(crate) watchers: Watchers,
    /// How many transactions are open within each other.
    pub(crate) depth: Cell<u32>,
    /// Changes of the transaction that is open, told to the watchers once it is kept.
    pub(crate) pending: RefCell<Vec<Change>>,
    place: Option<Place>,
}

/// Where the file is, and which file it is that was opened there.
#[derive(Debug, Clone)]
struct Place {
    path: PathBuf,
    file: FileNumber,
}

impl Ledger {
    /// Opens a shop's file, or begins a new shop where there is no file or an empty one.
    ///
    /// A file of an earlier form is brought to today's form first. Another program that is writing is waited for up to
    /// five seconds, here and at every later change.
    ///
    /// # Errors
    /// Every kind of [`StoreError`]; a file that is no shop, or that a newer program wrote, is not touched.
    pub fn open(place: &Path) -> Result<Self, StoreError> {
        Self::open_with(place, PATIENCE, Watchers::default())
    }

    /// Begins a shop that lives only as long as this value.
    ///
    /// # Errors
    /// When there is no memory for it.
    pub fn in_memory() -> Result<Self, StoreError> {
        Self::prepared(Connection::open_in_memory()?, None, PATIENCE, Watchers::default())
    }

    /// Opens another connection to the same file, for another thread. Whoever watches one of them hears of the changes
    /// made through either.
    ///
    /// # Errors
    /// As [`Self::open`]; a shop in memory has no other connections and is refused as
    /// [`StoreError::CannotOpen`].
    pub fn another(&self) -> Result<Self, StoreError> {
        match &self.place {
            Some(place) => Self::open_with(&place.path, PATIENCE, self.watchers.clone()),
            None => Err(StoreError::CannotOpen {
                place: "(memory)".to_owned(),
                source: io::Error::new(
                    io::ErrorKind::Unsupported,
                    "a shop in memory belongs to one connection",
                ),
            }),
        }
    }

    /// Where the shop's file is; none for a shop in memory.
    #[must_use]
    pub fn place(&self) -> Option<&Path> {
        self.place.as_ref().map(|place| place.path.as_path())
    }

    /// How long a change waits for another program that is writing; five seconds unless it is set.
    ///
    /// # Errors
    /// When SQLite refuses it.
    pub fn set_patience(&mut self, patience: Duration) -> Result<(), StoreError> {
        Ok(self.connection.busy_timeout(patience)?)
    }

    pub(crate) fn open_with(
        place: &Path,
        patience: Duration,
        watchers: Watchers,
    ) -> Result<Self, StoreError> {
        make_ready(place)?;
        // Without the flag for addresses: a file named `file:x?mode=memory` is a file of that name.
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(place, flags)?;
        let file = file_number(place).map_err(|error| StoreError::of_place(place, error))?;
        Self::prepared(connection, Some(Place { path: place.to_owned(), file }), patience, watchers)
    }

    fn prepared(
        connection: Connection,
        place: Option<Place>,
        patience: Duration,
        watchers: Watchers,
    ) -> Result<Self, StoreError> {
        connection.busy_timeout(patience)?;
        connection.set_prepared_statement_cache_capacity(128);
        // Before anything is written, and switching the journal writes: is it ours?
        let shown =
            place.as_ref().map_or_else(|| "(memory)".to_owned(), |place| place.path.display().to_string());
        migration::recognise(&connection, &shown)?;
        if connection.is_readonly(MAIN_DB)? {
            return Err(StoreError::ReadOnly);
        }
        connection.query_row("PRAGMA journal_mode = WAL", [], |_| Ok(()))?;
        // FULL: the log is flushed to the disk at every commit, so that a power cut loses no save that was acknowledged.
        connection.pragma_update(None, "synchronous", "FULL")?;
        connection.pragma_update(None, "foreign_keys", true)?;
        connection.pragma_update(None, "recursive_triggers", true)?;
        connection.pragma_update(None, "cell_size_check", true)?;
        // A log that a long import made large is cut back to this many bytes.
        connection.pragma_update(None, "journal_size_limit", 16 << 20)?;
        // In KiB; holds the upper pages of all tables of a large shop.
        connection.pragma_update(None, "cache_size", -16_384)?;
        migration::migrate(&connection, migration::FORMS)?;
        connection.pragma_update(None, "trusted_schema", false)?;
        Ok(Self { connection, watchers, depth: Cell::new(0), pending: RefCell::new(Vec::new()), place })
    }

    /// Whether the file that was opened is still where it was. What is written to one that was moved away stays behind in its
    /// log, and would be missed by whoever opens it in its new place.
    pub(crate) fn still_in_place(&self) -> Result<(), StoreError> {
        match &self.place {
            Some(place) if file_number(&place.path).ok() != Some(place.file) => Err(StoreError::Moved),
            _ => Ok(()),
        }
    }
}

/// By what a file is told from another one of the same name.
type FileNumber = (u64, u64);

#[cfg(unix)]
fn file_number(path: &Path) -> io::Result<FileNumber> {
    use std::os::unix::fs::MetadataExt;
    fs::metadata(path).map(|found| (found.dev(), found.ino()))
}

/// Systems without such numbers do not let go of a file that is open; here it only must be there.
#[cfg(not(unix))]
fn file_number(path: &Path) -> io::Result<FileNumber> {
    fs::metadata(path).map(|_| (0, 0))
}

/// Makes sure that there is a file, so that SQLite need not guess why there is none.
///
/// A file that exists is never opened here: closing it would drop the locks that another connection of this process holds
/// on it ("How To Corrupt An SQLite Database File", section 2.2).
fn make_ready(place: &Path) -> Result<(), StoreError> {
    match fs::metadata(place) {
        Ok(found) if found.is_dir() => {
            Err(StoreError::of_place(place, io::Error::new(io::ErrorKind::IsADirectory, "it is a folder")))
        }
        Ok(_) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => match File::create_new(place) {
            Ok(_) => Ok(()),
            // Somebody else began it in this moment.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
            Err(error) => Err(StoreError::of_place(place, error)),
        },
        Err(error) => Err(StoreError::of_place(place, error)),
    }
}

#[cfg(test)]
mod tests;
