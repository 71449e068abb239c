//! The comparison of two edits with what both started from, part by part.
//!
//! Lists whose entries all have names are compared name by name. Other lists are cut at the entries that all three have (the method of
//! diff3, Khanna, Kunal and Pierce 2007, from memory), and the pieces between are compared.

use std::collections::BTreeMap;
use std::ops::Range;

use finding::Path;

use super::{ChangedBy, FieldDifference, Side};
use crate::address::entry_name;
use crate::align::{by_name, common_names, has_tables, is_akin, is_named, matched};
use crate::difference::{Place, between, entries_of, keys, members_of, whole};
use crate::node::{Content, Member, Node};

/// The result of a comparison.
pub(super) struct ThreeWay {
    /// Both edits in one tree; ours where a conflict is undecided.
    pub(super) merged: Node,
    pub(super) differences: Vec<FieldDifference>,
    pub(super) is_undecided: bool,
}

impl ThreeWay {
    pub(super) fn of(
        base: &Node,
        ours: &Node,
        theirs: &Node,
        choose: &dyn Fn(&FieldDifference) -> Option<Side>,
    ) -> Self {
        let mut walk = Walk { choose, differences: Vec::new(), is_undecided: false };
        let three = Three { base: Some(base), ours: Some(ours), theirs: Some(theirs) };
        let merged = walk.part(three, &Place::default()).unwrap_or(Node::new(Content::Table(Vec::new())));
        Self { merged, differences: walk.differences, is_undecided: walk.is_undecided }
    }
}

#[derive(Clone, Copy)]
struct Three<'n> {
    base: Option<&'n Node>,
    ours: Option<&'n Node>,
    theirs: Option<&'n Node>,
}

impl Three<'_> {
    fn all(&self, is: fn(&Node) -> bool) -> bool {
        [self.base, self.ours, self.theirs].into_iter().flatten().all(is)
    }

    fn any(&self, is: fn(&Node) -> bool) -> bool {
        [self.base, self.ours, self.theirs].into_iter().flatten().any(is)
    }
}

struct Walk<'c> {
    choose: &'c dyn Fn(&FieldDifference) -> Option<Side>,
    differences: Vec<FieldDifference>,
    is_undecided: bool,
}

impl Walk<'_> {
    fn part(&mut self, three: Three<'_>, place: &Place) -> Option<Node> {
        let Three { base, ours, theirs } = three;
        if ours == theirs {
            return ours.cloned();
        }
        if base == ours {
            self.one_sided(base, theirs, ChangedBy::Theirs, place);
            return theirs.cloned();
        }
        if base == theirs {
            self.one_sided(base, ours, ChangedBy::Ours, place);
            return ours.cloned();
        }
        // Neither edit is the base's, but one may have taken the part away; only what both have can be gone into.
        let both_there = ours.is_some() && theirs.is_some();
        if both_there && three.all(Node::is_table) {
            return Some(self.table(three, place));
        }
        if both_there && three.all(Node::is_list) && three.any(has_tables) {
            return Some(Node::new(Content::List(self.list(three, place))));
        }
        self.conflict(place, place.label(), base.map(whole), ours.map(whole), theirs.map(whole))
            .pick(ours, theirs)
            .cloned()
    }

    fn one_sided(&mut self, base: Option<&Node>, changed: Option<&Node>, by: ChangedBy, place: &Place) {
        for change in between(base, changed, place) {
            let (ours, theirs) = if by == ChangedBy::Ours {
                (change.to, change.from.clone())
            } else {
                (change.from.clone(), change.to)
            };
            self.note(change.path, change.label, [change.from, ours, theirs], by);
        }
    }

    fn note(&mut self, path: Path, label: String, [base, ours, theirs]: [Option<String>; 3], by: ChangedBy) {
        self.differences.push(FieldDifference { path, label, base, ours, theirs, changed_by: by });
    }

    /// Notes a conflict, and whose version holds.
    fn conflict(
        &mut self,
        place: &Place,
        label: String,
        base: Option<String>,
        ours: Option<String>,
        theirs: Option<String>,
    ) -> Side {
        let difference = FieldDifference {
            path: place.path.clone(),
            label,
            base,
            ours,
            theirs,
            changed_by: ChangedBy::Both,
        };
        let chosen = (self.choose)(&difference);
        self.differences.push(difference);
        self.is_undecided |= chosen.is_none();
        chosen.unwrap_or(Side::Ours)
    }

    fn table(&mut self, three: Three<'_>, place: &Place) -> Node {
        let [base, ours, theirs] = [three.base, three.ours, three.theirs].map(members_of);
        let members = keys(three.theirs, three.ours).into_iter().filter_map(|key| {
            let member = Three {
                base: base.get(key).copied(),
                ours: ours.get(key).copied(),
                theirs: theirs.get(key).copied(),
            };
            let node = self.part(member, &place.key(key))?;
            Some(Member { key: key.to_owned(), key_span: 0..0, node })
        });
        Node::new(Content::Table(members.collect()))
    }

    fn list(&mut self, three: Three<'_>, place: &Place) -> Vec<Node> {
        let lists = [three.base, three.ours, three.theirs].map(entries_of);
        if lists.iter().all(|list| is_named(list)) {
            self.named_list(lists, place)
        } else {
            self.unnamed_list(lists, place)
        }
    }

    fn named_list(&mut self, lists: [&[Node]; 3], place: &Place) -> Vec<Node> {
        let [base, ours, theirs] = lists;
        let at = lists.map(by_name);
        let entry = |list: usize, name: &str| at[list].get(name).map(|index| &lists[list][*index]);
        // The order of whoever changed it; what the other one added follows.
        let was = common_names(base, ours);
        let moved_by_us = was != common_names(ours, base);
        let moved_by_them = common_names(base, theirs) != common_names(theirs, base);
        let is_clash =
            moved_by_us && moved_by_them && common_names(ours, theirs) != common_names(theirs, ours);
        let order = |list: &[Node]| Some(list.iter().filter_map(entry_name).collect::<Vec<_>>().join(", "));
        let label = format!("{}, order", place.label());
        let side = if is_clash {
            self.conflict(place, label, order(base), order(ours), order(theirs))
        } else {
            let by = if moved_by_them { ChangedBy::Theirs } else { ChangedBy::Ours };
            if moved_by_us != moved_by_them {
                self.note(place.path.clone(), label, [order(base), order(ours), order(theirs)], by);
            }
            if moved_by_them && !moved_by_us { Side::Theirs } else { Side::Ours }
        };
        let (leading, following, led) = match side {
            Side::Ours => (ours, theirs, &at[1]),
            Side::Theirs => (theirs, ours, &at[2]),
        };
        let is_new = |entry: &&Node| entry_name(entry).is_some_and(|name| !led.contains_key(name));
        let added = following.iter().filter(is_new);
        let names: Vec<&str> = leading.iter().chain(added).filter_map(entry_name).collect();
        names
            .into_iter()
            .enumerate()
            .filter_map(|(index, name)| {
                let three = Three { base: entry(0, name), ours: entry(1, name), theirs: entry(2, name) };
                let shown = three.ours.or(three.theirs).or(three.base)?;
                self.part(three, &place.entry(shown, index))
            })
            .collect()
    }

    fn unnamed_list(&mut self, lists: [&[Node]; 3], place: &Place) -> Vec<Node> {
        let [base, ours, theirs] = lists;
        let in_theirs: BTreeMap<usize, usize> = matched(base, theirs).into_iter().collect();
        let mut merged = Vec::new();
        let mut from = [0; 3];
        let stable = matched(base, ours)
            .into_iter()
            .filter_map(|(base, ours)| in_theirs.get(&base).map(|theirs| [base, ours, *theirs]));
        for to in stable.chain([[base.len(), ours.len(), theirs.len()]]) {
            let ranges = [0, 1, 2].map(|list| from[list]..to[list]);
            merged.extend(self.piece(lists, &ranges, place));
            // The entry at which the lists are cut; none at the end.
            merged.extend(ours.get(to[1]).cloned());
            from = to.map(|index| index + 1);
        }
        merged
    }

    /// A piece of three lists between two entries that all of them have.
    fn piece(&mut self, lists: [&[Node]; 3], ranges: &[Range<usize>; 3], place: &Place) -> Vec<Node> {
        let [base, ours, theirs] = [0, 1, 2].map(|list| &lists[list][ranges[list].clone()]);
        if ours == theirs {
            return ours.to_vec();
        }
        if is_edited_in_place(base, ours) && is_edited_in_place(base, theirs) {
            let start = ranges[1].start;
            let entries = base.iter().zip(ours).zip(theirs).enumerate();
            return entries
                .filter_map(|(index, ((base, ours), theirs))| {
                    let three = Three { base: Some(base), ours: Some(ours), theirs: Some(theirs) };
                    self.part(three, &place.entry(ours, start + index))
                })
                .collect();
        }
        if base == ours || base == theirs {
            return self.replaced(lists, ranges, place);
        }
        if base.is_empty() {
            // Both added something at this place; nothing of it is lost.
            let also = theirs.iter().filter(|entry| !ours.contains(entry));
            for (index, entry) in ranges[1].clone().zip(ours) {
                self.added(entry, index, ChangedBy::Ours, place);
            }
            for (index, entry) in ranges[2].clone().zip(theirs).filter(|(_, entry)| !ours.contains(entry)) {
                self.added(entry, index, ChangedBy::Theirs, place);
            }
            return ours.iter().chain(also).cloned().collect();
        }
        let told =
            |list: &[Node]| (!list.is_empty()).then(|| list.iter().map(whole).collect::<Vec<_>>().join("; "));
        self.conflict(place, place.label(), told(base), told(ours), told(theirs)).pick(ours, theirs).to_vec()
    }

    /// A piece that only one edit changed. Told entry by entry, with the numbers that they have in the whole list.
    fn replaced(&mut self, lists: [&[Node]; 3], ranges: &[Range<usize>; 3], place: &Place) -> Vec<Node> {
        let [base, ours, theirs] = [0, 1, 2].map(|list| &lists[list][ranges[list].clone()]);
        let (by, list, changed) =
            if base == ours { (ChangedBy::Theirs, 2, theirs) } else { (ChangedBy::Ours, 1, ours) };
        for (index, entry) in ranges[0].clone().zip(base).filter(|(_, entry)| !changed.contains(entry)) {
            let told = Some(whole(entry));
            let (ours, theirs) =
                if by == ChangedBy::Ours { (None, told.clone()) } else { (told.clone(), None) };
            let place = place.entry(entry, index);
            let label = place.label();
            self.note(place.path, label, [told, ours, theirs], by);
        }
        for (index, entry) in ranges[list].clone().zip(changed).filter(|(_, entry)| !base.contains(entry)) {
            self.added(entry, index, by, place);
        }
        changed.to_vec()
    }

    fn added(&mut self, entry: &Node, index: usize, by: ChangedBy, place: &Place) {
        let told = Some(whole(entry));
        let (ours, theirs) = if by == ChangedBy::Ours { (told, None) } else { (None, told) };
        let place = place.entry(entry, index);
        let label = place.label();
        self.note(place.path, label, [None, ours, theirs], by);
    }
}

/// Whether entries were only edited, each where it stands. One that is now what another one was has moved: then numbers tell nothing.
fn is_edited_in_place(base: &[Node], list: &[Node]) -> bool {
    let has_moved = |index: usize| list[index] != base[index] && base.contains(&list[index]);
    list.len() == base.len()
        && (0..list.len()).all(|index| is_akin(&base[index], &list[index]) && !has_moved(index))
}

impl Side {
    fn pick<T>(self, ours: T, theirs: T) -> T {
        match self {
            Self::Ours => ours,
            Self::Theirs => theirs,
        }
    }
}
