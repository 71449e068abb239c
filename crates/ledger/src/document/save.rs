//! Changing a document: always upon a revision that the caller has seen.

use rusqlite::{OptionalExtension, params};

use super::record::{Act, Revision, RevisionRecord};
use super::store::{insert_document, insert_revision, revision, show};
use super::{Conflict, DocumentError, MOST_TEXT_BYTES};
use crate::change::Subject;
use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::{Kind, check_name};
use crate::ledger::Ledger;
use crate::moment::Stamp;

/// The first revision of every document.
const FIRST: RevisionNumber = RevisionNumber::FIRST;

impl Ledger {
    /// Saves the text of the document of a name upon the revision that its writer has seen; none to begin a document, or to begin again one that was
    /// deleted (its history goes on).
    ///
    /// A text that is there already is not kept twice, whatever was expected: a page that lost the answer may simply
    /// save again.
    ///
    /// A page that stays open for long should save by number ([`Self::save_upon`]): names can change hands.
    ///
    /// # Errors
    /// [`DocumentError::Conflict`] with the other's text where somebody else was faster, even where they renamed the
    /// document; [`DocumentError::NoSuchName`], [`DocumentError::Name`], [`DocumentError::TooLong`]; and the file's.
    pub fn save(
        &mut self,
        kind: Kind,
        name: &str,
        text: &str,
        expected: Option<RevisionNumber>,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        check_name(name)?;
        check_length(text)?;
        self.together(|ledger| {
            if let Some(document) = ledger.find(kind, name)? {
                return ledger.keep_text(document.id, text, expected, stamp);
            }
            let Some(expected) = expected else { return ledger.begin(kind, name, text, stamp) };
            match ledger.once_named(kind, name, expected)? {
                Some(document) => ledger.keep_text(document, text, Some(expected), stamp),
                None => Err(DocumentError::NoSuchName { kind, name: name.to_owned() }),
            }
        })
    }

    /// Saves the text of a document upon the revision that its writer has seen, whatever its name is by now.
    ///
    /// # Errors
    /// As [`Self::save`]; [`DocumentError::NoSuchDocument`].
    pub fn save_upon(
        &mut self,
        document: DocumentId,
        text: &str,
        expected: RevisionNumber,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        check_length(text)?;
        self.together(|ledger| ledger.keep_text(document, text, Some(expected), stamp))
    }

    /// Makes an earlier revision's text the newest again, as a new state: undoing it leads back to what is there now.
    ///
    /// # Errors
    /// [`DocumentError::NoSuchRevision`], and as [`Self::save`].
    pub fn return_to(
        &mut self,
        document: DocumentId,
        number: RevisionNumber,
        expected: RevisionNumber,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        self.together(|ledger| {
            let text = ledger.at(document, number)?.text;
            ledger.keep_text(document, &text, Some(expected), stamp)
        })
    }

    /// Deletes a document: it is left out of lists, and its history stays.
    ///
    /// # Errors
    /// [`DocumentError::Conflict`], [`DocumentError::NoSuchDocument`], [`DocumentError::IsDeleted`], and the file's.
    pub fn delete(
        &mut self,
        document: DocumentId,
        expected: RevisionNumber,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        self.together(|ledger| {
            let head = ledger.head_as_expected(document, Some(expected))?;
            if head.record.is_deleted {
                return Err(is_deleted(&head));
            }
            let next = next(&head.record, Act::Deleted, stamp);
            ledger.keep(Revision { record: next, text: head.text.clone() }, Some(&head), stamp)
        })
    }

    /// Gives a document another name. Documents that refer to it are the caller's matter, who can change them in the same
    /// stroke with [`Self::together`].
    ///
    /// # Errors
    /// [`DocumentError::NameTaken`], also by a deleted document; [`DocumentError::Name`], [`DocumentError::Conflict`],
    /// [`DocumentError::NoSuchDocument`], [`DocumentError::IsDeleted`], and the file's.
    pub fn rename(
        &mut self,
        document: DocumentId,
        name: &str,
        expected: RevisionNumber,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        check_name(name)?;
        self.together(|ledger| {
            let head = ledger.head_as_expected(document, Some(expected))?;
            if head.record.is_deleted {
                return Err(is_deleted(&head));
            }
            if head.record.name == name {
                return Ok(head.record);
            }
            let kind = head.record.kind;
            if let Some(other) = ledger.find(kind, name)? {
                return Err(DocumentError::NameTaken {
                    kind,
                    name: name.to_owned(),
                    is_deleted: other.is_deleted,
                });
            }
            let next = RevisionRecord { name: name.to_owned(), ..next(&head.record, Act::Renamed, stamp) };
            ledger.keep(Revision { record: next, text: head.text.clone() }, Some(&head), stamp)
        })
    }

    fn begin(
        &mut self,
        kind: Kind,
        name: &str,
        text: &str,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        let document = insert_document(self, None, kind, name)?;
        let record = RevisionRecord {
            document,
            kind,
            number: FIRST,
            act: Act::Saved,
            state: FIRST,
            parent: None,
            name: name.to_owned(),
            is_deleted: false,
            at: stamp.at,
            by: stamp.by.to_owned(),
            note: stamp.note.to_owned(),
        };
        self.keep(Revision { record, text: text.to_owned() }, None, stamp)
    }

    fn keep_text(
        &mut self,
        document: DocumentId,
        text: &str,
        expected: Option<RevisionNumber>,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        let head = self.head(document)?;
        let is_there = !head.record.is_deleted && head.text == text;
        if is_there {
            return Ok(head.record);
        }
        // Who begins a document expects none, and one that was deleted counts as none.
        if expected != Some(head.record.number) && !(expected.is_none() && head.record.is_deleted) {
            return Err(conflict(expected, head));
        }
        let record = RevisionRecord { is_deleted: false, ..next(&head.record, Act::Saved, stamp) };
        self.keep(Revision { record, text: text.to_owned() }, Some(&head), stamp)
    }

    /// The newest revision, provided that it is the expected one.
    pub(super) fn head_as_expected(
        &self,
        document: DocumentId,
        expected: Option<RevisionNumber>,
    ) -> Result<Revision, DocumentError> {
        let head = self.head(document)?;
        if expected == Some(head.record.number) { Ok(head) } else { Err(conflict(expected, head)) }
    }

    fn head(&self, document: DocumentId) -> Result<Revision, DocumentError> {
        let number = self.document(document)?.head;
        let head = revision(self, document, number)?;
        head.ok_or_else(|| StoreError::damaged(format!("the newest revision of document {document}")).into())
    }

    /// Writes a revision and what the document then is.
    pub(super) fn keep(
        &mut self,
        revision: Revision,
        head: Option<&Revision>,
        stamp: &Stamp<'_>,
    ) -> Result<RevisionRecord, DocumentError> {
        insert_revision(self, &revision, head.map(|head| head.text.as_str()))?;
        let Revision { record, text } = revision;
        show(self, &record, &text)?;
        self.note_change(Subject::Document { document: record.document, number: record.number }, stamp)?;
        Ok(record)
    }

    /// The document that had this name with that revision, if it was renamed since.
    fn once_named(
        &self,
        kind: Kind,
        name: &str,
        number: RevisionNumber,
    ) -> Result<Option<DocumentId>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT r.document FROM revision renamed JOIN document d ON d.id = renamed.document \
             JOIN revision r ON r.document = renamed.document AND r.number = ?3 \
             WHERE renamed.act = 'renamed' AND d.kind = ?1 AND r.name = ?2 ORDER BY renamed.id DESC LIMIT 1",
        )?;
        Ok(statement.query_row(params![kind, name, number], |row| row.get(0)).optional()?)
    }
}

/// The revision that follows `head`; it has head's name and, unless the caller says otherwise, is deleted where the act
/// is to delete.
pub(super) fn next(head: &RevisionRecord, act: Act, stamp: &Stamp<'_>) -> RevisionRecord {
    let number = head.number.next();
    RevisionRecord {
        document: head.document,
        kind: head.kind,
        number,
        act,
        state: if act.makes_state() { number } else { head.state },
        parent: Some(head.state),
        name: head.name.clone(),
        is_deleted: act == Act::Deleted,
        at: stamp.at,
        by: stamp.by.to_owned(),
        note: stamp.note.to_owned(),
    }
}

fn check_length(text: &str) -> Result<(), DocumentError> {
    if text.len() <= MOST_TEXT_BYTES { Ok(()) } else { Err(DocumentError::TooLong { n_bytes: text.len() }) }
}

fn conflict(expected: Option<RevisionNumber>, theirs: Revision) -> DocumentError {
    DocumentError::Conflict(Box::new(Conflict { expected, theirs }))
}

fn is_deleted(head: &Revision) -> DocumentError {
    DocumentError::IsDeleted { kind: head.record.kind, name: head.record.name.clone() }
}
