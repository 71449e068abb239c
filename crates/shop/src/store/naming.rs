//! Names of documents: a document is called what its text says it is called.
//!
//! What it is: a renamed order is followed by the trains it runs in and by its locomotive on the virtual bench, in the same stroke.
//! What it is not: a search for every mention. A dossier's lesson says on which order it was learned, whatever that is called today.

use finding::Path;
use forms::form::Form;
use ledger::{Kind, Ledger, RevisionRecord};

use super::open::stamp;
use super::reading::{Readable, name_field, schema};
use crate::error::ShopError;

/// Gives a document the name that its text says, where that is free; a name that is taken is left alone, and the text
/// keeps saying it.
pub(super) fn named_as_it_says(
    ledger: &mut Ledger,
    record: RevisionRecord,
    readable: Option<&Readable>,
    by: &str,
) -> Result<RevisionRecord, ShopError> {
    let Some(name) = readable.and_then(Readable::own_name).map(documents::Name::as_str) else {
        return Ok(record);
    };
    if name == record.name || record.is_deleted || ledger.find(record.kind, name)?.is_some() {
        return Ok(record);
    }
    let renamed = ledger.rename(record.document, name, record.number, &stamp(by))?;
    if record.kind == Kind::Order {
        follow(ledger, &record.name, name, by)?;
    }
    Ok(renamed)
}

/// Has trains and the virtual bench follow an order's new number.
fn follow(ledger: &mut Ledger, old: &str, new: &str, by: &str) -> Result<(), ShopError> {
    let note = format!("order {old} is now {new}");
    let stamp = stamp(by).with_note(&note);
    if let Some(truth) = ledger.find(Kind::BenchTruth, old)?
        && !truth.is_deleted
        && ledger.find(Kind::BenchTruth, new)?.is_none()
    {
        let schema = schema(Kind::BenchTruth, "");
        let text = ledger.current(truth.id)?.text;
        // A truth that cannot be edited by fields keeps its text, and goes along by its name all the same.
        let text = forms::edit::set(schema, &text, &name_field(Kind::BenchTruth), new).unwrap_or(text);
        let saved = ledger.save_upon(truth.id, &text, truth.head, &stamp)?;
        ledger.rename(truth.id, new, saved.number, &stamp)?;
    }
    let schema = schema(Kind::Train, "");
    for train in ledger.documents(Kind::Train)? {
        let text = ledger.current(train.id)?.text;
        let mut followed = text.clone();
        for path in units_of(schema, &text, old) {
            followed = forms::edit::set(schema, &followed, &path, new)?;
        }
        if followed != text {
            ledger.save_upon(train.id, &followed, train.head, &stamp)?;
        }
    }
    Ok(())
}

/// The fields of a train that name an order. None in a text that is no TOML: that must be mended by hand anyway.
fn units_of(schema: &serde_json::Value, train: &str, order: &str) -> Vec<Path> {
    let form = Form::of(schema, train, None);
    if !form.can_edit() {
        return Vec::new();
    }
    let units = form.fields().filter(|field| field.key == "order" && field.value.as_deref() == Some(order));
    units.map(|field| field.path.clone()).collect()
}
