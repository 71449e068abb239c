//! Which entries of two lists are the same one.

use std::collections::{BTreeMap, BTreeSet};

use crate::address::entry_name;
use crate::node::{Content, Node};
use crate::typed::toml_of;

/// Whether entries can be told by their names: each has one, and no two have the same.
pub(crate) fn is_named(entries: &[Node]) -> bool {
    let names: BTreeSet<&str> = entries.iter().filter_map(entry_name).collect();
    names.len() == entries.len()
}

/// Whether a list is one of tables rather than one field.
pub(crate) fn has_tables(node: &Node) -> bool {
    node.entries().iter().any(Node::is_table)
}

/// The names of entries with their places.
pub(crate) fn by_name(entries: &[Node]) -> BTreeMap<&str, usize> {
    entries.iter().enumerate().filter_map(|(index, entry)| Some((entry_name(entry)?, index))).collect()
}

/// The names that two lists have in common, in the order of the first.
pub(crate) fn common_names<'n>(of: &'n [Node], with: &[Node]) -> Vec<&'n str> {
    let with = by_name(with);
    of.iter().filter_map(entry_name).filter(|name| with.contains_key(name)).collect()
}

/// Equal entries of two lists, in the order of both: as many as can be, unless the lists are huge.
pub(crate) fn matched(left: &[Node], right: &[Node]) -> Vec<(usize, usize)> {
    let mut known = BTreeMap::new();
    let left = numbers(left, &mut known);
    let right = numbers(right, &mut known);
    let start = left.iter().zip(&right).take_while(|(left, right)| left == right).count();
    let rest = left.len().min(right.len()) - start;
    let end = left
        .iter()
        .rev()
        .zip(right.iter().rev())
        .take(rest)
        .take_while(|(left, right)| left == right)
        .count();
    let mut pairs: Vec<(usize, usize)> = (0..start).map(|index| (index, index)).collect();
    let middle = longest_common(&left[start..left.len() - end], &right[start..right.len() - end]);
    pairs.extend(middle.into_iter().map(|(left, right)| (left + start, right + start)));
    pairs.extend((0..end).rev().map(|back| (left.len() - 1 - back, right.len() - 1 - back)));
    pairs
}

/// Equal entries get equal numbers, so that they are compared as texts only once.
fn numbers(entries: &[Node], known: &mut BTreeMap<String, usize>) -> Vec<usize> {
    entries
        .iter()
        .map(|entry| {
            let next = known.len();
            *known.entry(toml_of(&sorted(entry))).or_insert(next)
        })
        .collect()
}

fn sorted(node: &Node) -> Node {
    match &node.content {
        Content::Scalar(_) => node.clone(),
        Content::List(entries) => Node::new(Content::List(entries.iter().map(sorted).collect())),
        Content::Table(members) => {
            let mut members = members.clone();
            members.sort_by(|left, right| left.key.cmp(&right.key));
            members.iter_mut().for_each(|member| member.node = sorted(&member.node));
            Node::new(Content::Table(members))
        }
    }
}

/// The longest common subsequence, by the table of lengths (Wagner and Fischer 1974, from memory).
fn longest_common(left: &[usize], right: &[usize]) -> Vec<(usize, usize)> {
    /// Beyond this, lists are compared from both ends only.
    const MOST_CELLS: usize = 4_000_000;
    let width = right.len() + 1;
    if (left.len() + 1).saturating_mul(width) > MOST_CELLS {
        return Vec::new();
    }
    let mut lengths = vec![0_u32; (left.len() + 1) * width];
    for row in (0..left.len()).rev() {
        for column in (0..right.len()).rev() {
            lengths[row * width + column] = if left[row] == right[column] {
                lengths[(row + 1) * width + column + 1] + 1
            } else {
                lengths[(row + 1) * width + column].max(lengths[row * width + column + 1])
            };
        }
    }
    let (mut row, mut column, mut pairs) = (0, 0, Vec::new());
    while row < left.len() && column < right.len() {
        if left[row] == right[column] {
            pairs.push((row, column));
            (row, column) = (row + 1, column + 1);
        } else if lengths[(row + 1) * width + column] >= lengths[row * width + column + 1] {
            row += 1;
        } else {
            column += 1;
        }
    }
    pairs
}

/// Whether two entries are likely the same one, edited: they have something in common.
pub(crate) fn is_akin(left: &Node, right: &Node) -> bool {
    let right = right.by_key();
    left.members().iter().any(|member| right.get(member.key.as_str()) == Some(&&member.node))
}

/// What became of the entries of a list, in the order of the new one; what is gone stands where it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fate {
    Same { old: usize, new: usize },
    Gone(usize),
    New(usize),
}

/// What became of the entries of a list: told by name where all have one, else by what they say.
pub(crate) fn fates(old: &[Node], new: &[Node]) -> Vec<Fate> {
    if is_named(old) && is_named(new) {
        let (old_names, new_names) = (by_name(old), by_name(new));
        let gone = old
            .iter()
            .enumerate()
            .filter(|(_, entry)| entry_name(entry).is_some_and(|name| !new_names.contains_key(name)));
        let kept = new.iter().enumerate().map(|(index, entry)| {
            match entry_name(entry).and_then(|name| old_names.get(name)) {
                Some(old) => Fate::Same { old: *old, new: index },
                None => Fate::New(index),
            }
        });
        return gone.map(|(index, _)| Fate::Gone(index)).chain(kept).collect();
    }
    let mut fates = Vec::new();
    let (mut old_at, mut new_at) = (0, 0);
    for (old_end, new_end) in matched(old, new).into_iter().chain([(old.len(), new.len())]) {
        // Between two entries that are the same, those that are akin were edited; in order, as people edit.
        while old_at < old_end || new_at < new_end {
            let akin = old_at < old_end && new_at < new_end && is_akin(&old[old_at], &new[new_at]);
            if akin {
                fates.push(Fate::Same { old: old_at, new: new_at });
                (old_at, new_at) = (old_at + 1, new_at + 1);
            } else if old_at < old_end && (new_at >= new_end || old_end - old_at >= new_end - new_at) {
                fates.push(Fate::Gone(old_at));
                old_at += 1;
            } else {
                fates.push(Fate::New(new_at));
                new_at += 1;
            }
        }
        if old_end < old.len() {
            fates.push(Fate::Same { old: old_end, new: new_end });
        }
        (old_at, new_at) = (old_end + 1, new_end + 1);
    }
    fates
}

#[cfg(test)]
mod tests {
    use super::{Fate, fates, matched};
    use crate::layout::Layout;
    use crate::node::Node;

    fn same(old: usize, new: usize) -> Fate {
        Fate::Same { old, new }
    }

    fn list(text: &str) -> Vec<Node> {
        let text = format!("w = [{text}]");
        Layout::parse(&text).unwrap().root.get("w").unwrap().entries().to_vec()
    }

    #[test]
    fn entries_are_matched_in_order() {
        assert_eq!(matched(&list("1, 2, 3, 4"), &list("1, 3, 9, 4, 5")), [(0, 0), (2, 1), (3, 3)]);
        assert_eq!(matched(&list(""), &list("1")), []);
        assert_eq!(matched(&list("{ a = 1, b = 2 }"), &list("{ b = 2, a = 1 }")), [(0, 0)]);
    }

    #[test]
    fn fates_of_entries() {
        let old = list("{ a = 1, b = 1 }, { a = 2, b = 2 }, { a = 3, b = 3 }");
        let new = list("{ a = 1, b = 1 }, { a = 3, b = 4 }, { a = 5, b = 5 }");
        assert_eq!(fates(&old, &new), [same(0, 0), Fate::Gone(1), same(2, 1), Fate::New(2)]);
        let old = list("{ name = 'A' }, { name = 'B' }");
        let new = list("{ name = 'C' }, { name = 'A', x = 1 }");
        assert_eq!(fates(&old, &new), [Fate::Gone(1), Fate::New(0), same(0, 1)]);
    }

    #[test]
    fn huge_lists_are_compared_from_both_ends() {
        let many = |step: usize| -> Vec<Node> {
            list(&(0..3000).map(|n| (n * step).to_string()).collect::<Vec<_>>().join(", "))
        };
        assert_eq!(matched(&many(1), &many(2)), [(0, 0)]);
    }
}
