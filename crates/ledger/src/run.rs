//! Programming runs and their journals.
//!
//! What it is: the lines that a run writes before and after each act, each safe on the disk when the call returns, and the
//! list of runs that wait to be taken up.
//! What it is not: a reader of those lines. What they mean, and where a run stands, the track room knows.

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};
use rusqlite::{OptionalExtension, Row, ToSql, params};

use crate::change::Subject;
use crate::error::StoreError;
use crate::identity::{DocumentId, RunId};
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};
use crate::seal::{Digest, Sealing};

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RunOutcome {
    /// All was written and proved.
    Finished,
    /// Everything was put back as it was.
    Undone,
    /// Somebody wanted no more written; what was written stays.
    Cancelled,
    /// Nobody will take it up: the decoder is gone or was replaced.
    GivenUp,
}

impl RunOutcome {
    const ALL: [Self; 4] = [Self::Finished, Self::Undone, Self::Cancelled, Self::GivenUp];

    /// Its word, as it is stored.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Finished => "finished",
            Self::Undone => "undone",
            Self::Cancelled => "cancelled",
            Self::GivenUp => "given-up",
        }
    }

    /// The outcome of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|outcome| outcome.word() == word)
    }
}

impl ToSql for RunOutcome {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.word().into())
    }
}

impl FromSql for RunOutcome {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::from_word(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

/// A run, without its journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunRecord {
    /// By this it is known.
    pub id: RunId,
    /// The order that it programs.
    pub document: DocumentId,
    /// When it began.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// What for, in words; may be empty.
    pub note: String,
    /// How and when it ended; none while it waits to be taken up.
    pub ended: Option<(RunOutcome, Moment)>,
    /// How many lines its journal has.
    pub n_lines: u32,
}

/// Why a run was not begun, written or read.
#[derive(Debug, thiserror::Error)]
pub enum RunError {
    /// There is none of this number.
    #[error("there is no run {run}")]
    NoSuchRun {
        /// The number.
        run: RunId,
    },
    /// There is no such order.
    #[error("there is no document number {document} for a run")]
    NoSuchDocument {
        /// The number.
        document: DocumentId,
    },
    /// The order has a run that did not come to an end; another one would not know what it left behind.
    #[error("run {run} of this order was cut off: take it up, undo it or give it up before another begins")]
    Unfinished {
        /// That run.
        run: RunId,
    },
    /// It ended already.
    #[error("run {run} has ended ({word}): nothing is added to its journal; begin another run", word = outcome.word())]
    HasEnded {
        /// The run.
        run: RunId,
        /// How it ended.
        outcome: RunOutcome,
    },
    /// It is not one line.
    #[error("a journal is kept line by line: give one line, which ends where it ends or with one line feed")]
    NotALine,
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl RunError {
    /// What is wrong with the file, where the thing is known to be there: then every other refusal is damage too.
    pub(crate) fn into_damage(self) -> StoreError {
        match self {
            Self::Store(error) => error,
            other => StoreError::damaged(other.to_string()),
        }
    }
}

impl From<rusqlite::Error> for RunError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}

const COLUMNS: &str = "id, document, at, by, note, outcome, ended_at, \
     (SELECT count(*) FROM entry WHERE entry.run = run.id)";

fn record_of_row(row: &Row<'_>) -> rusqlite::Result<RunRecord> {
    let ended: (Option<RunOutcome>, Option<i64>) = (row.get(5)?, row.get(6)?);
    let ended = match ended {
        (Some(outcome), Some(at)) => Some((outcome, Moment::from_unix_millis(at))),
        _ => None,
    };
    Ok(RunRecord {
        id: row.get(0)?,
        document: row.get(1)?,
        at: Moment::from_unix_millis(row.get(2)?),
        by: row.get(3)?,
        note: row.get(4)?,
        ended,
        n_lines: row.get(7)?,
    })
}

/// The seal of a line.
pub(crate) fn seal(run: RunId, number: i64, at: Moment, line: &str) -> Digest {
    Sealing::of("entry").number(run.get()).number(number).number(at.as_unix_millis()).text(line).done()
}

impl Ledger {
    /// Begins a run on an order.
    ///
    /// # Errors
    /// [`RunError::Unfinished`] where an earlier run waits to be taken up; [`RunError::NoSuchDocument`]; and the file's.
    pub fn begin_run(&mut self, document: DocumentId, stamp: &Stamp<'_>) -> Result<RunId, RunError> {
        self.together(|ledger| {
            if !ledger.has_document(document)? {
                return Err(RunError::NoSuchDocument { document });
            }
            let mut statement = ledger
                .connection
                .prepare_cached("SELECT id FROM run WHERE document = ?1 AND outcome IS NULL")?;
            if let Some(run) = statement.query_row([document], |row| row.get(0)).optional()? {
                return Err(RunError::Unfinished { run });
            }
            let mut statement = ledger
                .connection
                .prepare_cached("INSERT INTO run (document, at, by, note) VALUES (?1, ?2, ?3, ?4)")?;
            let run = RunId::new(statement.insert(params![
                document,
                stamp.at.as_unix_millis(),
                stamp.by,
                stamp.note
            ])?);
            ledger.note_change(Subject::RunBegun(run), stamp)?;
            Ok(run)
        })
    }

    /// Adds a line to a run's journal. When this returns, a power cut does not lose it.
    ///
    /// # Errors
    /// [`RunError::NotALine`], [`RunError::NoSuchRun`], [`RunError::HasEnded`], and the file's.
    pub fn append_line(&mut self, run: RunId, line: &str, at: Moment) -> Result<(), RunError> {
        let line = line.strip_suffix('\n').unwrap_or(line);
        if line.contains('\n') || line.is_empty() {
            return Err(RunError::NotALine);
        }
        self.together(|ledger| {
            ledger.still_runs(run)?;
            let mut statement = ledger
                .connection
                .prepare_cached("SELECT coalesce(max(number), 0) + 1 FROM entry WHERE run = ?1")?;
            let number: i64 = statement.query_row([run], |row| row.get(0))?;
            ledger.insert_line(run, number, at, line)?;
            Ok(())
        })
    }

    /// Writes a line at its place.
    pub(crate) fn insert_line(
        &self,
        run: RunId,
        number: i64,
        at: Moment,
        line: &str,
    ) -> Result<(), StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("INSERT INTO entry (run, number, at, seal, line) VALUES (?1, ?2, ?3, ?4, ?5)")?;
        let seal = seal(run, number, at, line);
        statement.execute(params![run, number, at.as_unix_millis(), seal, line])?;
        Ok(())
    }

    /// A run's journal, each line with its line feed, as the track room reads it.
    ///
    /// # Errors
    /// [`RunError::NoSuchRun`], and the file's; a line that is not what was written is [`StoreError::Damaged`].
    pub fn journal(&self, run: RunId) -> Result<String, RunError> {
        self.run(run)?;
        let mut journal = String::new();
        self.each_line(run, |_, line| {
            journal.push_str(line);
            journal.push('\n');
            Ok::<(), StoreError>(())
        })?;
        Ok(journal)
    }

    /// Goes through a journal, checking each line against its seal and that none is missing between.
    pub(crate) fn each_line<E: From<StoreError>>(
        &self,
        run: RunId,
        mut act: impl FnMut(Moment, &str) -> Result<(), E>,
    ) -> Result<(), E> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT number, at, seal, line FROM entry WHERE run = ?1 ORDER BY number")
            .map_err(StoreError::from)?;
        let mut rows = statement.query([run]).map_err(StoreError::from)?;
        let mut expected = 1;
        while let Some(row) = rows.next().map_err(StoreError::from)? {
            type Stored = (i64, i64, Digest, String);
            let read = || Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?));
            let (number, at, sealed, line): Stored =
                read().map_err(|error: rusqlite::Error| StoreError::from(error))?;
            let at = Moment::from_unix_millis(at);
            if number != expected || seal(run, number, at, &line) != sealed {
                return Err(
                    StoreError::damaged(format!("line {expected} of the journal of run {run}")).into()
                );
            }
            expected += 1;
            act(at, &line)?;
        }
        Ok(())
    }

    /// Ends a run. A kill between the journal's last line and this leaves the run in the list of those to take up; whoever
    /// takes it up sees in the journal that it is over, and ends it here.
    ///
    /// # Errors
    /// [`RunError::NoSuchRun`], [`RunError::HasEnded`], and the file's.
    pub fn end_run(&mut self, run: RunId, outcome: RunOutcome, stamp: &Stamp<'_>) -> Result<(), RunError> {
        self.together(|ledger| {
            ledger.still_runs(run)?;
            let mut statement = ledger
                .connection
                .prepare_cached("UPDATE run SET outcome = ?2, ended_at = ?3 WHERE id = ?1")?;
            statement.execute(params![run, outcome, stamp.at.as_unix_millis()])?;
            ledger.note_change(Subject::RunEnded(run), stamp)?;
            Ok(())
        })
    }

    /// A run.
    ///
    /// # Errors
    /// [`RunError::NoSuchRun`], and the file's.
    pub fn run(&self, run: RunId) -> Result<RunRecord, RunError> {
        let mut statement =
            self.connection.prepare_cached(&format!("SELECT {COLUMNS} FROM run WHERE id = ?1"))?;
        statement.query_row([run], record_of_row).optional()?.ok_or(RunError::NoSuchRun { run })
    }

    /// The runs of an order, newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn runs_of(&self, document: DocumentId) -> Result<Vec<RunRecord>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM run WHERE document = ?1 ORDER BY id DESC"))?;
        let rows = statement.query_map([document], record_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The runs that wait to be taken up, oldest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn unfinished_runs(&self) -> Result<Vec<RunRecord>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM run WHERE outcome IS NULL ORDER BY id"))?;
        let rows = statement.query_map([], record_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    fn still_runs(&self, run: RunId) -> Result<(), RunError> {
        let mut statement = self.connection.prepare_cached("SELECT outcome FROM run WHERE id = ?1")?;
        let found: Option<Option<RunOutcome>> = statement.query_row([run], |row| row.get(0)).optional()?;
        match found {
            None => Err(RunError::NoSuchRun { run }),
            Some(Some(outcome)) => Err(RunError::HasEnded { run, outcome }),
            Some(None) => Ok(()),
        }
    }

    /// Whether there is a document of this number.
    pub(crate) fn has_document(&self, document: DocumentId) -> Result<bool, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT 1 FROM document WHERE id = ?1")?;
        Ok(statement.exists([document])?)
    }
}

#[cfg(test)]
mod tests;
