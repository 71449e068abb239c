//! A copy of the shop's file while it is in use, and the way back.
//!
//! What it is: SQLite's own copying, as of one moment, into a file that is not there yet; every copy is verified before it is
//! called one.
//! What it is not: an archive for other programs (see `archive`).
//!
//! Source: SQLite documentation, "SQLite Backup API".

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};

use crate::change::Watchers;
use crate::error::{PATIENCE, StoreError};
use crate::ledger::Ledger;
use crate::migration;
use crate::verify::Verification;

/// Why a copy was not made. What was there before is as it was.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// There is something of this name.
    #[error("`{place}` is there already and is not overwritten: name a new file")]
    Exists {
        /// The file.
        place: String,
    },
    /// There is no such backup.
    #[error("there is no file `{place}` to restore from")]
    NoSuchBackup {
        /// The file.
        place: String,
    },
    /// The copy is not sound, and was taken away again.
    #[error(
        "the copy is damaged in {n} places, the first: {first}; it was not kept; {advice}",
        n = verification.damages.len(),
        first = verification.damages.first().map(ToString::to_string).unwrap_or_default()
    )]
    Damaged {
        /// What was found.
        verification: Box<Verification>,
        /// What to do.
        advice: &'static str,
    },
    /// A file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<rusqlite::Error> for BackupError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}

impl Ledger {
    /// Copies the shop, as of one moment, into a new file, and verifies the copy. Others go on working; a program that must not
    /// wait either makes the copy through [`Ledger::another`].
    ///
    /// The copy is one plain file without companions, which may be carried away as it is.
    ///
    /// # Errors
    /// [`BackupError::Exists`]: nothing is ever overwritten. [`BackupError::Damaged`] where the shop itself is; and the files'.
    pub fn backup(&self, to: &Path) -> Result<Verification, BackupError> {
        copy(&self.connection, to, "verify the shop itself, and restore its newest sound backup")
    }

    /// Makes a shop from a backup: a new file, which is verified.
    ///
    /// # Errors
    /// [`BackupError::NoSuchBackup`], [`BackupError::Exists`]: nothing is ever overwritten, [`BackupError::Damaged`], and the
    /// files', such as [`StoreError::NotAShop`] and [`StoreError::Newer`].
    pub fn restore(from: &Path, to: &Path) -> Result<Verification, BackupError> {
        let place = from.display().to_string();
        if !from.is_file() {
            return Err(BackupError::NoSuchBackup { place });
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let backup = Connection::open_with_flags(from, flags)?;
        backup.busy_timeout(PATIENCE)?;
        migration::recognise(&backup, &place)?;
        if migration::form(&backup)? == 0 {
            let what = "it is empty".to_owned();
            return Err(StoreError::NotAShop { place, what }.into());
        }
        copy(&backup, to, "restore an older backup")
    }
}

/// A file that is taken away again unless it is kept.
struct NewFile {
    place: PathBuf,
    is_kept: bool,
}

impl NewFile {
    fn create(place: &Path) -> Result<Self, BackupError> {
        match File::create_new(place) {
            Ok(_) => Ok(Self { place: place.to_owned(), is_kept: false }),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                Err(BackupError::Exists { place: place.display().to_string() })
            }
            Err(error) => Err(StoreError::of_place(place, error).into()),
        }
    }
}

impl Drop for NewFile {
    fn drop(&mut self) {
        if !self.is_kept {
            for companion in ["", "-wal", "-shm", "-journal"] {
                let mut place = self.place.clone().into_os_string();
                place.push(companion);
                // Mostly there is none; where one cannot be taken away, it is no shop and does no harm.
                let _ = fs::remove_file(place);
            }
        }
    }
}

fn copy(source: &Connection, to: &Path, advice: &'static str) -> Result<Verification, BackupError> {
    let mut file = NewFile::create(to)?;
    let mut target =
        Connection::open_with_flags(to, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    // All pages in one step: the source's log keeps that moment for us while others write.
    let step = Backup::new(source, &mut target)?.step(-1)?;
    if step != StepResult::Done {
        return Err(StoreError::Locked.into());
    }
    drop(target);
    // Opened as a shop, so that one of an earlier form is brought to today's before it is verified.
    let shop = Ledger::open_with(to, PATIENCE, Watchers::default())?;
    let verification = shop.verify()?;
    // Back to a file without companions.
    shop.connection.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))?;
    drop(shop);
    if !verification.is_sound() {
        return Err(BackupError::Damaged { verification: Box::new(verification), advice });
    }
    file.is_kept = true;
    Ok(verification)
}
