//! From a path to the place in a document's tree, as `documents` builds paths: keys joined by dots, entries of a list by their name,
//! those without a name by their number from 1.
//!
//! Besides, a step `#2` always means the second entry. Half-finished documents can have two entries of one name, or one that is named
//! "2"; forms address those by such a step.

use std::collections::BTreeMap;

use documents::Name;
use finding::Path;

use crate::node::{Member, Node};
use crate::schema::{Schema, Shape};

/// One step of a path, resolved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Step {
    Key(String),
    Index(usize),
}

/// How far a path leads in a tree.
#[derive(Debug)]
pub(crate) struct Trail<'n> {
    /// The steps that exist.
    pub(crate) steps: Vec<Step>,
    /// The root, and what is found after each step.
    pub(crate) nodes: Vec<&'n Node>,
    /// The steps that do not exist.
    pub(crate) missing: Vec<String>,
}

impl<'n> Trail<'n> {
    /// What the path means; none where it is not written down.
    pub(crate) fn found(&self) -> Option<&'n Node> {
        if self.missing.is_empty() { self.nodes.last().copied() } else { None }
    }

    /// The deepest thing that is written down.
    pub(crate) fn last(&self) -> &'n Node {
        // The root is always there.
        self.nodes[self.nodes.len() - 1]
    }

    /// The same trail, cut short after so many steps.
    pub(crate) fn up_to(&self, count: usize) -> Trail<'n> {
        Trail {
            steps: self.steps[..count].to_vec(),
            nodes: self.nodes[..=count].to_vec(),
            missing: Vec::new(),
        }
    }

    /// The member that the last existing step leads to; none for entries of lists and the root.
    pub(crate) fn member(&self) -> Option<&'n Member> {
        let (Some(Step::Key(key)), Some(parent)) = (self.steps.last(), self.nodes.iter().rev().nth(1)) else {
            return None;
        };
        parent.member(key)
    }

    /// The trail as a path of keys and numbers.
    pub(crate) fn path(&self) -> Path {
        let mut path = Path::root();
        for (parent, step) in self.nodes.iter().zip(&self.steps) {
            path = path.join(step_text(parent, step));
        }
        path
    }
}

fn step_text(parent: &Node, step: &Step) -> String {
    match step {
        Step::Key(key) => key.clone(),
        Step::Index(index) => {
            parent.entries().get(*index).map_or_else(String::new, |entry| step_name(entry, *index))
        }
    }
}

/// Follows a path as far as it goes.
pub(crate) fn find<'n>(root: &'n Node, path: &Path) -> Trail<'n> {
    let mut trail = Trail { steps: Vec::new(), nodes: vec![root], missing: Vec::new() };
    let mut rest = Some(path.as_str()).filter(|text| !text.is_empty());
    while let Some(text) = rest {
        let here = trail.last();
        let (step, node, after) = if here.is_list() {
            let (step, after) = split(text, text.find('.'));
            let Some(index) = entry_index(here.entries(), step) else { break };
            (Step::Index(index), &here.entries()[index], after)
        } else if let Some((member, after)) = longest_member(here, text) {
            (Step::Key(member.key.clone()), &member.node, after)
        } else {
            break;
        };
        trail.steps.push(step);
        trail.nodes.push(node);
        rest = after;
    }
    trail.missing = rest.map_or_else(Vec::new, |rest| rest.split('.').map(str::to_owned).collect());
    trail
}

fn split(text: &str, at: Option<usize>) -> (&str, Option<&str>) {
    at.map_or((text, None), |dot| (&text[..dot], Some(&text[dot + 1..])))
}

/// The member that a path goes on with. A key in quotes may hold dots, so that it takes more than one step.
fn longest_member<'n, 't>(table: &'n Node, text: &'t str) -> Option<(&'n Member, Option<&'t str>)> {
    let (first, after) = split(text, text.find('.'));
    if let Some(member) = table.member(first) {
        return Some((member, after));
    }
    table.members().iter().filter(|member| member.key.contains('.')).find_map(|member| {
        let rest = text.strip_prefix(member.key.as_str())?;
        if rest.is_empty() {
            Some((member, None))
        } else {
            rest.strip_prefix('.').map(|rest| (member, Some(rest)))
        }
    })
}

/// How a path names an entry of a list.
pub(crate) fn step_name(entry: &Node, index: usize) -> String {
    entry_name(entry).map_or_else(|| (index + 1).to_string(), str::to_owned)
}

/// The name of an entry, where it can be a step of a path.
pub(crate) fn entry_name(entry: &Node) -> Option<&str> {
    entry.get("name").and_then(Node::as_text).filter(|name| Name::new(name).is_ok())
}

/// The entry that a step means: by `#number`, by name or number as the reader builds paths, or by the number of a named entry.
fn entry_index(entries: &[Node], step: &str) -> Option<usize> {
    let number = |digits: &str| {
        digits
            .parse::<usize>()
            .ok()
            .filter(|number| (1..=entries.len()).contains(number))
            .map(|number| number - 1)
    };
    if let Some(digits) = step.strip_prefix('#') {
        return number(digits);
    }
    let by_number = number(step);
    entries
        .iter()
        .enumerate()
        .position(|(index, entry)| match entry_name(entry) {
            Some(name) => name == step,
            None => by_number == Some(index) && (index + 1).to_string() == step,
        })
        .or(by_number)
}

/// The steps by which a form addresses each entry of a list: the reader's step where only this entry has it.
pub(crate) fn edit_steps(entries: &[Node]) -> Vec<String> {
    let told: Vec<String> =
        entries.iter().enumerate().map(|(index, entry)| step_name(entry, index)).collect();
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, step) in told.iter().enumerate() {
        first.entry(step).or_insert(index);
    }
    told.iter()
        .enumerate()
        .map(
            |(index, step)| {
                if first.get(step.as_str()) == Some(&index) {
                    step.clone()
                } else {
                    format!("#{}", index + 1)
                }
            },
        )
        .collect()
}

/// What a schema says about the place of a trail; none where it knows no such place.
pub(crate) fn schema_of<'s>(schema: Schema<'s>, trail: &Trail<'_>) -> Option<Schema<'s>> {
    trail.steps.iter().try_fold(schema, |schema, step| match (schema.shape(), step) {
        (Shape::Record(record), Step::Key(key)) => record.field(key),
        (Shape::Keyed(values), Step::Key(_)) => Some(values),
        (Shape::Entries(entry), Step::Index(_)) => Some(entry),
        _ => None,
    })
}

/// Follows resolved steps as far as they go in another tree.
pub(crate) fn retrace<'n>(root: &'n Node, steps: &[Step]) -> Trail<'n> {
    let mut trail = Trail { steps: Vec::new(), nodes: vec![root], missing: Vec::new() };
    for (count, step) in steps.iter().enumerate() {
        let next = match step {
            Step::Key(key) => trail.last().get(key),
            Step::Index(index) => trail.last().entries().get(*index),
        };
        let Some(node) = next else {
            trail.missing = steps[count..]
                .iter()
                .map(|step| match step {
                    Step::Key(key) => key.clone(),
                    Step::Index(index) => (index + 1).to_string(),
                })
                .collect();
            break;
        };
        trail.steps.push(step.clone());
        trail.nodes.push(node);
    }
    trail
}
