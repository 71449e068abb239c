//! Undo and redo, as new revisions: history is never rewritten.

use rusqlite::{OptionalExtension, params};

use super::DocumentError;
use super::record::{Act, Revision, RevisionRecord};
use super::save::next;
use super::store::revision;
use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::ledger::Ledger;
use crate::moment::Stamp;

/// Where undo and redo would lead, for the page to say so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct UndoSteps {
    /// The revision whose state undo would show; none where there is nothing to undo.
    pub undo: Option<RevisionNumber>,
    /// The revision whose state redo would show; none where nothing was undone since the last change.
    pub redo: Option<RevisionNumber>,
}

impl Ledger {
    /// Shows the state before the one that is shown, as a new revision. A deleted document comes back that way. The name
    /// stays as it is.
    ///
    /// # Errors
    /// [`DocumentError::NothingToUndo`], [`DocumentError::Conflict`], [`DocumentError::NoSuchDocument`], and the file's.
    pub fn undo(
        &mut self,
        document: DocumentId,
        expected: RevisionNumber,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        self.show(document, expected, Act::Undone, stamp)
    }

    /// Shows again the state that was undone last, as a new revision.
    ///
    /// # Errors
    /// [`DocumentError::NothingToRedo`], [`DocumentError::Conflict`], [`DocumentError::NoSuchDocument`], and the file's.
    pub fn redo(
        &mut self,
        document: DocumentId,
        expected: RevisionNumber,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        self.show(document, expected, Act::Redone, stamp)
    }

    /// Where undo and redo would lead.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchDocument`], and the file's.
    pub fn undo_steps(&self, document: DocumentId) -> Result<UndoSteps, DocumentError> {
        self.document(document)?;
        let mut statement = self.connection.prepare_cached(
            "SELECT made.parent, made.number FROM document d \
             JOIN revision made ON made.document = d.id AND made.number = d.state WHERE d.id = ?1",
        )?;
        let (undo, shown): (Option<RevisionNumber>, RevisionNumber) =
            statement.query_row([document], |row| Ok((row.get(0)?, row.get(1)?)))?;
        // The shown state lies on the way from the newest state back to the first: every change made the newest one, and
        // undo and redo only walked along its parents since. Redo is the step towards the newest.
        let mut statement = self.connection.prepare_cached(
            "WITH RECURSIVE way (number, parent) AS ( \
                 SELECT number, parent FROM revision WHERE document = ?1 AND number = \
                     (SELECT max(number) FROM revision WHERE document = ?1 AND state = number) \
                 UNION ALL \
                 SELECT r.number, r.parent FROM way JOIN revision r ON r.document = ?1 AND r.number = way.parent \
             ) SELECT number FROM way WHERE parent = ?2 LIMIT 1",
        )?;
        let redo = statement.query_row(params![document, shown], |row| row.get(0)).optional()?;
        Ok(UndoSteps { undo, redo })
    }

    fn show(
        &mut self,
        document: DocumentId,
        expected: RevisionNumber,
        act: Act,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        self.together(|ledger| {
            let head = ledger.head_as_expected(document, Some(expected))?;
            let steps = ledger.undo_steps(document)?;
            let shown = match act {
                Act::Undone => steps.undo.ok_or(DocumentError::NothingToUndo)?,
                _ => steps.redo.ok_or(DocumentError::NothingToRedo)?,
            };
            let state = revision(ledger, document, shown)?
                .ok_or_else(|| StoreError::damaged(format!("revision {shown} of document {document}")))?;
            let record = RevisionRecord {
                state: shown,
                is_deleted: state.record.is_deleted,
                ..next(&head.record, act, stamp)
            };
            ledger.keep(Revision { record, text: state.text }, Some(&head), stamp)
        })
    }
}
