//! Stock: parts that came and went.
//!
//! What it is: movements, never changed, and the counts that follow from them. A count on the shelf is itself a
//! movement: by as much as was found more or less than the movements say.
//! What it is not: a part sheet. Parts are known by name here; there may be stock of parts whose sheet the program carries.
//!
//! A count may be below zero: then more was taken than anybody noted as received. That is shown, not refused, since the part
//! is in the locomotive all the same.

use rusqlite::{Row, params};

use crate::change::Subject;
use crate::error::StoreError;
use crate::identity::{DocumentId, MovementId};
use crate::kind::{NameError, check_name};
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

/// A movement of stock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Movement {
    /// By this it is known.
    pub id: MovementId,
    /// The part's name.
    pub part: String,
    /// How many pieces came; negative where they went.
    pub pieces: i64,
    /// The order that they went to or came from, where there is one.
    pub document: Option<DocumentId>,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why, in words; may be empty.
    pub note: String,
}

/// How many pieces of a part there are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockCount {
    /// The part's name.
    pub part: String,
    /// How many pieces; below zero where more went than came.
    pub pieces: i64,
}

/// Why a movement was not kept.
#[derive(Debug, thiserror::Error)]
pub enum StockError {
    /// The part's name is none.
    #[error(transparent)]
    Name(#[from] NameError),
    /// There is no such order.
    #[error("there is no document number {document} that parts could go to")]
    NoSuchDocument {
        /// The number.
        document: DocumentId,
    },
    /// More pieces than anybody has.
    #[error("{pieces} pieces are more than a shelf holds: write a number between -1000000 and 1000000")]
    TooMany {
        /// The number.
        pieces: i64,
    },
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<rusqlite::Error> for StockError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}

/// The most pieces that one movement or count may say.
const MOST_PIECES: i64 = 1_000_000;

fn movement_of_row(row: &Row<'_>) -> rusqlite::Result<Movement> {
    Ok(Movement {
        id: row.get(0)?,
        part: row.get(1)?,
        pieces: row.get(2)?,
        document: row.get(3)?,
        at: Moment::from_unix_millis(row.get(4)?),
        by: row.get(5)?,
        note: row.get(6)?,
    })
}

impl Ledger {
    /// Notes that pieces of a part came (positive) or went (negative). Returns how many there are now.
    ///
    /// # Errors
    /// [`StockError::Name`], [`StockError::TooMany`], [`StockError::NoSuchDocument`], and the file's.
    pub fn move_stock(
        &mut self,
        part: &str,
        pieces: i64,
        document: Option<DocumentId>,
        stamp: &Stamp<'_>,
    ) -> Result<StockCount, StockError> {
        check_name(part)?;
        check_pieces(pieces)?;
        self.together(|ledger| {
            if let Some(document) = document
                && !ledger.has_document(document)?
            {
                return Err(StockError::NoSuchDocument { document });
            }
            Ok(ledger.keep_movement(part, pieces, document, stamp)?)
        })
    }

    /// Notes how many pieces of a part were counted on the shelf. The movement that follows has the difference; where there
    /// is none, that is noted too, since somebody counted.
    ///
    /// # Errors
    /// As [`Self::move_stock`].
    pub fn count_stock(
        &mut self,
        part: &str,
        counted: i64,
        stamp: &Stamp<'_>,
    ) -> Result<StockCount, StockError> {
        check_name(part)?;
        check_pieces(counted)?;
        self.together(|ledger| {
            let known = ledger.stock_of(part)?.pieces;
            Ok(ledger.keep_movement(part, counted - known, None, stamp)?)
        })
    }

    fn keep_movement(
        &self,
        part: &str,
        pieces: i64,
        document: Option<DocumentId>,
        stamp: &Stamp<'_>,
    ) -> Result<StockCount, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "INSERT INTO movement (part, pieces, document, at, by, note) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?;
        let at = stamp.at.as_unix_millis();
        let movement = statement.insert(params![part, pieces, document, at, stamp.by, stamp.note])?;
        self.note_change(Subject::Stock(MovementId::new(movement)), stamp)?;
        self.stock_of(part)
    }

    /// How many pieces of a part there are; 0 for one that never moved.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock_of(&self, part: &str) -> Result<StockCount, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT coalesce(sum(pieces), 0) FROM movement WHERE part = ?1")?;
        let pieces = statement.query_row([part], |row| row.get(0))?;
        Ok(StockCount { part: part.to_owned(), pieces })
    }

    /// How many pieces there are of every part that ever moved, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn stock(&self) -> Result<Vec<StockCount>, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT part, sum(pieces) FROM movement GROUP BY part ORDER BY part")?;
        let rows =
            statement.query_map([], |row| Ok(StockCount { part: row.get(0)?, pieces: row.get(1)? }))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The movements of a part, newest first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn movements(&self, part: &str) -> Result<Vec<Movement>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT id, part, pieces, document, at, by, note FROM movement WHERE part = ?1 ORDER BY id DESC",
        )?;
        let rows = statement.query_map([part], movement_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn check_pieces(pieces: i64) -> Result<(), StockError> {
    let is_fine = (-MOST_PIECES..=MOST_PIECES).contains(&pieces);
    if is_fine { Ok(()) } else { Err(StockError::TooMany { pieces }) }
}

#[cfg(test)]
mod tests;
