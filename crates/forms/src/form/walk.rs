//! Walks over a form: all its fields, and the suggestions for them.

use std::collections::BTreeMap;

use finding::Path;

use super::{Field, Form, Item, Section};

/// All fields below a section.
pub(super) fn fields(section: &Section) -> impl Iterator<Item = &Field> {
    let mut found = Vec::new();
    collect(&section.items, &mut found);
    found.into_iter()
}

fn collect<'f>(items: &'f [Item], found: &mut Vec<&'f Field>) {
    for item in items {
        match item {
            Item::Field(field) => found.push(field),
            Item::Section(section) => collect(&section.items, found),
            Item::List(list) => list.entries.iter().for_each(|entry| collect(&entry.items, found)),
            Item::Keyed(keyed) => collect(&keyed.entries, found),
        }
    }
}

/// Fills in suggestions, blank fields included.
pub(super) fn suggest(form: &mut Form, suggest: &dyn Fn(&Path, &str) -> Vec<String>) {
    let mut asked = Asked { suggest, known: BTreeMap::new() };
    asked.items(&mut form.root.items);
    let mut lists: Vec<(usize, Vec<String>)> =
        asked.known.into_iter().map(|(list, number)| (number, list)).collect();
    lists.sort_unstable();
    form.suggestions = lists.into_iter().map(|(_, list)| list).collect();
}

struct Asked<'a> {
    suggest: &'a dyn Fn(&Path, &str) -> Vec<String>,
    known: BTreeMap<Vec<String>, usize>,
}

impl Asked<'_> {
    fn items(&mut self, items: &mut [Item]) {
        for item in items {
            match item {
                Item::Field(field) => {
                    let list = (self.suggest)(&field.path, field.kind.word());
                    if !list.is_empty() {
                        let next = self.known.len();
                        field.suggestions = Some(*self.known.entry(list).or_insert(next));
                    }
                }
                Item::Section(section) => self.items(&mut section.items),
                Item::List(list) => {
                    list.entries.iter_mut().for_each(|entry| self.items(&mut entry.items));
                    self.items(&mut list.blank);
                }
                Item::Keyed(keyed) => {
                    let keys = (self.suggest)(&keyed.path, "key");
                    if !keys.is_empty() {
                        let is_there = |key: &String| keyed.entries.iter().any(|entry| entry.key() == key);
                        keyed.free = keys.into_iter().filter(|key| !is_there(key)).collect();
                    }
                    self.items(&mut keyed.entries);
                    self.items(&mut keyed.blank);
                }
            }
        }
    }
}

impl Item {
    /// The last step of the item's path.
    #[must_use]
    pub fn key(&self) -> &str {
        match self {
            Self::Field(field) => &field.key,
            Self::Section(section) => &section.key,
            Self::List(list) => &list.key,
            Self::Keyed(keyed) => &keyed.key,
        }
    }

    /// The path for edits.
    #[must_use]
    pub fn path(&self) -> &Path {
        match self {
            Self::Field(field) => &field.path,
            Self::Section(section) => &section.path,
            Self::List(list) => &list.path,
            Self::Keyed(keyed) => &keyed.path,
        }
    }
}
