//! Tests of what makes a history.

use super::HistoryPath;
use crate::document::{Act, RevisionRecord};
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::Kind;
use crate::moment::Moment;

/// `(act, state, parent, is deleted, name)` of revisions 1, 2, 3, …
type Told = (Act, i64, Option<i64>, bool, &'static str);

/// What is wrong with the last of these revisions; those before it must follow each other.
fn wrong(told: &[Told]) -> Option<&'static str> {
    let mut path = HistoryPath::default();
    let mut result = Ok(());
    for (number, (act, state, parent, is_deleted, name)) in (1..).zip(told) {
        assert_eq!(result, Ok(()), "before revision {number}");
        result = path.follow(&RevisionRecord {
            document: DocumentId::new(1),
            kind: Kind::Order,
            number: RevisionNumber::new(number),
            act: *act,
            state: RevisionNumber::new(*state),
            parent: parent.map(RevisionNumber::new),
            name: (*name).to_owned(),
            is_deleted: *is_deleted,
            at: Moment::from_unix_millis(0),
            by: String::new(),
            note: String::new(),
        });
    }
    result.err()
}

#[test]
fn what_the_ledger_writes_is_a_history() {
    let told = [
        (Act::Saved, 1, None, false, "a"),
        (Act::Deleted, 2, Some(1), true, "a"),
        (Act::Undone, 1, Some(2), false, "a"),
        (Act::Renamed, 1, Some(1), false, "b"),
        (Act::Redone, 2, Some(1), true, "b"),
        (Act::Saved, 6, Some(2), false, "b"),
    ];
    assert_eq!(wrong(&told), None);
}

#[test]
fn what_it_never_writes_is_none() {
    const FIRST: Told = (Act::Saved, 1, None, false, "a");
    const GONE: Told = (Act::Deleted, 2, Some(1), true, "a");
    let impossible = Some("what it does cannot be done there");
    assert_eq!(wrong(&[(Act::Deleted, 1, None, true, "a")]), impossible);
    assert_eq!(wrong(&[(Act::Undone, 1, None, false, "a")]), impossible);
    assert_eq!(wrong(&[(Act::Saved, 1, None, true, "a")]), impossible);
    assert_eq!(wrong(&[FIRST, (Act::Deleted, 2, Some(1), false, "a")]), impossible);
    assert_eq!(wrong(&[FIRST, GONE, (Act::Deleted, 3, Some(2), true, "a")]), impossible);
    assert_eq!(wrong(&[FIRST, GONE, (Act::Renamed, 2, Some(2), true, "b")]), impossible);
    assert_eq!(wrong(&[FIRST, GONE, (Act::Undone, 1, Some(2), true, "a")]), impossible);
    assert_eq!(wrong(&[FIRST, GONE, (Act::Undone, 3, Some(2), false, "a")]), impossible);
    assert_eq!(
        wrong(&[FIRST, (Act::Saved, 1, Some(1), false, "a")]),
        Some("it does not show the state it made")
    );
    let parent = Some("its parent is not the state that was there before");
    assert_eq!(wrong(&[FIRST, (Act::Saved, 2, None, false, "a")]), parent);
    assert_eq!(wrong(&[FIRST, GONE, (Act::Saved, 3, Some(1), false, "a")]), parent);
    let renamed = Some("it has another name without being renamed");
    assert_eq!(wrong(&[FIRST, (Act::Saved, 2, Some(1), false, "b")]), renamed);
    assert_eq!(wrong(&[FIRST, (Act::Renamed, 1, Some(1), false, "a")]), renamed);
    assert_eq!(wrong(&[(Act::Saved, 1, None, false, "../a")]), Some("its name is none"));
}
