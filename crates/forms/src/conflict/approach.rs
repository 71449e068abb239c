//! A text brought to say what a tree says, by the edits that a person would make: comments and order stay wherever the text says the same.

use crate::address::{Step, Trail, retrace};
use crate::align::{Fate, fates, has_tables};
use crate::edit::{append_entry, begin_list, put, reordered, says, take};
use crate::error::EditError;
use crate::layout::Layout;
use crate::node::{Content, Node, Written};
use crate::schema::Schema;
use crate::splice::{Splice, spliced};
use crate::typed::toml_of;

/// Bytes that may be parsed over and over, a few times for each table or entry that comes or goes: four thousand of them in an order of
/// five kilobytes, thirty in one of ten thousand wires.
const MOST_WORK: usize = 20_000_000;

/// The text, edited until it says what the tree says.
pub(super) fn approach(schema: Schema<'_>, text: &str, wanted: &Node) -> Result<String, EditError> {
    let mut text = text.to_owned();
    let most = (MOST_WORK / text.len().max(1)).max(1);
    let mut count = 0;
    loop {
        let layout = Layout::parse(&text)?;
        let mut steps = Vec::new();
        let Some(act) = next(&layout.root, wanted, &mut steps) else {
            let mut splices = Vec::new();
            values(&layout.root, wanted, &mut splices);
            let edited = spliced(&text, splices).unwrap_or_default();
            return says(wanted, edited, finding::Path::root);
        };
        count += 1;
        if count > most {
            return Err(EditError::TooManyChanges { most });
        }
        text = perform(&layout, schema, &act, &steps)?;
    }
}

/// An edit that changes what tables and entries there are; where is told by steps beside it.
enum Act {
    /// Takes out what is there.
    Take,
    /// Writes a value.
    Put(String),
    /// Adds an entry to a list, which is made where it is not there.
    Add(Node),
    /// Sorts the entries of a list.
    Sort(Vec<usize>),
}

fn perform(layout: &Layout<'_>, schema: Schema<'_>, act: &Act, steps: &[Step]) -> Result<String, EditError> {
    let trail = retrace(&layout.root, steps);
    match act {
        Act::Take => take(layout, schema, &trail),
        Act::Put(toml) => put(layout, schema, &trail, toml),
        Act::Sort(order) => reordered(layout, &trail, order),
        Act::Add(entry) => add(layout, schema, &trail, entry),
    }
}

fn add(
    layout: &Layout<'_>,
    schema: Schema<'_>,
    trail: &Trail<'_>,
    entry: &Node,
) -> Result<String, EditError> {
    let fields: Vec<(String, String)> =
        entry.members().iter().map(|member| (member.key.clone(), toml_of(&member.node))).collect();
    if trail.found().is_some() {
        append_entry(layout, trail, &fields)
    } else {
        begin_list(layout, schema, trail, &fields)
    }
}

/// The first edit that is needed, its place in `steps`; none where only values differ.
fn next(is: &Node, wanted: &Node, steps: &mut Vec<Step>) -> Option<Act> {
    match (&is.content, &wanted.content) {
        (Content::Table(members), Content::Table(wanted_members)) => {
            let (is_there, is_wanted) = (is.by_key(), wanted.by_key());
            for member in members {
                steps.push(Step::Key(member.key.clone()));
                match is_wanted.get(member.key.as_str()) {
                    None => return Some(Act::Take),
                    Some(wanted) => {
                        if let Some(act) = next(&member.node, wanted, steps) {
                            return Some(act);
                        }
                    }
                }
                steps.pop();
            }
            let new = wanted_members
                .iter()
                .find(|member| !is_there.contains_key(member.key.as_str()) && says_something(&member.node))?;
            steps.push(Step::Key(new.key.clone()));
            Some(make(&new.node, steps))
        }
        (Content::List(entries), Content::List(wanted_entries)) if has_tables(is) || has_tables(wanted) => {
            next_of_list(entries, wanted_entries, steps)
        }
        (Content::Table(_), _) | (_, Content::Table(_)) => Some(Act::Put(toml_of(wanted))),
        _ if is.written != Written::Value => Some(Act::Put(toml_of(wanted))),
        _ => None,
    }
}

/// Tables and lists that hold nothing say nothing, and are not made.
fn says_something(node: &Node) -> bool {
    match &node.content {
        Content::Scalar(_) => true,
        Content::Table(members) => members.iter().any(|member| says_something(&member.node)),
        Content::List(entries) => !entries.is_empty(),
    }
}

/// Something new is made by its first field, so that it gets the form that people give it; the others follow.
fn make(node: &Node, steps: &mut Vec<Step>) -> Act {
    match &node.content {
        Content::Table(members) => match members.iter().find(|member| says_something(&member.node)) {
            Some(first) => {
                steps.push(Step::Key(first.key.clone()));
                make(&first.node, steps)
            }
            None => Act::Put(toml_of(node)),
        },
        Content::List(entries) if entries.iter().all(Node::is_table) && !entries.is_empty() => {
            Act::Add(entries[0].clone())
        }
        _ => Act::Put(toml_of(node)),
    }
}

fn next_of_list(is: &[Node], wanted: &[Node], steps: &mut Vec<Step>) -> Option<Act> {
    // What holds nothing makes no difference.
    let told = |entries: &[Node]| -> Vec<Node> { entries.iter().map(Node::without_empties).collect() };
    let fates = fates(&told(is), &told(wanted));
    // The last one first, so that the numbers of the others hold.
    let gone =
        fates.iter().rev().find_map(|fate| if let Fate::Gone(index) = fate { Some(*index) } else { None });
    if let Some(index) = gone {
        steps.push(Step::Index(index));
        return Some(Act::Take);
    }
    if let Some(entry) =
        fates.iter().find_map(|fate| if let Fate::New(index) = fate { wanted.get(*index) } else { None })
    {
        return Some(Act::Add(entry.clone()));
    }
    let mut order = vec![0; is.len()];
    for fate in &fates {
        if let Fate::Same { old, new } = fate {
            order[*new] = *old;
        }
    }
    if order.iter().enumerate().any(|(place, index)| place != *index) {
        return Some(Act::Sort(order));
    }
    for (index, (is, wanted)) in is.iter().zip(wanted).enumerate() {
        steps.push(Step::Index(index));
        if let Some(act) = next(is, wanted, steps) {
            return Some(act);
        }
        steps.pop();
    }
    None
}

/// The values that differ, once all tables and entries are there.
fn values(is: &Node, wanted: &Node, splices: &mut Vec<Splice>) {
    match (&is.content, &wanted.content) {
        (Content::Table(members), Content::Table(_)) => {
            let wanted = wanted.by_key();
            for member in members {
                if let Some(wanted) = wanted.get(member.key.as_str()) {
                    values(&member.node, wanted, splices);
                }
            }
        }
        (Content::List(entries), Content::List(wanted_entries)) if has_tables(is) || has_tables(wanted) => {
            entries.iter().zip(wanted_entries).for_each(|(is, wanted)| values(is, wanted, splices));
        }
        _ if is != wanted => splices.push(Splice::replace(is.span.clone(), toml_of(wanted))),
        _ => {}
    }
}
