//! From schema and tree to the form.

use finding::Path;

use super::{Field, Item, Keyed, List, Section, Unknown};
use crate::address::{edit_steps, entry_name, step_name};
use crate::node::{Content, Node};
use crate::schema::{Record, Schema, Shape};
use crate::typed::{shown, toml_of};
use crate::vocabulary::{KeyKind, label, spelled};

/// How deep tables may stand in each other; the parser's own limit lies below three times 80.
const DEEPEST: usize = 260;

/// Where an item stands.
struct Place<'p> {
    path: Path,
    told: Path,
    key: &'p str,
    label: String,
    is_required: bool,
}

impl<'p> Place<'p> {
    fn below(&self, key: &'p str, is_required: bool) -> Self {
        let (path, told) = (self.path.join(key), self.told.join(key));
        Self { path, told, key, label: label(key), is_required }
    }
}

struct Builder<'s> {
    can_edit: bool,
    /// The definitions that the item at hand lies within, so that records which contain themselves end.
    within: Vec<&'s str>,
    depth: usize,
}

pub(super) fn root(schema: Schema<'_>, node: &Node, can_edit: bool) -> Section {
    let mut builder = Builder { can_edit, within: Vec::new(), depth: 0 };
    let place = Place {
        path: Path::root(),
        told: Path::root(),
        key: "",
        label: schema.title().to_owned(),
        is_required: true,
    };
    builder.section(schema, Some(node), &place)
}

impl<'s> Builder<'s> {
    fn item(&mut self, schema: Schema<'s>, node: Option<&Node>, place: &Place<'_>) -> Item {
        match schema.shape() {
            Shape::Plain(kind) => Item::Field(Field {
                path: place.path.clone(),
                told: place.told.clone(),
                key: place.key.to_owned(),
                label: place.label.clone(),
                help: schema.help.to_owned(),
                kind,
                value: node.map(shown),
                is_required: place.is_required,
                faults: Vec::new(),
                suggestions: None,
            }),
            Shape::Record(_) => Item::Section(self.section(schema, node, place)),
            Shape::Entries(entry) => Item::List(self.list(schema, entry, node, place)),
            Shape::Keyed(values) => Item::Keyed(self.keyed(schema, values, node, place)),
        }
    }

    fn section(&mut self, schema: Schema<'s>, node: Option<&Node>, place: &Place<'_>) -> Section {
        let table = node.filter(|node| node.is_table());
        let mut section = Section {
            path: place.path.clone(),
            told: place.told.clone(),
            key: place.key.to_owned(),
            label: place.label.clone(),
            help: schema.help.to_owned(),
            is_required: place.is_required,
            is_written: node.is_some(),
            obstacle: node.filter(|node| !node.is_table()).map(shown),
            items: Vec::new(),
            unknown: Vec::new(),
            faults: Vec::new(),
        };
        if let Shape::Record(record) = schema.shape() {
            section.items = self.fields(schema, record, table, place);
            section.unknown = table.map_or_else(Vec::new, |table| unknown(record, table, &place.path));
        }
        section
    }

    /// The fields of a record. One that lies within its like is shown where it is written down only, else there would be no end.
    fn fields(
        &mut self,
        schema: Schema<'s>,
        record: Record<'s>,
        table: Option<&Node>,
        place: &Place<'_>,
    ) -> Vec<Item> {
        let is_known = !schema.definition.is_empty() && self.within.contains(&schema.definition);
        if (is_known && table.is_none()) || self.depth >= DEEPEST {
            return Vec::new();
        }
        self.within.push(schema.definition);
        self.depth += 1;
        let items = record
            .fields()
            .map(|(key, field)| {
                let node = table.and_then(|table| table.get(key));
                self.item(field, node, &place.below(key, record.is_required(key)))
            })
            .collect();
        self.depth -= 1;
        self.within.pop();
        items
    }

    fn list(
        &mut self,
        schema: Schema<'s>,
        entry: Schema<'s>,
        node: Option<&Node>,
        place: &Place<'_>,
    ) -> List {
        let nodes = node.map_or(&[][..], Node::entries);
        let steps = edit_steps(nodes);
        let entries = nodes
            .iter()
            .zip(&steps)
            .enumerate()
            .map(|(index, (node, step))| {
                let place = Place {
                    path: place.path.join(step),
                    told: place.told.join(step_name(node, index)),
                    key: step,
                    label: title(node, index, place.key),
                    is_required: false,
                };
                self.section(entry, Some(node), &place)
            })
            .collect();
        let next = (nodes.len() + 1).to_string();
        let blank = self.blank(entry, &place.below(&next, false));
        let obstacle = node.filter(|node| !node.is_list()).map(shown);
        List {
            path: place.path.clone(),
            told: place.told.clone(),
            key: place.key.to_owned(),
            label: place.label.clone(),
            help: schema.help.to_owned(),
            entries,
            blank,
            can_add: self.can_edit && obstacle.is_none(),
            obstacle,
            faults: Vec::new(),
        }
    }

    fn blank(&mut self, entry: Schema<'s>, place: &Place<'_>) -> Vec<Item> {
        match entry.shape() {
            Shape::Record(record) => self.fields(entry, record, None, place),
            Shape::Plain(_) => vec![self.item(entry, None, place)],
            Shape::Keyed(_) | Shape::Entries(_) => Vec::new(),
        }
    }

    fn keyed(
        &mut self,
        schema: Schema<'s>,
        values: Schema<'s>,
        node: Option<&Node>,
        place: &Place<'_>,
    ) -> Keyed {
        let key_kind = KeyKind::of(place.key);
        let members = node.map_or(&[][..], Node::members);
        let entries = if self.depth < DEEPEST {
            self.depth += 1;
            let entries = members
                .iter()
                .map(|member| self.item(values, Some(&member.node), &place.below(&member.key, false)))
                .collect();
            self.depth -= 1;
            entries
        } else {
            Vec::new()
        };
        let is_free = |key: &String| !members.iter().any(|member| member.key == *key);
        Keyed {
            path: place.path.clone(),
            told: place.told.clone(),
            key: place.key.to_owned(),
            label: place.label.clone(),
            help: schema.help.to_owned(),
            key_kind,
            entries,
            free: key_kind.offered().into_iter().filter(is_free).collect(),
            blank: self.blank(values, &place.below("", false)),
            obstacle: node.filter(|node| !node.is_table()).map(shown),
            faults: Vec::new(),
        }
    }
}

fn unknown(record: Record<'_>, table: &Node, path: &Path) -> Vec<Unknown> {
    table
        .members()
        .iter()
        .filter(|member| !record.properties.contains_key(&member.key))
        .map(|member| Unknown {
            path: path.join(&member.key),
            key: member.key.clone(),
            value: toml_of(&member.node),
        })
        .collect()
}

/// What an entry is called: by its name, else by its number and what it says.
pub(crate) fn title(entry: &Node, index: usize, list: &str) -> String {
    if let Some(name) = entry_name(entry) {
        return name.to_owned();
    }
    let number = format!("{} {}", spelled(list), index + 1);
    let summary = summary(entry);
    if summary.is_empty() { number } else { format!("{number}: {summary}") }
}

/// What an entry says, in a few words.
pub(crate) fn summary(entry: &Node) -> String {
    /// The first values tell entries apart; all of them would be the entry itself.
    const MOST: usize = 2;
    let text = |key: &str| entry.get(key).and_then(Node::as_text);
    if let (Some(from), Some(to)) = (text("from"), text("to")) {
        return format!("{} to {}", short(from), short(to));
    }
    if !entry.is_table() {
        return short(&shown(entry));
    }
    let plain = entry.members().iter().filter(|member| matches!(member.node.content, Content::Scalar(_)));
    plain.take(MOST).map(|member| short(&shown(&member.node))).collect::<Vec<_>>().join(", ")
}

fn short(text: &str) -> String {
    const MOST: usize = 60;
    let mut line: String = text.lines().next().unwrap_or("").chars().take(MOST).collect();
    if line.len() < text.len() {
        line.push('…');
    }
    line
}
