//! Edits: by field, by entry and by text, each upon the revision that its writer has seen.
//!
//! What it is: what somebody else changed in the meantime is put together with an edit wherever both changes can be; where both
//! changed one field, both values are handed back and nothing is overwritten. An edit that would bring a new fault is refused with
//! the fault.
//! What it is not: a lock. Two people edit one document at the same time as a matter of course.

use documents::{Fault, Faults};
use finding::Path;
use forms::EditError;
use forms::conflict::{FieldDifference, Merge, merge};
use ledger::{Ledger, Revision, RevisionNumber, RevisionRecord};
use serde_json::Value;

use super::documents::is_put_away;
use super::naming::named_as_it_says;
use super::open::{Store, find, kind_words, stamp};
use super::reading::{Readable, name_field, read, schema};
use super::view::{DocumentKey, EditOutcome, FieldConflict};
use crate::desk::Desk;
use crate::error::ShopError;

/// One edit of a text.
struct Edit<'a> {
    /// What it touches: fields, or entries with all that is in them.
    touches: &'a [Path],
    /// Whether it is refused where it would bring a fault that was not there.
    is_strict: bool,
    note: &'a str,
    make: &'a dyn Fn(&Value, &str) -> Result<String, EditError>,
}

impl Store {
    /// Writes one field as it was typed; an empty value takes it out.
    ///
    /// # Errors
    /// No such document, one that was put away, no such revision, or the shop cannot be written.
    pub fn edit(
        &self,
        key: &DocumentKey,
        path: &Path,
        value: &str,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        self.edit_all(key, &[(path.clone(), value.to_owned())], expected, by)
    }

    /// Writes several fields at once, kept as one revision or not at all.
    ///
    /// # Errors
    /// As [`Self::edit`].
    pub fn edit_all(
        &self,
        key: &DocumentKey,
        fields: &[(Path, String)],
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let touches: Vec<Path> = fields.iter().map(|(path, _)| path.clone()).collect();
        let make = |schema: &Value, text: &str| {
            let set =
                |text: String, (path, value): &(Path, String)| forms::edit::set(schema, &text, path, value);
            fields.iter().try_fold(text.to_owned(), set)
        };
        self.make_edit(key, &Edit { touches: &touches, is_strict: true, note: "", make: &make }, expected, by)
    }

    /// Adds an entry to a list, with a name where the list has names, and the fields that were typed, by their keys. It is kept
    /// even where the entry still lacks something; what that is, its faults say.
    ///
    /// # Errors
    /// As [`Self::edit`].
    pub fn add_entry(
        &self,
        key: &DocumentKey,
        list: &Path,
        name: Option<&str>,
        values: &[(String, String)],
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let named = name.map(|name| ("name", name));
        let rest = values.iter().map(|(key, value)| (key.as_str(), value.as_str()));
        let values: Vec<(&str, &str)> = named.into_iter().chain(rest).collect();
        let make = |schema: &Value, text: &str| {
            forms::edit::add_entry(schema, text, list, &values).map(|(text, _)| text)
        };
        self.entry_edit(key, list, &make, expected, by)
    }

    /// Takes an entry out of its list. It is kept even where something still refers to the entry; what that is, the faults say.
    ///
    /// # Errors
    /// As [`Self::edit`].
    pub fn remove_entry(
        &self,
        key: &DocumentKey,
        entry: &Path,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let make = |schema: &Value, text: &str| forms::edit::remove_entry(schema, text, entry);
        self.entry_edit(key, entry, &make, expected, by)
    }

    /// Gives an entry another name, and everything in the document that speaks of it too: the wires of a speaker, for instance.
    ///
    /// # Errors
    /// As [`Self::edit`].
    pub fn rename_entry(
        &self,
        key: &DocumentKey,
        entry: &Path,
        name: &str,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let make = |schema: &Value, text: &str| {
            forms::rename::rename(schema, text, entry, name).map(|renamed| renamed.text)
        };
        self.entry_edit(key, entry, &make, expected, by)
    }

    /// Moves an entry to another place of its list, counted from 1.
    ///
    /// # Errors
    /// As [`Self::edit`].
    pub fn move_entry(
        &self,
        key: &DocumentKey,
        entry: &Path,
        place: usize,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let make = |_: &Value, text: &str| forms::edit::move_entry(text, entry, place);
        self.entry_edit(key, entry, &make, expected, by)
    }

    fn entry_edit(
        &self,
        key: &DocumentKey,
        path: &Path,
        make: &dyn Fn(&Value, &str) -> Result<String, EditError>,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let touches = [path.clone()];
        self.make_edit(key, &Edit { touches: &touches, is_strict: false, note: "", make }, expected, by)
    }

    /// Replaces the whole text, whatever it is: it is kept even where it cannot be read. What somebody else changed since the
    /// expected revision is put together with it where they changed other fields.
    ///
    /// # Errors
    /// As [`Self::edit`]; a text that is too long.
    pub fn replace_text(
        &self,
        key: &DocumentKey,
        text: &str,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let make = |_: &Value, _: &str| Ok(text.to_owned());
        self.make_edit(key, &Edit { touches: &[], is_strict: false, note: "", make: &make }, expected, by)
    }

    /// Changes a document as the store itself wants it, upon the present revision.
    pub(super) fn change(
        &self,
        key: &DocumentKey,
        note: &str,
        by: &str,
        make: &dyn Fn(&Value, &str) -> Result<String, EditError>,
    ) -> Result<RevisionNumber, ShopError> {
        let expected = find(&self.ledger(), key)?.head;
        let edit = Edit { touches: &[], is_strict: true, note, make };
        match self.make_edit(key, &edit, expected, by)? {
            EditOutcome::Saved { revision, .. } => Ok(revision),
            EditOutcome::Invalid { faults } => Err(ShopError::NotSound {
                what: super::reading::shown_name(key),
                purpose: "this change",
                first: faults.first().map_or_else(String::new, |fault| fault.headline.clone()),
            }),
            EditOutcome::Conflict { .. } => Err(ShopError::ChangedMeanwhile {
                what: super::reading::shown_name(key),
                by: find(&self.ledger(), key)?.by,
            }),
        }
    }

    fn make_edit(
        &self,
        key: &DocumentKey,
        edit: &Edit<'_>,
        expected: RevisionNumber,
        by: &str,
    ) -> Result<EditOutcome, ShopError> {
        let (desk, _) = self.current_desk()?;
        let mut kept: Option<RevisionRecord> = None;
        let outcome = self.ledger().together(|ledger| {
            let head = ledger.current(find(ledger, key)?.id)?;
            if head.record.is_deleted {
                return Err(is_put_away(key));
            }
            let text = match edited(ledger, key, &head, edit, expected)? {
                Ok(text) => text,
                Err(outcome) => return Ok(outcome),
            };
            let (outcome, record) = keep(ledger, &desk, key, &head, &text, edit, by)?;
            kept = record;
            Ok(outcome)
        })?;
        if let Some(record) = kept {
            self.after_change(&record, Some(&key.name))?;
        }
        Ok(outcome)
    }
}

/// The text that an edit makes, with what others changed since its writer saw the document; else why there is none.
fn edited(
    ledger: &Ledger,
    key: &DocumentKey,
    head: &Revision,
    edit: &Edit<'_>,
    expected: RevisionNumber,
) -> Result<Result<String, EditOutcome>, ShopError> {
    let invalid = |error: &EditError| EditOutcome::Invalid { faults: vec![as_fault(error, edit)] };
    let schema = schema(key.kind, &head.text);
    if expected == head.record.number {
        return Ok((edit.make)(schema, &head.text).map_err(|error| invalid(&error)));
    }
    let base = ledger.at(head.record.document, expected)?.text;
    let ours = match (edit.make)(schema, &base) {
        Ok(ours) => ours,
        Err(error) => return Ok(Err(invalid(&error))),
    };
    if base == head.text || ours == head.text {
        return Ok(Ok(ours));
    }
    let fields = match merge(schema, &base, &ours, &head.text) {
        Ok(Merge::Merged { text, .. }) => return Ok(Ok(text)),
        Ok(Merge::Conflict(differences)) => differences.into_iter().map(FieldConflict::from).collect(),
        // One of the texts is no TOML, so that only the whole can be compared.
        Err(_) => vec![FieldConflict {
            path: Path::root(),
            label: "The whole text".to_owned(),
            before: Some(base),
            theirs: Some(head.text.clone()),
            yours: Some(ours),
        }],
    };
    Ok(Err(EditOutcome::Conflict { revision: head.record.number, fields }))
}

impl From<FieldDifference> for FieldConflict {
    fn from(difference: FieldDifference) -> Self {
        let FieldDifference { path, label, base, ours, theirs, .. } = difference;
        Self { path, label, before: base, theirs, yours: ours }
    }
}

/// Keeps a text, unless it would bring a fault that was not there and the edit is strict about that. Tells the outcome, and the
/// revision where one was made.
fn keep(
    ledger: &mut Ledger,
    desk: &Desk,
    key: &DocumentKey,
    head: &Revision,
    text: &str,
    edit: &Edit<'_>,
    by: &str,
) -> Result<(EditOutcome, Option<RevisionRecord>), ShopError> {
    let now = read(ledger, desk, key, text)?;
    let faults = now.as_ref().err().map_or_else(Vec::new, |faults| faults.list.clone());
    if text == head.text {
        let saved = EditOutcome::Saved { key: key.clone(), revision: head.record.number, faults };
        return Ok((saved, None));
    }
    if edit.is_strict {
        let before = if faults.is_empty() { None } else { read(ledger, desk, key, &head.text)?.err() };
        let mut brought = brought(&faults, before.as_ref(), edit.touches);
        brought.extend(name_taken(ledger, key, now.as_ref().ok())?);
        if !brought.is_empty() {
            return Ok((EditOutcome::Invalid { faults: brought }, None));
        }
    }
    let stamp = stamp(by).with_note(edit.note);
    let record = ledger.save_upon(head.record.document, text, head.record.number, &stamp)?;
    let record = named_as_it_says(ledger, record, now.as_ref().ok(), by)?;
    let key = DocumentKey::new(key.kind, &record.name);
    Ok((EditOutcome::Saved { key, revision: record.number, faults }, Some(record)))
}

/// The faults that an edit would bring: any, where there were none; those of what it touches, where there were some already, for
/// mending one fault may uncover another elsewhere that was always there.
fn brought(now: &[Fault], before: Option<&Faults>, touches: &[Path]) -> Vec<Fault> {
    let was_there = |fault: &&Fault| {
        before.is_some_and(|before| {
            before.list.iter().any(|old| old.path == fault.path && old.headline == fault.headline)
        })
    };
    let concerns = |fault: &&Fault| {
        before.is_none()
            || touches.iter().any(|path| is_within(&fault.path, path) || is_within(path, &fault.path))
    };
    now.iter().filter(|fault| !was_there(fault) && concerns(fault)).cloned().collect()
}

/// Whether a path leads to a place or to something in it.
fn is_within(path: &Path, place: &Path) -> bool {
    let rest = path.as_str().strip_prefix(place.as_str());
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.') || place.as_str().is_empty())
}

/// An edit that cannot be made, told at its field.
fn as_fault(error: &EditError, edit: &Edit<'_>) -> Fault {
    let path = match error {
        EditError::NoSuchField { path, .. }
        | EditError::NoSuchEntry { path }
        | EditError::NotAList { path }
        | EditError::NotAField { path }
        | EditError::InTheWay { path, .. }
        | EditError::WrongKind { path, .. }
        | EditError::Unplaceable { path } => path.clone(),
        _ => edit.touches.first().cloned().unwrap_or_default(),
    };
    Fault { span: 0..0, path, headline: error.to_string(), help: error.help() }
}

/// That a document would take a name that another one has.
fn name_taken(
    ledger: &Ledger,
    key: &DocumentKey,
    now: Option<&Readable>,
) -> Result<Option<Fault>, ShopError> {
    let Some(name) = now.and_then(Readable::own_name).map(documents::Name::as_str) else { return Ok(None) };
    if name == key.name {
        return Ok(None);
    }
    let Some(other) = ledger.find(key.kind, name)? else { return Ok(None) };
    let is_old = if other.is_deleted { ", which was put away" } else { "" };
    Ok(Some(Fault {
        span: 0..0,
        path: name_field(key.kind),
        headline: format!("there is another {} `{name}` already{is_old}", kind_words(key.kind)),
        help: "choose another name".to_owned(),
    }))
}
