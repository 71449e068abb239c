//! Documents of every kind: looked at, begun, put away, brought back, undone.

use documents::Faults;
use ledger::{DocumentError, Ledger, Revision, RevisionNumber, RevisionRecord};

use super::naming::named_as_it_says;
use super::open::{Store, find, stamp};
use super::reading::{read, schema, shown_name};
use super::suggestions::Suggestions;
use super::view::{DocumentKey, DocumentView};
use crate::desk::Desk;
use crate::error::ShopError;

impl Store {
    /// A document as it is now, also where it was put away.
    ///
    /// # Errors
    /// No such document (the nearest name is told), or the shop cannot be read.
    pub fn document(&self, key: &DocumentKey) -> Result<DocumentView, ShopError> {
        let (desk, _) = self.current_desk()?;
        let (revision, faults) = {
            let ledger = self.ledger();
            let revision = ledger.current(find(&ledger, key)?.id)?;
            let faults = read(&ledger, &desk, key, &revision.text)?.err();
            (revision, faults)
        };
        self.document_view(&desk, revision, faults)
    }

    /// The view of a document that was read already.
    pub(super) fn document_view(
        &self,
        desk: &Desk,
        revision: Revision,
        faults: Option<Faults>,
    ) -> Result<DocumentView, ShopError> {
        let Revision { record, text } = revision;
        let steps = self.ledger().undo_steps(record.document)?;
        let suggestions = Suggestions::for_document(self, desk, record.kind, &text)?;
        let form = forms::form::Form::of(schema(record.kind, &text), &text, faults.as_ref())
            .with_suggestions(&|path, word| suggestions.of(path, word));
        Ok(DocumentView {
            key: DocumentKey::new(record.kind, record.name),
            revision: record.number,
            text,
            faults,
            form,
            is_deleted: record.is_deleted,
            changed_at: record.at,
            changed_by: record.by,
            can_undo: steps.undo.is_some(),
            can_redo: steps.redo.is_some(),
        })
    }

    /// Begins a document with a text, whatever that is. Where one of this name was put away, its history goes on.
    ///
    /// # Errors
    /// A name that is taken or none, a text that is too long, a shop that cannot be written.
    pub fn create(&self, key: &DocumentKey, text: &str, by: &str) -> Result<RevisionNumber, ShopError> {
        let record = {
            let mut ledger = self.ledger();
            if ledger.find(key.kind, &key.name)?.is_some_and(|document| !document.is_deleted) {
                return Err(taken(key));
            }
            ledger.save(key.kind, &key.name, text, None, &stamp(by))?
        };
        self.after_change(&record, None)?;
        Ok(record.number)
    }

    /// Shows the state before the one that is shown, as a new revision. A document that was put away comes back that way.
    /// None where there is nothing to undo.
    ///
    /// # Errors
    /// No such document, or the shop cannot be written.
    pub fn undo(&self, key: &DocumentKey, by: &str) -> Result<Option<RevisionNumber>, ShopError> {
        self.step(key, by, |ledger, head| ledger.undo(head.document, head.number, &stamp(by)))
    }

    /// Shows again what was undone last, as a new revision. None where nothing was undone since the last change.
    ///
    /// # Errors
    /// As [`Self::undo`].
    pub fn redo(&self, key: &DocumentKey, by: &str) -> Result<Option<RevisionNumber>, ShopError> {
        self.step(key, by, |ledger, head| ledger.redo(head.document, head.number, &stamp(by)))
    }

    /// Makes an earlier revision's text the present one again, as a new revision.
    ///
    /// # Errors
    /// As [`Self::undo`]; no such revision.
    pub fn go_back_to(
        &self,
        key: &DocumentKey,
        revision: RevisionNumber,
        by: &str,
    ) -> Result<RevisionNumber, ShopError> {
        let note = format!("back to revision {revision}");
        let went = self.step(key, by, |ledger, head| {
            ledger.return_to(head.document, revision, head.number, &stamp(by).with_note(&note))
        })?;
        went.map_or_else(|| self.present(key), Ok)
    }

    /// Puts a document away: it is left out of lists, and everything about it stays.
    ///
    /// # Errors
    /// As [`Self::undo`]; a document that is put away already.
    pub fn delete(&self, key: &DocumentKey, by: &str) -> Result<RevisionNumber, ShopError> {
        let went =
            self.step(key, by, |ledger, head| ledger.delete(head.document, head.number, &stamp(by)))?;
        went.map_or_else(|| self.present(key), Ok)
    }

    /// Brings a document back that was put away, with the text that it had.
    ///
    /// # Errors
    /// As [`Self::undo`].
    pub fn restore(&self, key: &DocumentKey, by: &str) -> Result<RevisionNumber, ShopError> {
        let went = self.step(key, by, |ledger, head| {
            if !head.is_deleted {
                return Ok(head.clone());
            }
            let text = ledger.current(head.document)?.text;
            ledger.save_upon(head.document, &text, head.number, &stamp(by).with_note("brought back"))
        })?;
        went.map_or_else(|| self.present(key), Ok)
    }

    /// The names of documents of a kind that were put away.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn put_away(&self, kind: ledger::Kind) -> Result<Vec<DocumentKey>, ShopError> {
        let deleted = self.ledger().deleted_documents(kind)?;
        Ok(deleted.into_iter().map(|document| DocumentKey::new(kind, document.name)).collect())
    }

    fn present(&self, key: &DocumentKey) -> Result<RevisionNumber, ShopError> {
        Ok(find(&self.ledger(), key)?.head)
    }

    /// Makes a revision upon the present one; none where there is nothing to be done.
    fn step(
        &self,
        key: &DocumentKey,
        by: &str,
        make: impl FnOnce(&mut Ledger, &RevisionRecord) -> Result<RevisionRecord, DocumentError>,
    ) -> Result<Option<RevisionNumber>, ShopError> {
        let (desk, _) = self.current_desk()?;
        let made = self.ledger().together(|ledger| {
            let document = find(ledger, key)?;
            let head = ledger.current(document.id)?.record;
            let record = match make(ledger, &head) {
                Ok(record) if record.number == head.number => return Ok(None),
                Ok(record) => record,
                Err(DocumentError::NothingToUndo | DocumentError::NothingToRedo) => return Ok(None),
                Err(error) => return Err(ShopError::from(error)),
            };
            let text = ledger.current(document.id)?.text;
            let readable = read(ledger, &desk, key, &text)?.ok();
            let record = named_as_it_says(ledger, record, readable.as_ref(), by)?;
            Ok(Some((record, document.name)))
        })?;
        let Some((record, old_name)) = made else { return Ok(None) };
        self.after_change(&record, Some(&old_name))?;
        Ok(Some(record.number))
    }

    /// Tells listeners and the work board of a new revision. `old_name` is the name that the document had before.
    pub(super) fn after_change(
        &self,
        record: &RevisionRecord,
        old_name: Option<&str>,
    ) -> Result<(), ShopError> {
        self.tell_board(record, old_name)?;
        self.notice_changes()
    }
}

/// That a name is taken.
pub(super) fn taken(key: &DocumentKey) -> ShopError {
    ShopError::Document(DocumentError::NameTaken {
        kind: key.kind,
        name: key.name.clone(),
        is_deleted: false,
    })
}

/// That a document was put away.
pub(super) fn is_put_away(key: &DocumentKey) -> ShopError {
    ShopError::Document(DocumentError::IsDeleted { kind: key.kind, name: key.name.clone() })
}

/// A document that can be read, or why it cannot.
pub(super) fn sound_or<T>(
    key: &DocumentKey,
    read: Result<T, Faults>,
    purpose: &'static str,
) -> Result<T, ShopError> {
    read.map_err(|faults| ShopError::NotSound {
        what: shown_name(key),
        purpose,
        first: faults.list.first().map_or_else(String::new, |fault| fault.headline.clone()),
    })
}
