//! Whether the shop's file still holds what was written to it.
//!
//! What it is: SQLite's own check of the file's structure, and ours of every revision, journal, snapshot and picture against its
//! seal. Everything that is hit is named; what is not named is sound.
//! What it is not: a repair. What is hit comes back from a backup or an archive.
//!
//! Not sealed, and therefore only checked for structure: movements of stock, the list of changes, who began a run, to which
//! step a photo is attached.
//!
//! Source: SQLite documentation, "PRAGMA integrity_check", "PRAGMA foreign_key_check".

use std::fmt;
use std::io::Read;

use rusqlite::{OptionalExtension, Row};

use crate::counts::Counts;
use crate::document::{Document, DocumentError, HistoryPath};
use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber, RunId, SnapshotId};
use crate::ledger::Ledger;
use crate::run::RunError;
use crate::seal::Digest;
use crate::snapshot::SnapshotError;

/// Something that is not what was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Damage {
    /// The structure of the file, in SQLite's words.
    Structure(String),
    /// A row of this table refers to something that is not there.
    Reference {
        /// The table.
        table: String,
    },
    /// A revision.
    Revision {
        /// Its document.
        document: DocumentId,
        /// Its number.
        number: RevisionNumber,
        /// What is wrong.
        what: String,
    },
    /// What a document is now does not repeat its newest revision. The history is right.
    Current {
        /// The document.
        document: DocumentId,
    },
    /// A run's journal.
    Journal {
        /// The run.
        run: RunId,
        /// What is wrong.
        what: String,
    },
    /// A snapshot.
    Snapshot {
        /// Its number.
        snapshot: SnapshotId,
        /// What is wrong.
        what: String,
    },
    /// A picture, by its number within the file.
    Picture {
        /// Its number.
        picture: i64,
    },
    /// Things of which not even a list can be read.
    Unreadable {
        /// What they are.
        what: &'static str,
    },
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Structure(what) => write!(f, "the structure of the file: {what}"),
            Self::Reference { table } => write!(f, "the table {table} refers to something that is not there"),
            Self::Revision { document, number, what } => {
                write!(f, "revision {number} of document {document}: {what}")
            }
            Self::Current { document } => {
                write!(
                    f,
                    "the list of documents says something else than the newest revision of document {document}"
                )
            }
            Self::Journal { run, what } => write!(f, "the journal of run {run}: {what}"),
            Self::Snapshot { snapshot, what } => write!(f, "snapshot {snapshot}: {what}"),
            Self::Picture { picture } => write!(f, "picture {picture} is not what was taken"),
            Self::Unreadable { what } => write!(f, "the list of {what} cannot be read"),
        }
    }
}

/// What a verification found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verification {
    /// How much the shop holds; none where not even that can be counted.
    pub counts: Option<Counts>,
    /// Everything that is not what was written; empty where all is well.
    pub damages: Vec<Damage>,
}

impl Verification {
    /// Whether all is well.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.damages.is_empty()
    }
}

impl Ledger {
    /// Reads the whole shop and holds it against its seals. A large one takes a while; others go on working.
    ///
    /// # Errors
    /// When the file cannot be read for another reason than damage.
    pub fn verify(&self) -> Result<Verification, StoreError> {
        self.as_of_now(|ledger| {
            let mut damages = Damages(Vec::new());
            ledger.verify_structure(&mut damages)?;
            ledger.verify_documents(&mut damages)?;
            for run in ledger.ids::<RunId>("runs", "SELECT id FROM run ORDER BY id", &mut damages)? {
                let read = ledger.each_line(run, |_, _| Ok::<(), RunError>(()));
                damages.note(read.map_err(RunError::into_damage), |what| Damage::Journal { run, what })?;
            }
            let sql = "SELECT id FROM snapshot ORDER BY id";
            for snapshot in ledger.ids::<SnapshotId>("snapshots", sql, &mut damages)? {
                let read = ledger.readings(snapshot).map(|_| ()).map_err(SnapshotError::into_damage);
                damages.note(read, |what| Damage::Snapshot { snapshot, what })?;
            }
            for picture in
                ledger.ids::<i64>("pictures", "SELECT id FROM picture ORDER BY id", &mut damages)?
            {
                damages.note(ledger.verify_picture(picture), |_| Damage::Picture { picture })?;
            }
            let counts = damages.unless_damaged(ledger.counts())?;
            if counts.is_none() {
                damages.0.push(Damage::Unreadable { what: "everything" });
            }
            Ok(Verification { counts, damages: damages.0 })
        })
    }

    fn verify_structure(&self, damages: &mut Damages) -> Result<(), StoreError> {
        let told = self.all("PRAGMA integrity_check", |row| row.get::<_, String>(0));
        match damages.unless_damaged(told)? {
            Some(told) => {
                damages.0.extend(told.into_iter().filter(|what| what != "ok").map(Damage::Structure));
            }
            None => damages.0.push(Damage::Unreadable { what: "tables" }),
        }
        let told = self.all("PRAGMA foreign_key_check", |row| row.get::<_, String>(0));
        match damages.unless_damaged(told)? {
            Some(tables) => damages.0.extend(tables.into_iter().map(|table| Damage::Reference { table })),
            None => damages.0.push(Damage::Unreadable { what: "references" }),
        }
        Ok(())
    }

    fn verify_documents(&self, damages: &mut Damages) -> Result<(), StoreError> {
        let sql = "SELECT id FROM document ORDER BY id";
        for document in self.ids::<DocumentId>("documents", sql, damages)? {
            let history =
                damages.unless_damaged(self.history(document).map_err(DocumentError::into_damage))?;
            let Some(mut history) = history else {
                let number = RevisionNumber::FIRST;
                let what = "the history cannot be read".to_owned();
                damages.0.push(Damage::Revision { document, number, what });
                continue;
            };
            history.reverse();
            let mut path = HistoryPath::default();
            let mut is_path = true;
            for record in &history {
                let number = record.number;
                if is_path && let Err(what) = path.follow(record) {
                    // What comes after a gap cannot be held against what is missing.
                    is_path = false;
                    damages.0.push(Damage::Revision { document, number, what: what.to_owned() });
                }
                let read = self.at(document, number).map(|_| ()).map_err(DocumentError::into_damage);
                damages.note(read, |what| Damage::Revision { document, number, what })?;
            }
            let is_current = damages
                .unless_damaged(self.is_current(document, path.newest().map(|record| record.number)))?;
            if is_current != Some(true) {
                damages.0.push(Damage::Current { document });
            }
        }
        Ok(())
    }

    /// Whether what is said of a document in lists repeats its newest revision.
    fn is_current(&self, document: DocumentId, newest: Option<RevisionNumber>) -> Result<bool, StoreError> {
        let Some(newest) = newest else { return Ok(false) };
        let revision = self.at(document, newest).map_err(DocumentError::into_damage)?;
        let listed: Document = self.document(document).map_err(DocumentError::into_damage)?;
        let mut statement =
            self.connection.prepare_cached("SELECT d.state, s.name, s.text FROM document d JOIN searched s ON s.document = d.id WHERE d.id = ?1")?;
        type Repeated = (RevisionNumber, String, String);
        let repeated: Option<Repeated> =
            statement.query_row([document], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).optional()?;
        let Some((state, searched_name, text)) = repeated else { return Ok(false) };
        let record = &revision.record;
        Ok(listed.head == newest
            && state == record.state
            && (listed.name.as_str(), listed.kind) == (record.name.as_str(), record.kind)
            && searched_name == record.name
            && (listed.is_deleted, listed.at) == (record.is_deleted, record.at)
            && listed.by == record.by
            && text == revision.text)
    }

    fn verify_picture(&self, picture: i64) -> Result<(), StoreError> {
        let hit = || StoreError::damaged("the picture");
        let mut statement = self.connection.prepare_cached("SELECT digest FROM picture WHERE id = ?1")?;
        let digest: Digest = statement.query_row([picture], |row| row.get(0))?;
        let mut bytes = Vec::new();
        self.picture_bytes(picture)?.read_to_end(&mut bytes).map_err(|_| hit())?;
        if Digest::of(&bytes) == digest { Ok(()) } else { Err(hit()) }
    }

    fn ids<T: rusqlite::types::FromSql>(
        &self,
        what: &'static str,
        sql: &str,
        damages: &mut Damages,
    ) -> Result<Vec<T>, StoreError> {
        let ids = damages.unless_damaged(self.all(sql, |row| row.get(0)))?;
        if ids.is_none() {
            damages.0.push(Damage::Unreadable { what });
        }
        Ok(ids.unwrap_or_default())
    }

    fn all<T>(
        &self,
        sql: &str,
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, StoreError> {
        let mut statement = self.connection.prepare(sql)?;
        let rows = statement.query_map([], read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// What was found so far.
struct Damages(Vec<Damage>);

impl Damages {
    /// A result, or nothing where the file is damaged there. Other errors end the verification.
    fn unless_damaged<T>(&self, result: Result<T, StoreError>) -> Result<Option<T>, StoreError> {
        match result {
            Ok(value) => Ok(Some(value)),
            // A damaged schema makes SQLite refuse statements that are right.
            Err(StoreError::Damaged { .. } | StoreError::Refused { .. }) => Ok(None),
            Err(error) => Err(error),
        }
    }

    fn note(
        &mut self,
        read: Result<(), StoreError>,
        damage: impl FnOnce(String) -> Damage,
    ) -> Result<(), StoreError> {
        match read {
            Ok(()) => Ok(()),
            Err(StoreError::Damaged { what }) => {
                self.0.push(damage(what));
                Ok(())
            }
            Err(StoreError::Refused { source }) => {
                self.0.push(damage(source.to_string()));
                Ok(())
            }
            Err(error) => Err(error),
        }
    }
}

#[cfg(test)]
mod tests;
