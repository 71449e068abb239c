//! The work board: what the caller last told about each document, for lists and searches.
//!
//! What it is: titles, findings and what an order waits for, kept beside the document and never mixed with it. They are
//! answers: computed by the caller, told again whenever the document or a rule changed, and no part of the archive.
//! What it is not: a computation. The ledger only knows for which revision something was told.

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};
use rusqlite::{ToSql, params};

use crate::change::row_count;
use crate::document::{Document, DocumentError};
use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::ledger::Ledger;
use crate::moment::Moment;

/// What an order waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WaitsFor {
    /// Parts that are not there.
    Parts,
    /// Something to be measured or looked up.
    Measurement,
    /// The programming track.
    Track,
    /// An answer from the client.
    Client,
    /// Nothing: it can be worked on, or it is handed over.
    Nothing,
}

impl WaitsFor {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Parts, Self::Measurement, Self::Track, Self::Client, Self::Nothing];

    /// Its word, as it is stored.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Parts => "parts",
            Self::Measurement => "measurement",
            Self::Track => "track",
            Self::Client => "client",
            Self::Nothing => "nothing",
        }
    }

    /// What a word means.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|waits_for| waits_for.word() == word)
    }
}

impl ToSql for WaitsFor {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.word().into())
    }
}

impl FromSql for WaitsFor {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::from_word(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

/// How many findings of each severity there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub struct SeverityCounts {
    /// Do not power.
    pub stops: u32,
    /// It will disappoint or wear.
    pub reworks: u32,
    /// A fact is missing.
    pub opens: u32,
    /// Good to know.
    pub notes: u32,
}

/// An order's line on the work board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardLine {
    /// The order's number, as its document says.
    pub number: String,
    /// The model.
    pub model: String,
    /// What it waits for.
    pub waits_for: WaitsFor,
    /// Its findings.
    pub findings: SeverityCounts,
}

/// What the caller tells about a document.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Told {
    /// A title for lists.
    pub title: String,
    /// Notes and remarks that a search shall weigh more than the rest of the text.
    pub notes: String,
    /// The findings as text, to be searched.
    pub findings: String,
    /// The line on the work board; none for documents that have none.
    pub board: Option<BoardLine>,
}

/// By what the work board is sorted. Equal ones are sorted by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BoardOrder {
    /// By number; `V-9` comes before `V-10`.
    Number,
    /// By title.
    Title,
    /// By model.
    Model,
    /// Most stops first, then most reworks, then most open facts.
    Gravity,
    /// Changed last first.
    Changed,
}

/// Which part of the work board is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoardQuery {
    /// Only orders that wait for this; none for all.
    pub waits_for: Option<WaitsFor>,
    /// How to sort.
    pub order: BoardOrder,
    /// How many lines to pass over.
    pub offset: usize,
    /// How many lines to return at most.
    pub limit: usize,
}

/// A line of the work board with its document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardRow {
    /// The document.
    pub document: Document,
    /// What was told about it.
    pub line: BoardLine,
    /// Whether the document changed since that was told.
    pub is_stale: bool,
}

/// How many orders wait for something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoardCount {
    /// For what.
    pub waits_for: WaitsFor,
    /// How many.
    pub n_orders: u32,
}

impl Ledger {
    /// Tells what was computed from a revision of a document. What was told from a later revision already stays.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchDocument`], [`DocumentError::NoSuchRevision`], and the file's.
    pub fn tell(
        &mut self,
        document: DocumentId,
        revision: RevisionNumber,
        told: &Told,
    ) -> Result<(), DocumentError> {
        self.together(|ledger| {
            let head = ledger.document(document)?.head;
            if revision > head || revision < RevisionNumber::FIRST {
                return Err(DocumentError::NoSuchRevision { number: revision });
            }
            let mut statement = ledger.connection.prepare_cached(
                "UPDATE document SET answered = ?2, title = ?3 \
                 WHERE id = ?1 AND (answered IS NULL OR answered <= ?2)",
            )?;
            if statement.execute(params![document, revision, told.title])? == 0 {
                return Ok(());
            }
            let mut statement = ledger.connection.prepare_cached(
                "UPDATE searched SET title = ?2, notes = ?3, findings = ?4 WHERE document = ?1 \
                 AND (title <> ?2 OR notes <> ?3 OR findings <> ?4)",
            )?;
            statement.execute(params![document, told.title, told.notes, told.findings])?;
            Ok(ledger.put_on_board(document, told.board.as_ref())?)
        })
    }

    fn put_on_board(&self, document: DocumentId, line: Option<&BoardLine>) -> Result<(), StoreError> {
        let Some(line) = line else {
            let mut statement = self.connection.prepare_cached("DELETE FROM board WHERE document = ?1")?;
            statement.execute([document])?;
            return Ok(());
        };
        let mut statement = self.connection.prepare_cached(
            "INSERT INTO board (document, number, number_key, model, waits_for, stops, reworks, opens, notes) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9) ON CONFLICT (document) DO UPDATE SET \
             number = ?2, number_key = ?3, model = ?4, waits_for = ?5, stops = ?6, reworks = ?7, opens = ?8, \
             notes = ?9",
        )?;
        let SeverityCounts { stops, reworks, opens, notes } = line.findings;
        statement.execute(params![
            document,
            line.number,
            number_key(&line.number),
            line.model,
            line.waits_for,
            stops,
            reworks,
            opens,
            notes
        ])?;
        Ok(())
    }

    /// Documents that changed since something was told about them, or about which nothing was told yet; those that
    /// changed first come first, at most `limit` of them. Deleted ones are left out.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn untold(&self, limit: usize) -> Result<Vec<DocumentId>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT id FROM document WHERE NOT is_deleted AND (answered IS NULL OR answered < head) \
             ORDER BY at, id LIMIT ?1",
        )?;
        let rows = statement.query_map([row_count(limit)], |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Forgets what was told about all documents, so that [`Self::untold`] names every one: after a rule changed. Titles
    /// and lines stay where they are until something else is told.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn all_untold(&mut self) -> Result<(), StoreError> {
        self.together(|ledger| {
            ledger.connection.execute("UPDATE document SET answered = NULL", [])?;
            Ok(())
        })
    }

    /// A page of the work board. Deleted documents are left out.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn board(&self, query: &BoardQuery) -> Result<Vec<BoardRow>, StoreError> {
        let order = match query.order {
            BoardOrder::Number => "",
            BoardOrder::Title => "d.title, ",
            BoardOrder::Model => "b.model, ",
            BoardOrder::Gravity => "b.stops DESC, b.reworks DESC, b.opens DESC, ",
            BoardOrder::Changed => "d.at DESC, ",
        };
        let which = if query.waits_for.is_some() { "b.waits_for = ?1" } else { "?1 IS NULL" };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT d.id, d.kind, d.name, d.title, d.head, d.is_deleted, d.at, d.by, \
             b.number, b.model, b.waits_for, b.stops, b.reworks, b.opens, b.notes, \
             d.answered IS NULL OR d.answered < d.head \
             FROM board b JOIN document d ON d.id = b.document WHERE NOT d.is_deleted AND {which} \
             ORDER BY {order} b.number_key, b.document LIMIT ?2 OFFSET ?3"
        ))?;
        let window = (row_count(query.limit), row_count(query.offset));
        let rows = statement.query_map(params![query.waits_for, window.0, window.1], |row| {
            Ok(BoardRow {
                document: Document {
                    id: row.get(0)?,
                    kind: row.get(1)?,
                    name: row.get(2)?,
                    title: row.get(3)?,
                    head: row.get(4)?,
                    is_deleted: row.get(5)?,
                    at: Moment::from_unix_millis(row.get(6)?),
                    by: row.get(7)?,
                },
                line: BoardLine {
                    number: row.get(8)?,
                    model: row.get(9)?,
                    waits_for: row.get(10)?,
                    findings: SeverityCounts {
                        stops: row.get(11)?,
                        reworks: row.get(12)?,
                        opens: row.get(13)?,
                        notes: row.get(14)?,
                    },
                },
                is_stale: row.get(15)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// How many orders of the work board wait for what, those of which there are any.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn board_counts(&self) -> Result<Vec<BoardCount>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT b.waits_for, count(*) FROM board b JOIN document d ON d.id = b.document \
             WHERE NOT d.is_deleted GROUP BY b.waits_for",
        )?;
        let rows = statement
            .query_map([], |row| Ok(BoardCount { waits_for: row.get(0)?, n_orders: row.get(1)? }))?;
        let mut counts: Vec<BoardCount> = rows.collect::<Result<_, _>>()?;
        counts.sort_by_key(|count| count.waits_for);
        Ok(counts)
    }
}

/// A key that sorts numbers as people count: runs of digits are filled up with zeros in front, case is left aside.
fn number_key(number: &str) -> String {
    const WIDTH: usize = 12;
    let mut key = String::new();
    let mut digits = String::new();
    for c in number.chars().chain(std::iter::once('\0')) {
        if c.is_ascii_digit() {
            digits.push(c);
            continue;
        }
        if !digits.is_empty() {
            let significant = digits.trim_start_matches('0');
            key.extend(std::iter::repeat_n('0', WIDTH.saturating_sub(significant.len())));
            key.push_str(significant);
            digits.clear();
        }
        key.extend(c.to_lowercase());
    }
    key.pop();
    key
}

#[cfg(test)]
mod tests;
