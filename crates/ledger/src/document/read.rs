//! Finding documents and reading their revisions.

use rusqlite::{OptionalExtension, Row, params};

use super::record::{Revision, RevisionRecord};
use super::store::{RECORD_COLUMNS, record_of_row, revision};
use super::{Document, DocumentError};
use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::Moment;

const DOCUMENT_COLUMNS: &str = "id, kind, name, title, head, is_deleted, at, by";

fn document_of_row(row: &Row<'_>) -> rusqlite::Result<Document> {
    Ok(Document {
        id: row.get(0)?,
        kind: row.get(1)?,
        name: row.get(2)?,
        title: row.get(3)?,
        head: row.get(4)?,
        is_deleted: row.get(5)?,
        at: Moment::from_unix_millis(row.get(6)?),
        by: row.get(7)?,
    })
}

impl Ledger {
    /// The document of this name, also where it is deleted.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn find(&self, kind: Kind, name: &str) -> Result<Option<Document>, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {DOCUMENT_COLUMNS} FROM document WHERE kind = ?1 AND name = ?2"
        ))?;
        Ok(statement.query_row(params![kind, name], document_of_row).optional()?)
    }

    /// The document of this number, also where it is deleted.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchDocument`], and the file's.
    pub fn document(&self, document: DocumentId) -> Result<Document, DocumentError> {
        let mut statement = self
            .connection
            .prepare_cached(&format!("SELECT {DOCUMENT_COLUMNS} FROM document WHERE id = ?1"))?;
        let found = statement.query_row([document], document_of_row).optional()?;
        found.ok_or(DocumentError::NoSuchDocument { document })
    }

    /// The documents of a kind that are not deleted, by name.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn documents(&self, kind: Kind) -> Result<Vec<Document>, StoreError> {
        self.documents_where(kind, false)
    }

    /// The documents of a kind that are deleted, by name. Undo brings one back.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn deleted_documents(&self, kind: Kind) -> Result<Vec<Document>, StoreError> {
        self.documents_where(kind, true)
    }

    fn documents_where(&self, kind: Kind, is_deleted: bool) -> Result<Vec<Document>, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {DOCUMENT_COLUMNS} FROM document WHERE kind = ?1 AND is_deleted = ?2 ORDER BY name"
        ))?;
        let rows = statement.query_map(params![kind, is_deleted], document_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The newest revision of a document, with its text.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchDocument`], and the file's; a text that is not what was written is
    /// [`StoreError::Damaged`].
    pub fn current(&self, document: DocumentId) -> Result<Revision, DocumentError> {
        self.as_of_now(|ledger| {
            let head = ledger.document(document)?.head;
            ledger.at(document, head)
        })
    }

    /// A revision of a document, with its text.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchDocument`], [`DocumentError::NoSuchRevision`], and the file's; a text that is not what was
    /// written is [`StoreError::Damaged`].
    pub fn at(&self, document: DocumentId, number: RevisionNumber) -> Result<Revision, DocumentError> {
        match revision(self, document, number)? {
            Some(revision) => Ok(revision),
            None => {
                self.document(document)?;
                Err(DocumentError::NoSuchRevision { number })
            }
        }
    }

    /// Every revision of a document, newest first, without texts.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchDocument`], and the file's.
    pub fn history(&self, document: DocumentId) -> Result<Vec<RevisionRecord>, DocumentError> {
        self.document(document)?;
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {RECORD_COLUMNS} FROM revision r JOIN document d ON d.id = r.document \
             WHERE r.document = ?1 ORDER BY r.number DESC"
        ))?;
        let rows = statement.query_map([document], record_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}
