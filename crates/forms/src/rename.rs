//! A new name for an entry, and for all that speaks of it in the same document.
//!
//! Knows which fields of a work order name entries: the wires name speakers, components and pads, the plan names speakers that go out
//! and lamps that stay. Entries of other lists are just given their new name.

use documents::Name;
use finding::Path;
use serde_json::Value;

use crate::address::{Step, edit_steps, entry_name, find};
use crate::edit::{change, edited, put, says};
use crate::error::{EditError, shortened};
use crate::node::{Content, Node, Scalar, Written};
use crate::schema::Schema;
use crate::splice::{Splice, spliced};
use crate::typed::quoted;

#[cfg(test)]
mod tests;

/// Names that begin terminals of something else: `board.S1`, `motor.2` (`workorder::Terminal::TAKEN`).
const TAKEN: [&str; 5] = ["frame", "amplifier", "board", "motor", "rail"];

/// Entries that must not share names, and what speaks of them.
struct Kind {
    lists: &'static [&'static str],
    references: &'static [Reference],
    /// Whether terminals begin with the name, so that it must not mean something else there.
    begins_terminals: bool,
}

/// Fields that hold a name. `*` stands for each entry of a list.
struct Reference {
    fields: &'static [&'static str],
    /// Which of the lists the field speaks of; all of the kind's where empty.
    of: &'static str,
    form: Form,
}

enum Form {
    /// The name alone.
    Whole,
    /// The name, a dot and a lead.
    Part,
    /// `board`, a dot and the name.
    Pad,
}

const WIRE_ENDS: &[&str] = &["survey.wire.*.from", "survey.wire.*.to", "plan.wire.*.from", "plan.wire.*.to"];

const KINDS: [Kind; 4] = [
    Kind {
        lists: &["survey.speaker", "survey.component", "plan.speaker", "plan.component"],
        references: &[
            Reference { fields: WIRE_ENDS, of: "", form: Form::Part },
            Reference { fields: &["plan.remove.*"], of: "survey.speaker", form: Form::Whole },
        ],
        begins_terminals: true,
    },
    Kind {
        lists: &["survey.pad"],
        references: &[Reference { fields: WIRE_ENDS, of: "", form: Form::Pad }],
        begins_terminals: false,
    },
    Kind {
        lists: &["survey.lamp"],
        references: &[Reference { fields: &["plan.lamp.*.found"], of: "", form: Form::Whole }],
        begins_terminals: false,
    },
    Kind { lists: &["plan.lamp"], references: &[], begins_terminals: false },
];

/// A renamed entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Renamed {
    /// The new text.
    pub text: String,
    /// The entry's new path.
    pub path: Path,
    /// The fields that spoke of it and were changed too.
    pub references: Vec<Path>,
}

/// Gives an entry of a list a new name (by the path of the entry or of its `name`), and changes all that speaks of it by the old one:
/// `A.red` in a wire becomes `B.red`. To change the name alone, use [`crate::edit::set`].
///
/// # Errors
/// Text that is not TOML, entries that are not there, words that are no names, names that are taken, and an old name that two entries have.
pub fn rename(schema: &Value, text: &str, entry: &Path, new: &str) -> Result<Renamed, EditError> {
    let new = new.trim();
    if Name::new(new).is_err() {
        let wanted = "a name of letters, digits, `-`, `_` and `+`".to_owned();
        return Err(EditError::WrongKind { path: entry.clone(), typed: shortened(new), wanted });
    }
    let mut renamed = Renamed { text: String::new(), path: entry.clone(), references: Vec::new() };
    renamed.text = edited(text, |layout| {
        let mut trail = find(&layout.root, entry);
        if let [.., Step::Index(_), Step::Key(key)] = trail.steps.as_slice()
            && key == "name"
        {
            trail = trail.up_to(trail.steps.len() - 1);
        } else if trail.missing == ["name"] {
            trail.missing.clear();
        }
        let (Some(node), Some(Step::Index(index))) = (trail.found(), trail.steps.last()) else {
            return Err(EditError::NoSuchEntry { path: entry.clone() });
        };
        let list = trail.up_to(trail.steps.len() - 1);
        let mut wanted = layout.root.clone();
        let name_steps: Vec<Step> =
            trail.steps.iter().cloned().chain([Step::Key("name".to_owned())]).collect();
        let name = || Node::new(Content::Scalar(Scalar::Text(new.to_owned())));
        change(&mut wanted, &name_steps, Some(name()));
        let list_node = find(&wanted, &list.path());
        let step = list_node.found().and_then(|list| edit_steps(list.entries()).into_iter().nth(*index));
        renamed.path = list.path().join(step.unwrap_or_else(|| new.to_owned()));

        let Some(old) = entry_name(node) else {
            let mut trail = trail;
            trail.missing = vec!["name".to_owned()];
            return put(layout, Schema::new(schema), &trail, &quoted(new)).map(Some);
        };
        if old == new {
            return Ok(None);
        }
        let list_path = list.path();
        let mut splices = Vec::new();
        if let Some(kind) = KINDS.iter().find(|kind| kind.lists.contains(&list_path.as_str())) {
            may_be_renamed(&layout.root, kind, old, new)?;
            let speaks =
                |reference: &&Reference| reference.of.is_empty() || reference.of == list_path.as_str();
            for reference in kind.references.iter().filter(speaks) {
                for field in reference.fields {
                    for (steps, node) in matching(&layout.root, field) {
                        let Some(text) = reference.form.renamed(node, old, new) else { continue };
                        let path = crate::address::retrace(&layout.root, &steps).path();
                        renamed.references.push(path);
                        splices.push(Splice::replace(node.span.clone(), quoted(&text)));
                        change(&mut wanted, &steps, Some(Node::new(Content::Scalar(Scalar::Text(text)))));
                    }
                }
            }
        }
        let refuse = || EditError::Unplaceable { path: entry.clone() };
        let name = node.get("name").filter(|name| name.written == Written::Value).ok_or_else(refuse)?;
        splices.push(Splice::replace(name.span.clone(), quoted(new)));
        let text = spliced(layout.text, splices).ok_or_else(refuse)?;
        says(&wanted, text, || entry.clone()).map(Some)
    })?;
    Ok(renamed)
}

/// Whether the old name means one entry only, and the new one none.
fn may_be_renamed(root: &Node, kind: &Kind, old: &str, new: &str) -> Result<(), EditError> {
    let known: Vec<&str> = kind
        .lists
        .iter()
        .filter_map(|list| find(root, &Path::new(*list)).found())
        .flat_map(|list| list.entries().iter().filter_map(entry_name))
        .collect();
    let is_word = |name: &str| kind.begins_terminals && TAKEN.contains(&name);
    if known.contains(&new) || is_word(new) {
        return Err(EditError::NameTaken { name: new.to_owned() });
    }
    if known.iter().filter(|known| **known == old).count() > 1 || is_word(old) {
        return Err(EditError::NameUnclear { name: old.to_owned() });
    }
    Ok(())
}

impl Form {
    /// What a field says after the renaming; none where it speaks of something else.
    fn renamed(&self, node: &Node, old: &str, new: &str) -> Option<String> {
        let text = node.as_text()?;
        match self {
            Self::Whole => (text == old).then(|| new.to_owned()),
            Self::Part => {
                let (part, lead) = text.split_once('.')?;
                (part == old).then(|| format!("{new}.{lead}"))
            }
            Self::Pad => {
                let (part, pad) = text.split_once('.')?;
                (part == "board" && pad == old).then(|| format!("board.{new}"))
            }
        }
    }
}

/// The fields of a pattern such as `survey.wire.*.from`, with the steps to each.
fn matching<'n>(root: &'n Node, pattern: &str) -> Vec<(Vec<Step>, &'n Node)> {
    let mut found = vec![(Vec::new(), root)];
    for step in pattern.split('.') {
        found = found
            .into_iter()
            .flat_map(|(steps, node)| {
                let next: Vec<(Step, &Node)> = if step == "*" {
                    node.entries()
                        .iter()
                        .enumerate()
                        .map(|(index, entry)| (Step::Index(index), entry))
                        .collect()
                } else {
                    node.get(step).map(|node| (Step::Key(step.to_owned()), node)).into_iter().collect()
                };
                next.into_iter()
                    .map(move |(step, node)| ([steps.as_slice(), &[step]].concat(), node))
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    found
}
