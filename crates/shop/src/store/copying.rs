//! Facts copied from one document to another: from a dossier into a new order, and back.
//!
//! What it is: the fields of some sections written into the other text one by one, so that comments and layout of that text stay.
//! What it is not: a copy of readings. What the meter said of one specimen must be taken again for the next.

use finding::Path;
use forms::EditError;
use forms::form::{Form, Item, List, Section};
use serde_json::Value;

/// Readings and trials that belong to one specimen.
const OF_ONE_SPECIMEN: [&str; 11] = [
    "socket-metered",
    "stall-current",
    "stall-voltage",
    "running-current",
    "motor-resistance",
    "motor-to-frame",
    "motor-to-rail",
    "rail-to-rail",
    "dc-resistance",
    "to-frame",
    "interference-parts",
];

/// A text with what another one says in some sections, readings of one specimen left out. Both schemas must know the sections.
pub(super) fn with_sections(
    schema: &Value,
    text: &str,
    from: (&Value, &str),
    sections: &[&str],
) -> Result<String, EditError> {
    let form = Form::of(from.0, from.1, None);
    let wanted = form.root.items.iter().filter(|item| sections.contains(&key_of(item)));
    wanted.into_iter().try_fold(text.to_owned(), |text, item| copy(schema, text, item))
}

fn key_of(item: &Item) -> &str {
    match item {
        Item::Field(field) => &field.key,
        Item::Section(section) => &section.key,
        Item::List(list) => &list.key,
        Item::Keyed(keyed) => &keyed.key,
    }
}

fn copy(schema: &Value, text: String, item: &Item) -> Result<String, EditError> {
    match item {
        Item::Field(field) => match kept(&field.key, field.value.as_deref()) {
            Some(value) => forms::edit::set(schema, &text, &field.path, value),
            None => Ok(text),
        },
        Item::Section(section) => section.items.iter().try_fold(text, |text, item| copy(schema, text, item)),
        Item::Keyed(keyed) => keyed.entries.iter().try_fold(text, |text, item| copy(schema, text, item)),
        Item::List(list) => {
            list.entries.iter().try_fold(text, |text, entry| copy_entry(schema, text, list, entry))
        }
    }
}

fn copy_entry(schema: &Value, text: String, list: &List, entry: &Section) -> Result<String, EditError> {
    let fields = entry.items.iter().filter_map(|item| match item {
        Item::Field(field) => Some((field.key.as_str(), kept(&field.key, field.value.as_deref())?)),
        _ => None,
    });
    let values: Vec<(&str, &str)> = fields.collect();
    let (text, place) = forms::edit::add_entry(schema, &text, &list.path, &values)?;
    // Tables within an entry stand at the same place within the new one.
    let nested = entry.items.iter().filter_map(|item| match item {
        Item::Section(section) => Some(section),
        _ => None,
    });
    let mut text = text;
    for field in nested.flat_map(|section| &section.items) {
        if let Item::Field(field) = field
            && let Some(value) = kept(&field.key, field.value.as_deref())
            && let Some(rest) = field.path.as_str().strip_prefix(entry.path.as_str())
        {
            let path = Path::new(format!("{place}{rest}"));
            text = forms::edit::set(schema, &text, &path, value)?;
        }
    }
    Ok(text)
}

/// What is copied of a field; nothing where it is of one specimen. A polarity that was tested is one specimen's too: the factory may
/// have wired the next the other way round.
fn kept<'v>(key: &str, value: Option<&'v str>) -> Option<&'v str> {
    let value = value?;
    let is_tested = key == "polarity" && value == "tested";
    (!OF_ONE_SPECIMEN.contains(&key) && !is_tested).then_some(value)
}
