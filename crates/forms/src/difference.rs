//! What changed between two revisions of a document, in words.
//!
//! ```
//! let (old, new) = ("[plan]\ndecoder = \"a\"\n", "[plan]\ndecoder = \"b\" # better\n");
//! let changes = forms::difference::changes(old, new)?;
//! assert_eq!(changes.len(), 1);
//! assert_eq!(changes[0].to_string(), "Plan: decoder: from a to b");
//! # Ok::<(), forms::EditError>(())
//! ```

use std::collections::BTreeMap;
use std::fmt;

use finding::Path;

use crate::address::step_name;
use crate::align::{Fate, common_names, fates, has_tables, is_named};
use crate::edit::without_mark;
use crate::error::EditError;
use crate::layout::Layout;
use crate::node::{Content, Member, Node};
use crate::typed::{shown, toml_of};
use crate::vocabulary::spelled;

#[cfg(test)]
mod tests;

/// One change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// What changed: a field, or an entry that came or went as a whole. In the new document; in the old one for what is gone.
    pub path: Path,
    /// The path in words: "Survey: speaker A: part".
    pub label: String,
    /// What stood there, as a person would type it; none where nothing did.
    pub from: Option<String>,
    /// What stands there now; none where nothing does.
    pub to: Option<String>,
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.from, &self.to) {
            (Some(from), Some(to)) => write!(f, "{}: from {from} to {to}", self.label),
            (None, Some(to)) => write!(f, "{}: now {to}", self.label),
            (Some(from), None) => write!(f, "{}: no longer {from}", self.label),
            (None, None) => f.write_str(&self.label),
        }
    }
}

/// What changed from one text to another. Comments, order of keys and ways of writing do not count.
///
/// # Errors
/// Texts that are not TOML; those can only be compared line by line.
pub fn changes(old: &str, new: &str) -> Result<Vec<Change>, EditError> {
    let old = Layout::parse(without_mark(old).1)?;
    let new = Layout::parse(without_mark(new).1)?;
    Ok(between(Some(&old.root), Some(&new.root), &Place::default()))
}

/// Where a change is, as a path and in words.
#[derive(Debug, Clone, Default)]
pub(crate) struct Place {
    pub(crate) path: Path,
    words: String,
}

impl Place {
    pub(crate) fn key(&self, key: &str) -> Self {
        let words =
            if self.words.is_empty() { spelled(key) } else { format!("{}: {}", self.words, spelled(key)) };
        Self { path: self.path.join(key), words }
    }

    pub(crate) fn entry(&self, entry: &Node, index: usize) -> Self {
        let step = step_name(entry, index);
        Self { words: format!("{} {step}", self.words), path: self.path.join(step) }
    }

    pub(crate) fn label(&self) -> String {
        let mut letters = self.words.chars();
        letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
    }
}

/// The changes of a part of the tree.
pub(crate) fn between(old: Option<&Node>, new: Option<&Node>, place: &Place) -> Vec<Change> {
    let mut changes = Vec::new();
    walk(old, new, place, &mut changes);
    changes
}

fn walk(old: Option<&Node>, new: Option<&Node>, place: &Place, changes: &mut Vec<Change>) {
    if old == new {
        return;
    }
    let are = |is: fn(&Node) -> bool| [old, new].into_iter().flatten().all(is);
    let some = |is: fn(&Node) -> bool| [old, new].into_iter().flatten().any(is);
    if are(Node::is_table) && some(|table| !table.members().is_empty()) {
        let (old_members, new_members) = (members_of(old), members_of(new));
        for key in keys(old, new) {
            let (old, new) = (old_members.get(key).copied(), new_members.get(key).copied());
            walk(old, new, &place.key(key), changes);
        }
    } else if are(Node::is_list) && some(has_tables) {
        list(entries_of(old), entries_of(new), place, changes);
    } else {
        changes.push(change(old, new, place));
    }
}

/// The members of a table by their keys; none of what is not there.
pub(crate) fn members_of(table: Option<&Node>) -> BTreeMap<&str, &Node> {
    table.map_or_else(BTreeMap::new, Node::by_key)
}

pub(crate) fn entries_of(list: Option<&Node>) -> &[Node] {
    list.map_or(&[], Node::entries)
}

/// The keys of two tables: those of the new one in its order, then those that are gone.
pub(crate) fn keys<'n>(old: Option<&'n Node>, new: Option<&'n Node>) -> Vec<&'n str> {
    let members = |table: Option<&'n Node>| -> &'n [Member] { table.map_or(&[], Node::members) };
    let is_there = members_of(new);
    let gone = members(old).iter().filter(|member| !is_there.contains_key(member.key.as_str()));
    members(new).iter().chain(gone).map(|member| member.key.as_str()).collect()
}

fn change(old: Option<&Node>, new: Option<&Node>, place: &Place) -> Change {
    let (mut from, mut to) = (old.map(shown), new.map(shown));
    if from == to {
        // A number and the same number as a text look alike when typed.
        (from, to) = (old.map(toml_of), new.map(toml_of));
    }
    Change { path: place.path.clone(), label: place.label(), from, to }
}

fn list(old: &[Node], new: &[Node], place: &Place, changes: &mut Vec<Change>) {
    for fate in fates(old, new) {
        match fate {
            Fate::Same { old: from, new: to } => {
                walk(Some(&old[from]), Some(&new[to]), &place.entry(&new[to], to), changes);
            }
            Fate::Gone(index) => {
                let place = place.entry(&old[index], index);
                let from = Some(whole(&old[index]));
                changes.push(Change { label: place.label(), path: place.path, from, to: None });
            }
            Fate::New(index) => {
                let place = place.entry(&new[index], index);
                let to = Some(whole(&new[index]));
                changes.push(Change { label: place.label(), path: place.path, from: None, to });
            }
        }
    }
    if is_named(old) && is_named(new) {
        let (from, to) = (common_names(old, new), common_names(new, old));
        if from != to {
            changes.push(Change {
                path: place.path.clone(),
                label: format!("{}, order", place.label()),
                from: Some(from.join(", ")),
                to: Some(to.join(", ")),
            });
        }
    }
}

/// All that an entry says: "from A.red, to board.S1".
pub(crate) fn whole(entry: &Node) -> String {
    match &entry.content {
        Content::Table(members) if members.is_empty() => "nothing yet".to_owned(),
        Content::Table(members) => members
            .iter()
            .map(|member| format!("{} {}", spelled(&member.key), shown(&member.node)))
            .collect::<Vec<_>>()
            .join(", "),
        Content::Scalar(_) | Content::List(_) => shown(entry),
    }
}
