//! Snapshots: everything that was read from a decoder at one moment. Never changed, never deleted.
//!
//! What it is: the readings, one row each, so that all decoders the shop ever read can be searched for a value; and the
//! comparison of two.
//! What it is not: the meaning of a CV; part sheets know that.
//!
//! Source of ranges: NMRA S-9.2.2 (CV1 to CV1024; CV31 and CV32 select a page of CV257 to CV512).

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{OptionalExtension, Row, params};

use crate::change::{Subject, row_count};
use crate::error::StoreError;
use crate::identity::{DocumentId, RunId, SnapshotId};
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};
use crate::seal::{Digest, Sealing};

/// A CV's place in a decoder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// CV31 and CV32, where the CV is seen through a page.
    pub page: Option<(u8, u8)>,
    /// The CV's number, 1 to 1024.
    pub cv: u16,
}

/// One CV of a snapshot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Reading {
    /// Where.
    pub place: Place,
    /// What it holds; none where it was asked and gave no value that it confirmed.
    pub value: Option<u8>,
}

/// A snapshot without its readings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SnapshotRecord {
    /// By this it is known.
    pub id: SnapshotId,
    /// The order whose decoder was read.
    pub document: DocumentId,
    /// The run that read it, where one did.
    pub run: Option<RunId>,
    /// The decoder, in the words of whoever read it: its sheet's name, or maker and version.
    pub decoder: String,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why, in words; may be empty.
    pub note: String,
    /// How many CVs it holds.
    pub n_readings: u32,
}

/// What one of two snapshots says about a CV.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Held {
    /// It was not read.
    NotRead,
    /// It was asked and gave no value that it confirmed.
    NoAnswer,
    /// It held this.
    Value(u8),
}

/// A CV of which two snapshots say different things.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Difference {
    /// Where.
    pub place: Place,
    /// What the first snapshot says.
    pub first: Held,
    /// What the second snapshot says.
    pub second: Held,
}

/// A search through all snapshots.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadingQuery {
    /// The CV.
    pub place: Place,
    /// What it must hold; none for whatever it holds.
    pub value: Option<u8>,
    /// How many hits to pass over.
    pub offset: usize,
    /// How many hits to return at most.
    pub limit: usize,
}

/// A snapshot found by a reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundReading {
    /// The snapshot.
    pub snapshot: SnapshotRecord,
    /// What the CV held.
    pub value: Option<u8>,
}

/// Why a snapshot was not kept or read.
#[derive(Debug, thiserror::Error)]
pub enum SnapshotError {
    /// There is none of this number.
    #[error("there is no snapshot {snapshot}")]
    NoSuchSnapshot {
        /// The number.
        snapshot: SnapshotId,
    },
    /// There is no such order.
    #[error("there is no document number {document} for a snapshot")]
    NoSuchDocument {
        /// The number.
        document: DocumentId,
    },
    /// The order has no such run.
    #[error("run {run} is none of document {document}, which the snapshot is for")]
    NoSuchRun {
        /// The run.
        run: RunId,
        /// The order.
        document: DocumentId,
    },
    /// There is no such CV.
    #[error("there is no CV{cv}: CVs have the numbers 1 to 1024 (NMRA S-9.2.2)")]
    NoSuchCv {
        /// The number.
        cv: u16,
    },
    /// A CV is there twice.
    #[error("the snapshot has CV{cv} twice: give each place once", cv = place.cv)]
    Twice {
        /// The place.
        place: Place,
    },
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl SnapshotError {
    /// What is wrong with the file, where the thing is known to be there: then every other refusal is damage too.
    pub(crate) fn into_damage(self) -> StoreError {
        match self {
            Self::Store(error) => error,
            other => StoreError::damaged(other.to_string()),
        }
    }
}

impl From<rusqlite::Error> for SnapshotError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}

const COLUMNS: &str = "s.id, s.document, s.run, s.decoder, s.at, s.by, s.note, s.readings";

fn record_of_row(row: &Row<'_>) -> rusqlite::Result<SnapshotRecord> {
    Ok(SnapshotRecord {
        id: row.get(0)?,
        document: row.get(1)?,
        run: row.get(2)?,
        decoder: row.get(3)?,
        at: Moment::from_unix_millis(row.get(4)?),
        by: row.get(5)?,
        note: row.get(6)?,
        n_readings: row.get(7)?,
    })
}

/// A page as it is stored: one number, or -1 for none.
fn page_number(page: Option<(u8, u8)>) -> i32 {
    page.map_or(-1, |(high, low)| i32::from(u16::from_be_bytes([high, low])))
}

fn page_of(number: i32) -> Option<(u8, u8)> {
    u16::try_from(number).ok().map(|number| {
        let [high, low] = number.to_be_bytes();
        (high, low)
    })
}

/// The seal of a snapshot; its readings in order of their places.
fn seal(record: &SnapshotRecord, readings: &[Reading]) -> Digest {
    let head = Sealing::of("snapshot")
        .number(record.id.get())
        .number(record.document.get())
        .maybe(record.run.map(RunId::get))
        .text(&record.decoder)
        .number(record.at.as_unix_millis())
        .text(&record.by)
        .text(&record.note)
        .number(i64::from(record.n_readings));
    let sealing = readings.iter().fold(head, |sealing, reading| {
        sealing
            .number(page_number(reading.place.page).into())
            .number(reading.place.cv.into())
            .maybe(reading.value.map(i64::from))
    });
    sealing.done()
}

impl Ledger {
    /// Keeps what was read from an order's decoder.
    ///
    /// # Errors
    /// [`SnapshotError::NoSuchCv`], [`SnapshotError::Twice`], [`SnapshotError::NoSuchDocument`],
    /// [`SnapshotError::NoSuchRun`], and the file's.
    pub fn keep_snapshot(
        &mut self,
        document: DocumentId,
        run: Option<RunId>,
        decoder: &str,
        readings: &[Reading],
        stamp: &Stamp<'_>,
    ) -> Result<SnapshotId, SnapshotError> {
        let readings = in_order(readings)?;
        self.together(|ledger| {
            if !ledger.has_document(document)? {
                return Err(SnapshotError::NoSuchDocument { document });
            }
            if let Some(run) = run {
                let mut statement =
                    ledger.connection.prepare_cached("SELECT 1 FROM run WHERE id = ?1 AND document = ?2")?;
                if !statement.exists(params![run, document])? {
                    return Err(SnapshotError::NoSuchRun { run, document });
                }
            }
            let mut statement =
                ledger.connection.prepare_cached("SELECT coalesce(max(id), 0) + 1 FROM snapshot")?;
            let record = SnapshotRecord {
                id: statement.query_row([], |row| row.get(0))?,
                document,
                run,
                decoder: decoder.to_owned(),
                at: stamp.at,
                by: stamp.by.to_owned(),
                note: stamp.note.to_owned(),
                n_readings: u32::try_from(readings.len()).unwrap_or(u32::MAX),
            };
            ledger.insert_snapshot(&record, &readings)?;
            ledger.note_change(Subject::Snapshot(record.id), stamp)?;
            Ok(record.id)
        })
    }

    /// Writes a snapshot; its readings are checked and in order.
    pub(crate) fn insert_snapshot(
        &self,
        record: &SnapshotRecord,
        readings: &[Reading],
    ) -> Result<(), StoreError> {
        let mut statement = self.connection.prepare_cached(
            "INSERT INTO snapshot (id, document, run, decoder, at, by, note, readings, seal) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
        )?;
        statement.execute(params![
            record.id,
            record.document,
            record.run,
            record.decoder,
            record.at.as_unix_millis(),
            record.by,
            record.note,
            record.n_readings,
            seal(record, readings),
        ])?;
        let mut statement = self
            .connection
            .prepare_cached("INSERT INTO reading (snapshot, page, cv, value) VALUES (?1, ?2, ?3, ?4)")?;
        for reading in readings {
            let page = page_number(reading.place.page);
            statement.execute(params![record.id, page, reading.place.cv, reading.value])?;
        }
        Ok(())
    }

    /// A snapshot without its readings.
    ///
    /// # Errors
    /// [`SnapshotError::NoSuchSnapshot`], and the file's.
    pub fn snapshot(&self, snapshot: SnapshotId) -> Result<SnapshotRecord, SnapshotError> {
        let mut statement =
            self.connection.prepare_cached(&format!("SELECT {COLUMNS} FROM snapshot s WHERE s.id = ?1"))?;
        let found = statement.query_row([snapshot], record_of_row).optional()?;
        found.ok_or(SnapshotError::NoSuchSnapshot { snapshot })
    }

    /// The snapshots of an order's decoders, newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn snapshots_of(&self, document: DocumentId) -> Result<Vec<SnapshotRecord>, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM snapshot s WHERE s.document = ?1 ORDER BY s.at DESC, s.id DESC"
        ))?;
        let rows = statement.query_map([document], record_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The readings of a snapshot, plain CVs first, then by page.
    ///
    /// # Errors
    /// [`SnapshotError::NoSuchSnapshot`], and the file's; readings that are not what was written are
    /// [`StoreError::Damaged`].
    pub fn readings(&self, snapshot: SnapshotId) -> Result<Vec<Reading>, SnapshotError> {
        self.as_of_now(|ledger| {
            let record = ledger.snapshot(snapshot)?;
            let mut statement = ledger.connection.prepare_cached(
                "SELECT page, cv, value FROM reading WHERE snapshot = ?1 ORDER BY page, cv",
            )?;
            let rows = statement.query_map([snapshot], |row| {
                let place = Place { page: page_of(row.get(0)?), cv: row.get(1)? };
                Ok(Reading { place, value: row.get(2)? })
            })?;
            let readings: Vec<Reading> = rows.collect::<Result<_, _>>()?;
            let mut statement =
                ledger.connection.prepare_cached("SELECT seal FROM snapshot WHERE id = ?1")?;
            let sealed: Digest = statement.query_row([snapshot], |row| row.get(0))?;
            if seal(&record, &readings) == sealed {
                Ok(readings)
            } else {
                Err(StoreError::damaged(format!("the readings of snapshot {snapshot}")).into())
            }
        })
    }

    /// Where two snapshots say different things, by place.
    ///
    /// # Errors
    /// As [`Self::readings`].
    pub fn compare_snapshots(
        &self,
        first: SnapshotId,
        second: SnapshotId,
    ) -> Result<Vec<Difference>, SnapshotError> {
        let [first, second] = [self.readings(first)?, self.readings(second)?].map(|readings| {
            readings.into_iter().map(|reading| (reading.place, reading.value)).collect::<BTreeMap<_, _>>()
        });
        let held = |readings: &BTreeMap<Place, Option<u8>>, place: &Place| match readings.get(place) {
            None => Held::NotRead,
            Some(None) => Held::NoAnswer,
            Some(Some(value)) => Held::Value(*value),
        };
        let places: BTreeSet<&Place> = first.keys().chain(second.keys()).collect();
        let differences = places.into_iter().map(|place| Difference {
            place: *place,
            first: held(&first, place),
            second: held(&second, place),
        });
        Ok(differences.filter(|difference| difference.first != difference.second).collect())
    }

    /// The snapshots in which a CV was read, or held a value, newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn find_readings(&self, query: &ReadingQuery) -> Result<Vec<FoundReading>, StoreError> {
        let of_value = if query.value.is_some() { "r.value = ?3" } else { "?3 IS NULL" };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS}, r.value FROM reading r JOIN snapshot s ON s.id = r.snapshot \
             WHERE r.cv = ?1 AND r.page = ?2 AND {of_value} ORDER BY r.snapshot DESC LIMIT ?4 OFFSET ?5"
        ))?;
        let page = page_number(query.place.page);
        let window = (row_count(query.limit), row_count(query.offset));
        let rows = statement
            .query_map(params![query.place.cv, page, query.value, window.0, window.1], |row| {
                Ok(FoundReading { snapshot: record_of_row(row)?, value: row.get(8)? })
            })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// The readings by place, each within range and once.
pub(crate) fn in_order(readings: &[Reading]) -> Result<Vec<Reading>, SnapshotError> {
    let mut readings = readings.to_vec();
    readings.sort();
    if let Some(reading) = readings.iter().find(|reading| !(1..=1024).contains(&reading.place.cv)) {
        return Err(SnapshotError::NoSuchCv { cv: reading.place.cv });
    }
    match readings.windows(2).find(|pair| pair[0].place == pair[1].place) {
        Some(pair) => Err(SnapshotError::Twice { place: pair[0].place }),
        None => Ok(readings),
    }
}

#[cfg(test)]
mod tests;
