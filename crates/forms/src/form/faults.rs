//! Faults brought to the part of the form that they speak of: the field of their path, else the nearest part around it.

use std::collections::{BTreeMap, BTreeSet};

use documents::Faults;
use finding::Path;

use super::{Form, Item, Remark, Section};

pub(super) fn attach(form: &mut Form, faults: &Faults) {
    let mut known = BTreeSet::from([Path::root()]);
    visit(&mut form.root, &mut |path, _| {
        known.insert(path.clone());
    });
    let mut remarks: BTreeMap<Path, Vec<Remark>> = BTreeMap::new();
    for fault in &faults.list {
        // Faults of the text as TOML are told with their place already.
        let is_told = fault.path == Path::root()
            && form.text_faults.iter().any(|text_fault| text_fault.headline == fault.headline);
        if is_told {
            continue;
        }
        let mut path = fault.path.clone();
        while !known.contains(&path) {
            path = path.parent().unwrap_or_default();
        }
        let remark = Remark { headline: fault.headline.clone(), help: fault.help.clone() };
        remarks.entry(path).or_default().push(remark);
    }
    visit(&mut form.root, &mut |path, faults| {
        if let Some(remarks) = remarks.get(path) {
            faults.extend(remarks.iter().cloned());
        }
    });
}

/// Goes over all parts of a form with the paths that faults use. Parts of one path, which two entries of one name have, get the same faults.
fn visit(section: &mut Section, see: &mut dyn FnMut(&Path, &mut Vec<Remark>)) {
    see(&section.told, &mut section.faults);
    items(&mut section.items, see);
}

fn items(list: &mut [Item], see: &mut dyn FnMut(&Path, &mut Vec<Remark>)) {
    for item in list {
        match item {
            Item::Field(field) => see(&field.told, &mut field.faults),
            Item::Section(section) => visit(section, see),
            Item::List(list) => {
                see(&list.told, &mut list.faults);
                list.entries.iter_mut().for_each(|entry| visit(entry, see));
            }
            Item::Keyed(keyed) => {
                see(&keyed.told, &mut keyed.faults);
                items(&mut keyed.entries, see);
            }
        }
    }
}
