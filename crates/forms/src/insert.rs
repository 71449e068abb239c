//! Where something new goes in a text: a value, a line, a table with its header, in the schema's order.

use crate::address::{Step, Trail, retrace, schema_of};
use crate::brackets;
use crate::error::EditError;
use crate::layout::Layout;
use crate::node::{Content, Member, Node, Written};
use crate::schema::{Schema, Shape};
use crate::splice::{Splice, spliced};
use crate::typed::key_text;

/// Writes a TOML value at a trail, in the place of what stands there or as something new.
pub(crate) fn put(
    layout: &Layout<'_>,
    schema: Schema<'_>,
    trail: &Trail<'_>,
    toml: &str,
) -> Result<String, EditError> {
    let Some(node) = trail.found() else {
        return insert(layout, schema, trail, toml);
    };
    if node.written == Written::Value {
        return spliced(layout.text, vec![Splice::replace(node.span.clone(), toml)])
            .ok_or_else(|| EditError::Unplaceable { path: trail.path() });
    }
    // A table stands where a value belongs.
    let without = crate::remove::cut(layout, trail)?;
    let layout = Layout::parse(&without)?;
    let trail = retrace(&layout.root, &trail.steps);
    insert(&layout, schema, &trail, toml)
}

/// Writes a TOML value at a place that is not there yet, with the tables on the way to it.
fn insert(
    layout: &Layout<'_>,
    schema: Schema<'_>,
    trail: &Trail<'_>,
    toml: &str,
) -> Result<String, EditError> {
    let (Some(first), Some(last)) = (trail.missing.first(), trail.missing.last()) else {
        return Err(EditError::NotAField { path: trail.path() });
    };
    must_be_table(trail)?;
    let n_headers = n_headers(schema, trail);
    let splices = if n_headers == 0 {
        member(layout, schema, trail, first, &nested(&trail.missing[1..], toml))
    } else {
        let key = trail.missing.get(n_headers).unwrap_or(last);
        let value = nested(trail.missing.get(n_headers + 1..).unwrap_or(&[]), toml);
        let header = header_path(trail, &trail.missing[..n_headers]);
        let at = section_place(layout, schema, trail, first);
        vec![section(layout, at, &format!("[{header}]"), &[format!("{} = {value}", key_text(key))])]
    };
    spliced(layout.text, splices).ok_or_else(|| EditError::Unplaceable { path: trail.path() })
}

/// The deepest thing that is there must be a table, or nothing can be put into it.
pub(crate) fn must_be_table(trail: &Trail<'_>) -> Result<(), EditError> {
    match &trail.last().content {
        Content::Table(_) => Ok(()),
        Content::List(_) => {
            let path = trail.missing.iter().fold(trail.path(), |path, step| path.join(step));
            Err(EditError::NoSuchEntry { path })
        }
        Content::Scalar(_) => {
            Err(EditError::InTheWay { path: trail.path(), found: trail.last().noun(), wanted: "a table" })
        }
    }
}

/// Whether tables below a trail may get headers of their own: not within brackets, dotted keys or entries of lists.
pub(crate) fn may_have_headers(trail: &Trail<'_>) -> bool {
    trail.nodes.iter().all(|node| matches!(node.written, Written::Header | Written::Implied))
        && trail.steps.iter().all(|step| matches!(step, Step::Key(_)))
}

/// How many of the missing tables get a header; those of plain fields only are written in braces, except at the root.
fn n_headers(schema: Schema<'_>, trail: &Trail<'_>) -> usize {
    if !may_have_headers(trail) {
        return 0;
    }
    let tables = &trail.missing[..trail.missing.len() - 1];
    let mut here = schema_of(schema, trail);
    let mut count = 0;
    for key in tables {
        here = here.and_then(|schema| child(schema, key));
        let is_at_root = trail.steps.is_empty() && count == 0;
        if !is_at_root && !here.is_some_and(is_section) {
            break;
        }
        count += 1;
    }
    count
}

fn is_section(schema: Schema<'_>) -> bool {
    match schema.shape() {
        Shape::Keyed(_) => true,
        Shape::Record(record) => record.fields().any(|(_, field)| !matches!(field.shape(), Shape::Plain(_))),
        Shape::Entries(_) | Shape::Plain(_) => false,
    }
}

/// What belongs at a key of a table.
pub(crate) fn child<'s>(schema: Schema<'s>, key: &str) -> Option<Schema<'s>> {
    match schema.shape() {
        Shape::Record(record) => record.field(key),
        Shape::Keyed(values) => Some(values),
        Shape::Entries(_) | Shape::Plain(_) => None,
    }
}

fn nested(keys: &[String], toml: &str) -> String {
    keys.iter().rev().fold(toml.to_owned(), |value, key| format!("{{ {} = {value} }}", key_text(key)))
}

/// The inside of a header's brackets for tables below a trail.
pub(crate) fn header_path(trail: &Trail<'_>, more: &[String]) -> String {
    let there = trail.steps.iter().filter_map(|step| match step {
        Step::Key(key) => Some(key_text(key)),
        Step::Index(_) => None,
    });
    there.chain(more.iter().map(|key| key_text(key))).collect::<Vec<_>>().join(".")
}

/// The order of keys in a table: a record's as declared, those of a keyed table by their number.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Declared(usize),
    Numbered(String, u64, String),
}

fn rank(schema: Option<Schema<'_>>, key: &str) -> Option<Rank> {
    match schema?.shape() {
        Shape::Record(record) => record.properties.keys().position(|known| known == key).map(Rank::Declared),
        Shape::Keyed(_) => {
            let letters = key.trim_end_matches(|c: char| c.is_ascii_digit());
            let number = key[letters.len()..].parse().unwrap_or(0);
            Some(Rank::Numbered(letters.to_owned(), number, key.to_owned()))
        }
        Shape::Entries(_) | Shape::Plain(_) => None,
    }
}

/// The member that a new key follows: the nearest before it in the schema's order; the last one for keys nobody knows.
fn predecessor<'m>(
    schema: Option<Schema<'_>>,
    key: &str,
    members: impl Iterator<Item = &'m Member>,
) -> Option<&'m Member> {
    let Some(mine) = rank(schema, key) else {
        return members.last();
    };
    members
        .filter_map(|member| rank(schema, &member.key).map(|rank| (rank, member)))
        .filter(|(rank, _)| *rank < mine)
        .max_by(|(left, _), (right, _)| left.cmp(right))
        .map(|(_, member)| member)
}

/// A new key in a table that is there, however that is written.
fn member(layout: &Layout<'_>, schema: Schema<'_>, trail: &Trail<'_>, key: &str, toml: &str) -> Vec<Splice> {
    let table = trail.last();
    let here = schema_of(schema, trail);
    if table.written == Written::Implied {
        let at = layout.blocks(table).first().map_or(layout.text.len(), |block| block.start);
        let header = format!("[{}]", header_path(trail, &[]));
        return vec![section(layout, at, &header, &[format!("{} = {toml}", key_text(key))])];
    }
    // Dotted keys are lines of the table that they start from.
    let n_dotted = trail.nodes.iter().rev().take_while(|node| node.written == Written::Dotted).count();
    let host_at = trail.steps.len().saturating_sub(n_dotted);
    let host = trail.nodes[host_at];
    let mut dotted: String = String::new();
    for step in &trail.steps[host_at..] {
        if let Step::Key(key) = step {
            dotted += &(key_text(key) + ".");
        }
    }
    let line = format!("{dotted}{} = {toml}", key_text(key));
    let in_lines = table
        .members()
        .iter()
        .filter(|member| matches!(member.node.written, Written::Value | Written::Dotted));
    let previous = predecessor(here, key, in_lines.clone()).map(|member| end_of(&member.node));
    if host.written == Written::Value {
        let items = brackets::items(layout.text, host);
        let item = previous.and_then(|end| items.iter().find(|item| item.end == end));
        return match item {
            Some(item) => brackets::insert_after(layout, item, &line),
            None => vec![brackets::insert_first(layout, host, &line)],
        };
    }
    let first = in_lines.map(|member| member.key_span.start).min();
    vec![line_splice(layout, host, previous, first, &line)]
}

/// Where the values of a member end that are written as lines.
fn end_of(node: &Node) -> usize {
    match node.written {
        Written::Dotted => {
            node.members().iter().map(|member| end_of(&member.node)).max().unwrap_or(node.span.end)
        }
        Written::Value => node.span.end,
        // Tables with headers below a dotted key are no lines.
        Written::Header | Written::Implied | Written::Headers => 0,
    }
}

fn line_splice(
    layout: &Layout<'_>,
    host: &Node,
    previous: Option<usize>,
    first: Option<usize>,
    line: &str,
) -> Splice {
    let newline = layout.newline();
    let is_root = host.span.is_empty();
    let (at, indent) = match (previous, first) {
        (Some(end), _) => (layout.line_end(end), layout.indent(end)),
        (None, Some(first)) if is_root || host.written == Written::Dotted => {
            (layout.lead_start(first), layout.indent(first))
        }
        (None, first) if !is_root => {
            (layout.line_end(host.span.end), first.map_or("", |first| layout.indent(first)))
        }
        (None, _) => match layout.first_header() {
            // Keys of the root stand before all headers.
            Some(header) => {
                return Splice::insert(layout.lead_start(header), format!("{line}{newline}{newline}"));
            }
            None => (layout.text.len(), ""),
        },
    };
    if at == layout.text.len() && !layout.text.is_empty() && !layout.text.ends_with('\n') {
        return Splice::insert(at, format!("{newline}{indent}{line}"));
    }
    Splice::insert(at, format!("{indent}{line}{newline}"))
}

/// Where a new section goes below a trail: behind the sections before it in the schema's order.
pub(crate) fn section_place(layout: &Layout<'_>, schema: Schema<'_>, trail: &Trail<'_>, key: &str) -> usize {
    let parent = trail.last();
    let sections = parent
        .members()
        .iter()
        .filter(|member| !matches!(member.node.written, Written::Value | Written::Dotted));
    if let Some(block) = predecessor(schema_of(schema, trail), key, sections)
        .and_then(|member| layout.blocks(&member.node).pop())
    {
        return block.end;
    }
    if trail.steps.is_empty() {
        return layout.first_header().map_or(layout.text.len(), |header| layout.lead_start(header));
    }
    match parent.written {
        Written::Header => layout.block_end(parent.span.start),
        _ => layout.blocks(parent).first().map_or(layout.text.len(), |block| block.start),
    }
}

/// A header with lines below it, set off by blank lines.
pub(crate) fn section(layout: &Layout<'_>, at: usize, header: &str, lines: &[String]) -> Splice {
    let newline = layout.newline();
    let before = &layout.text[..at];
    let mut text = String::new();
    if !before.is_empty() {
        if !before.ends_with('\n') {
            text += newline;
        }
        let is_set_off = before.ends_with("\n\n") || before.ends_with("\n\r\n");
        if !is_set_off {
            text += newline;
        }
    }
    text += header;
    text += newline;
    for line in lines {
        text += line;
        text += newline;
    }
    if at < layout.text.len() {
        text += newline;
    }
    Splice::insert(at, text)
}
