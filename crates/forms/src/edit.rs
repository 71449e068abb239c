//! Edits of a document's text by path. The text stays the person's: comments, order, spacing and line ends stay byte for byte,
//! whatever is not touched.
//!
//! Every edit is read back before it is handed out. One that would have changed anything else is refused.
//!
//! ```
//! use finding::Path;
//! documents::record! {
//!     /// The motor.
//!     pub struct Motor {
//!         /// Current with the motor held.
//!         pub stall_current: Option<quantities::Current>,
//!         /// Whether it touches the frame.
//!         pub touches_frame: Option<bool>,
//!     }
//! }
//! let schema = documents::schema::<Motor>("motor");
//! let text = "stall-current = \"0.62 A\"   # at 12 V\n";
//! let text = forms::edit::set(&schema, text, &Path::new("touches-frame"), "no")?;
//! let text = forms::edit::set(&schema, &text, &Path::new("stall-current"), "0.6 A")?;
//! assert_eq!(text, "stall-current = \"0.6 A\"   # at 12 V\ntouches-frame = false\n");
//! # Ok::<(), forms::EditError>(())
//! ```

use documents::{MOST_BYTES, nearest};
use finding::Path;
use serde_json::Value;

use crate::address::{Step, Trail, find, schema_of};
use crate::error::EditError;
use crate::insert;
use crate::layout::Layout;
use crate::node::{Content, Member, Node};
use crate::remove;
use crate::schema::{Kind, Schema, Shape};
use crate::typed::{fits, normal, shown, to_toml};

mod entries;
#[cfg(test)]
mod tests;

pub use entries::{add_entry, move_entry, remove_entry};
pub(crate) use entries::{append as append_entry, begin as begin_list, reordered};

/// What stands in a field, as a person would type it; none where it is not written down.
///
/// # Errors
/// Text that is not TOML, and paths that the schema does not know.
pub fn get(schema: &Value, text: &str, path: &Path) -> Result<Option<String>, EditError> {
    let layout = Layout::parse(without_mark(text).1)?;
    let trail = find(&layout.root, path);
    field_kind(Schema::new(schema), &trail, path)?;
    Ok(trail.found().map(shown))
}

/// Writes a field as it was typed; the schema decides whether that becomes a text, a number, yes or no, or a list. An empty field is
/// taken out. Tables on the way to it are made, entries of lists are not ([`add_entry`]).
///
/// A wrong unit, an unknown word or a number out of range is written, for the document's reader explains it best.
///
/// # Errors
/// Text that is not TOML, paths that the schema or the text does not know, and what cannot be written in the field's kind (`abc` where a
/// number belongs).
pub fn set(schema: &Value, text: &str, path: &Path, typed: &str) -> Result<String, EditError> {
    edited(text, |layout| {
        let schema = Schema::new(schema);
        let trail = find(&layout.root, path);
        let kind = field_kind(schema, &trail, path)?;
        let typed = normal(typed);
        let is_same = trail.found().is_some_and(|node| fits(&kind, node) && normal(&shown(node)) == typed);
        if is_same {
            return Ok(None);
        }
        match to_toml(&kind, &typed, path)? {
            Some(toml) => put(layout, schema, &trail, &toml).map(Some),
            None if trail.found().is_some() => take(layout, schema, &trail).map(Some),
            None => Ok(None),
        }
    })
}

/// Takes out whatever stands at a path: a field, a whole table or list, an entry, or a key that the schema does not know. Tables that
/// held nothing else, and need not be there, go too. What is not there stays so.
///
/// # Errors
/// Text that is not TOML.
pub fn unset(schema: &Value, text: &str, path: &Path) -> Result<String, EditError> {
    edited(text, |layout| {
        let trail = find(&layout.root, path);
        if trail.found().is_none() {
            return Ok(None);
        }
        if trail.steps.is_empty() {
            return Err(EditError::NotAField { path: path.clone() });
        }
        take(layout, Schema::new(schema), &trail).map(Some)
    })
}

/// Runs an edit on a text without its byte order mark; none means that nothing changes.
pub(crate) fn edited(
    text: &str,
    edit: impl FnOnce(&Layout<'_>) -> Result<Option<String>, EditError>,
) -> Result<String, EditError> {
    let (mark, plain) = without_mark(text);
    let edited = edit(&Layout::parse(plain)?)?;
    Ok(edited.map_or_else(|| text.to_owned(), |edited| format!("{mark}{edited}")))
}

/// The byte order mark that some editors put in front, and the text behind it.
pub(crate) fn without_mark(text: &str) -> (&str, &str) {
    text.split_at(if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 })
}

/// Writes TOML at a trail, and reads it back.
pub(crate) fn put(
    layout: &Layout<'_>,
    schema: Schema<'_>,
    trail: &Trail<'_>,
    toml: &str,
) -> Result<String, EditError> {
    let bytes = layout.text.len() + toml.len();
    if bytes > MOST_BYTES {
        return Err(EditError::TooLarge { bytes, most: MOST_BYTES });
    }
    let value = value_of(toml).ok_or_else(|| EditError::Unplaceable { path: trail.path() })?;
    let text = insert::put(layout, schema, trail, toml)?;
    check(layout, trail, Some(value), text)
}

/// Takes out what a trail leads to, and reads the rest back.
pub(crate) fn take(layout: &Layout<'_>, schema: Schema<'_>, trail: &Trail<'_>) -> Result<String, EditError> {
    let text = remove::remove(layout, schema, trail)?;
    check(layout, trail, None, text)
}

/// The node that a TOML value makes.
pub(crate) fn value_of(toml: &str) -> Option<Node> {
    let text = format!("value = {toml}\n");
    Layout::parse(&text).ok()?.root.get("value").cloned()
}

/// The edited text, if it says what the old one said with this one change.
pub(crate) fn check(
    layout: &Layout<'_>,
    trail: &Trail<'_>,
    value: Option<Node>,
    text: String,
) -> Result<String, EditError> {
    let mut steps = trail.steps.clone();
    steps.extend(trail.missing.iter().cloned().map(Step::Key));
    let mut wanted = layout.root.clone();
    change(&mut wanted, &steps, value);
    says(&wanted, text, || trail.path())
}

/// The text, if it says what a tree says, tables that hold nothing left aside.
pub(crate) fn says(wanted: &Node, text: String, path: impl Fn() -> Path) -> Result<String, EditError> {
    if text.len() > MOST_BYTES {
        return Err(EditError::TooLarge { bytes: text.len(), most: MOST_BYTES });
    }
    let is_so =
        Layout::parse(&text).is_ok_and(|edited| edited.root.without_empties() == wanted.without_empties());
    if is_so { Ok(text) } else { Err(EditError::Unplaceable { path: path() }) }
}

/// Changes a tree at some steps, making tables on the way.
pub(crate) fn change(node: &mut Node, steps: &[Step], value: Option<Node>) {
    let Some((step, rest)) = steps.split_first() else {
        if let Some(value) = value {
            *node = value;
        }
        return;
    };
    match (&mut node.content, step) {
        (Content::Table(members), Step::Key(key)) => {
            let index = members.iter().position(|member| member.key == *key);
            match (index, value) {
                (Some(index), None) if rest.is_empty() => drop(members.remove(index)),
                (Some(index), value) => change(&mut members[index].node, rest, value),
                (None, None) => {}
                (None, Some(value)) => {
                    let mut node = Node::new(Content::Table(Vec::new()));
                    change(&mut node, rest, Some(value));
                    members.push(Member { key: key.clone(), key_span: 0..0, node });
                }
            }
        }
        (Content::List(entries), Step::Index(index)) if *index < entries.len() => {
            if rest.is_empty() && value.is_none() {
                entries.remove(*index);
            } else {
                change(&mut entries[*index], rest, value);
            }
        }
        _ => {}
    }
}

/// What a field takes, found by walking the schema along the trail and the steps that are not there yet.
fn field_kind(schema: Schema<'_>, trail: &Trail<'_>, path: &Path) -> Result<Kind, EditError> {
    let mut shape = schema.shape();
    for step in &trail.steps {
        shape = match (shape, step) {
            // An item of a list that is one field: `plan.remove.2`.
            (Shape::Plain(Kind::Several { of, .. }), Step::Index(_)) => Shape::Plain(*of),
            (Shape::Entries(entry), Step::Index(_)) => entry.shape(),
            (shape, Step::Key(key)) => known_child(shape, key, path)?,
            (_, Step::Index(_)) => return Err(EditError::NotAField { path: path.clone() }),
        };
    }
    for step in &trail.missing {
        if matches!(shape, Shape::Entries(_) | Shape::Plain(Kind::Several { .. })) {
            return Err(EditError::NoSuchEntry { path: path.clone() });
        }
        shape = known_child(shape, step, path)?;
    }
    match shape {
        Shape::Plain(kind) => Ok(kind),
        _ => Err(EditError::NotAField { path: path.clone() }),
    }
}

fn known_child<'s>(shape: Shape<'s>, key: &str, path: &Path) -> Result<Shape<'s>, EditError> {
    match shape {
        Shape::Record(record) => record.field(key).map(|field| field.shape()).ok_or_else(|| {
            let keys = || record.properties.keys().map(String::as_str);
            let help = nearest(key, keys()).map_or_else(
                || format!("the fields here are {}", keys().collect::<Vec<_>>().join(", ")),
                |near| format!("did you mean `{near}`?"),
            );
            EditError::NoSuchField { path: path.clone(), help }
        }),
        Shape::Keyed(values) => Ok(values.shape()),
        Shape::Entries(_) | Shape::Plain(_) => Err(EditError::NoSuchField {
            path: path.clone(),
            help: "leave out the last step of the path".to_owned(),
        }),
    }
}

/// What belongs at a trail with its missing steps; none where the schema knows no such place.
fn schema_at<'s>(schema: Schema<'s>, trail: &Trail<'_>) -> Option<Schema<'s>> {
    trail.missing.iter().try_fold(schema_of(schema, trail)?, |schema, key| insert::child(schema, key))
}
