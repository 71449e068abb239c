//! How much a shop holds.

use crate::error::StoreError;
use crate::ledger::Ledger;

/// How many of each there are in a shop, deleted and hidden ones too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Documents.
    pub documents: u64,
    /// Their revisions.
    pub revisions: u64,
    /// Programming runs.
    pub runs: u64,
    /// Lines of their journals.
    pub lines: u64,
    /// Snapshots.
    pub snapshots: u64,
    /// Their readings.
    pub readings: u64,
    /// Pictures, each once however often it is attached.
    pub pictures: u64,
    /// Photos, that is pictures attached.
    pub photos: u64,
    /// Movements of stock.
    pub movements: u64,
    /// Changes.
    pub changes: u64,
}

impl Ledger {
    /// How much the shop holds.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn counts(&self) -> Result<Counts, StoreError> {
        let count = |table: &str| -> Result<u64, StoreError> {
            let mut statement = self.connection.prepare_cached(&format!("SELECT count(*) FROM {table}"))?;
            let count: i64 = statement.query_row([], |row| row.get(0))?;
            Ok(u64::try_from(count).unwrap_or(0))
        };
        self.as_of_now(|_| {
            Ok(Counts {
                documents: count("document")?,
                revisions: count("revision")?,
                runs: count("run")?,
                lines: count("entry")?,
                snapshots: count("snapshot")?,
                readings: count("reading")?,
                pictures: count("picture")?,
                photos: count("photo")?,
                movements: count("movement")?,
                changes: count("change")?,
            })
        })
    }
}
