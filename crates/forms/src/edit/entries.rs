//! Entries of lists: added, taken out, moved.

use std::ops::Range;

use finding::Path;
use serde_json::Value;

use super::{check, edited, put, says, schema_at, take};
use crate::address::{Step, Trail, edit_steps, find, retrace};
use crate::brackets;
use crate::error::EditError;
use crate::insert;
use crate::layout::Layout;
use crate::node::{Content, Member, Node, Written};
use crate::schema::{Schema, Shape};
use crate::splice::{Splice, spliced};
use crate::typed::{key_text, normal, to_toml};

/// Adds an entry at the end of a list of tables, with the fields that were typed (by their keys; empty ones are left out), and tells
/// its path. A new entry without a name is told by its number.
///
/// # Errors
/// Text that is not TOML, a path that is no list of tables, keys that entries do not have, and what cannot be written in a field's kind.
pub fn add_entry(
    schema: &Value,
    text: &str,
    list: &Path,
    values: &[(&str, &str)],
) -> Result<(String, Path), EditError> {
    let schema = Schema::new(schema);
    let mut entry_path = list.clone();
    let text = edited(text, |layout| {
        let trail = find(&layout.root, list);
        let Some(Shape::Entries(entry)) = schema_at(schema, &trail).map(|schema| schema.shape()) else {
            return Err(EditError::NotAList { path: list.clone() });
        };
        let fields = fields(entry, list, values)?;
        let text = match trail.found() {
            Some(node) if node.is_list() => append(layout, &trail, &fields)?,
            Some(node) => {
                return Err(EditError::InTheWay { path: list.clone(), found: node.noun(), wanted: "a list" });
            }
            None => begin(layout, schema, &trail, &fields)?,
        };
        let edited = Layout::parse(&text)?;
        let mut steps = trail.steps.clone();
        steps.extend(trail.missing.iter().cloned().map(Step::Key));
        let trail = retrace(&edited.root, &steps);
        let step = trail.found().and_then(|node| edit_steps(node.entries()).pop());
        entry_path = list.join(step.ok_or_else(|| EditError::Unplaceable { path: list.clone() })?);
        drop(edited);
        Ok(Some(text))
    })?;
    Ok((text, entry_path))
}

/// The typed fields of a new entry as keys and TOML, in the schema's order.
fn fields(
    entry: Schema<'_>,
    list: &Path,
    values: &[(&str, &str)],
) -> Result<Vec<(String, String)>, EditError> {
    let Shape::Record(record) = entry.shape() else {
        return Err(EditError::NotAList { path: list.clone() });
    };
    for (key, _) in values {
        if !record.properties.contains_key(*key) {
            let keys: Vec<&str> = record.properties.keys().map(String::as_str).collect();
            let help = format!("the fields of an entry are {}", keys.join(", "));
            return Err(EditError::NoSuchField { path: list.join(key), help });
        }
    }
    let mut fields = Vec::new();
    for (key, field) in record.fields() {
        let Some((_, typed)) = values.iter().find(|(given, _)| *given == key) else { continue };
        let path = list.join(key);
        let Shape::Plain(kind) = field.shape() else {
            return Err(EditError::NotAField { path });
        };
        fields.extend(to_toml(&kind, &normal(typed), &path)?.map(|toml| (key.to_owned(), toml)));
    }
    Ok(fields)
}

fn lines(fields: &[(String, String)]) -> Vec<String> {
    fields.iter().map(|(key, toml)| format!("{} = {toml}", key_text(key))).collect()
}

fn braces(fields: &[(String, String)]) -> String {
    if fields.is_empty() { "{}".to_owned() } else { format!("{{ {} }}", lines(fields).join(", ")) }
}

fn entry_node(fields: &[(String, String)]) -> Option<Node> {
    let members = fields.iter().map(|(key, toml)| {
        super::value_of(toml).map(|node| Member { key: key.clone(), key_span: 0..0, node })
    });
    Some(Node::new(Content::Table(members.collect::<Option<_>>()?)))
}

/// Behind the last entry of a list that is there, in the way in which that one is written.
pub(crate) fn append(
    layout: &Layout<'_>,
    trail: &Trail<'_>,
    fields: &[(String, String)],
) -> Result<String, EditError> {
    let refuse = || EditError::Unplaceable { path: trail.path() };
    let list = trail.last();
    let splices = match (list.written, list.entries().last()) {
        (Written::Headers, Some(last)) => {
            let at = layout.blocks(last).last().map(|block| block.end).ok_or_else(refuse)?;
            vec![insert::section(layout, at, &layout.text[last.span.clone()], &lines(fields))]
        }
        (_, Some(last)) => brackets::insert_after(layout, &last.span, &braces(fields)),
        (_, None) => vec![brackets::insert_first(layout, list, &braces(fields))],
    };
    let text = spliced(layout.text, splices).ok_or_else(refuse)?;
    let mut entries = list.entries().to_vec();
    entries.push(entry_node(fields).ok_or_else(refuse)?);
    check(layout, trail, Some(Node::new(Content::List(entries))), text)
}

/// A list that is not there yet.
pub(crate) fn begin(
    layout: &Layout<'_>,
    schema: Schema<'_>,
    trail: &Trail<'_>,
    fields: &[(String, String)],
) -> Result<String, EditError> {
    let refuse = || EditError::Unplaceable { path: trail.path() };
    insert::must_be_table(trail)?;
    if !insert::may_have_headers(trail) {
        return put(layout, schema, trail, &format!("[{}]", braces(fields)));
    }
    let first = trail.missing.first().ok_or_else(refuse)?;
    let header = format!("[[{}]]", insert::header_path(trail, &trail.missing));
    let at = insert::section_place(layout, schema, trail, first);
    let splice = insert::section(layout, at, &header, &lines(fields));
    let text = spliced(layout.text, vec![splice]).ok_or_else(refuse)?;
    let list = Node::new(Content::List(vec![entry_node(fields).ok_or_else(refuse)?]));
    check(layout, trail, Some(list), text)
}

/// Takes an entry out of its list, with the comment lines directly above it.
///
/// # Errors
/// Text that is not TOML, and entries that are not there.
pub fn remove_entry(schema: &Value, text: &str, entry: &Path) -> Result<String, EditError> {
    edited(text, |layout| {
        let trail = find(&layout.root, entry);
        match (trail.found(), trail.steps.last()) {
            (Some(_), Some(Step::Index(_))) => take(layout, Schema::new(schema), &trail).map(Some),
            _ => Err(EditError::NoSuchEntry { path: entry.clone() }),
        }
    })
}

/// Moves an entry to another place of its list, counted from 1; the entries between move up or down.
///
/// # Errors
/// Text that is not TOML, entries that are not there, and places beyond the list.
pub fn move_entry(text: &str, entry: &Path, place: usize) -> Result<String, EditError> {
    edited(text, |layout| {
        let missing = || EditError::NoSuchEntry { path: entry.clone() };
        let trail = find(&layout.root, entry);
        let (Some(_), Some(Step::Index(from))) = (trail.found(), trail.steps.last()) else {
            return Err(missing());
        };
        let list = trail.up_to(trail.steps.len() - 1);
        let entries = list.last().entries();
        let to = place.checked_sub(1).filter(|to| *to < entries.len()).ok_or_else(missing)?;
        if to == *from {
            return Ok(None);
        }
        let mut order: Vec<usize> = (0..entries.len()).collect();
        let moved = order.remove(*from);
        order.insert(to, moved);
        reordered(layout, &list, &order).map(Some)
    })
}

/// The text with the entries of a list in another order: at place `i` stands what was entry `order[i]`.
pub(crate) fn reordered(layout: &Layout<'_>, list: &Trail<'_>, order: &[usize]) -> Result<String, EditError> {
    let entries = list.last().entries();
    let splices = match list.last().written {
        Written::Headers => reordered_blocks(layout, entries, order),
        _ => reordered_items(layout, entries, order),
    };
    let text = spliced(layout.text, splices).ok_or_else(|| EditError::Unplaceable { path: list.path() })?;
    let mut wanted = layout.root.clone();
    let sorted =
        Node::new(Content::List(order.iter().filter_map(|index| entries.get(*index).cloned()).collect()));
    super::change(&mut wanted, &list.steps, Some(sorted));
    says(&wanted, text, || list.path())
}

/// Blocks change places; the blank lines between the places stay.
fn reordered_blocks(layout: &Layout<'_>, entries: &[Node], order: &[usize]) -> Vec<Splice> {
    let text = layout.text;
    let blocks: Vec<Vec<Range<usize>>> = entries.iter().map(|entry| layout.blocks(entry)).collect();
    let body = |blocks: &[Range<usize>]| -> String {
        let whole: String = blocks.iter().map(|block| &text[block.clone()]).collect();
        whole.trim_end_matches(['\n', '\r']).to_owned()
    };
    let mut splices = Vec::new();
    for (place, index) in order.iter().enumerate().filter(|(place, index)| place != *index) {
        let [first, others @ ..] = blocks[place].as_slice() else { continue };
        let old = &text[first.clone()];
        let gap = &old[old.trim_end_matches(['\n', '\r']).len()..];
        splices.push(Splice::replace(first.clone(), body(&blocks[*index]) + gap));
        splices.extend(others.iter().cloned().map(Splice::remove));
    }
    splices
}

/// Items between brackets change places, each with the comment behind it on its line.
fn reordered_items(layout: &Layout<'_>, entries: &[Node], order: &[usize]) -> Vec<Splice> {
    let text = layout.text;
    // Where the comma after each item ends, and the comment behind that.
    let ends: Vec<(usize, usize)> = entries
        .iter()
        .map(|entry| {
            let end = brackets::comma_after(text, entry.span.end).map_or(entry.span.end, |comma| comma + 1);
            (end, brackets::after_comment(text, end))
        })
        .collect();
    // A comment ends its line; it moves only where every item ends a line.
    let may_move =
        ends.iter().all(|(_, end)| text[*end..].trim_start_matches([' ', '\t', '\r']).starts_with('\n'));
    let mut splices = Vec::new();
    for (place, index) in order.iter().enumerate().filter(|(place, index)| place != *index) {
        splices.push(Splice::replace(entries[place].span.clone(), &text[entries[*index].span.clone()]));
        if may_move {
            splices
                .push(Splice::replace(ends[place].0..ends[place].1, &text[ends[*index].0..ends[*index].1]));
        }
    }
    splices
}
