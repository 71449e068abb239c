//! Tests of snapshots.

use proptest::prelude::*;

use super::{Difference, Held, Place, Reading, ReadingQuery, SnapshotError, in_order, page_number, page_of};
use crate::identity::{DocumentId, RunId, SnapshotId};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(5), "bench")
}

fn plain(cv: u16, value: u8) -> Reading {
    Reading { place: Place { page: None, cv }, value: Some(value) }
}

fn with_order() -> (Ledger, DocumentId) {
    let mut ledger = Ledger::in_memory().unwrap();
    let order = ledger.save(Kind::Order, "V-0031", "text", None, &stamp()).unwrap();
    (ledger, order.document)
}

#[test]
fn two_snapshots_differ_where_they_say_different_things() {
    let (mut ledger, order) = with_order();
    let paged = |value| Reading { place: Place { page: Some((16, 0)), cv: 257 }, value };
    let before = [plain(1, 3), plain(29, 6), plain(8, 13), paged(None)];
    let after = [plain(29, 38), plain(8, 13), paged(Some(0)), plain(17, 192)];
    let first = ledger.keep_snapshot(order, None, "demo-21-sound", &before, &stamp()).unwrap();
    let second = ledger.keep_snapshot(order, None, "demo-21-sound", &after, &stamp()).unwrap();
    let difference = |page, cv, first, second| Difference { place: Place { page, cv }, first, second };
    assert_eq!(
        ledger.compare_snapshots(first, second).unwrap(),
        [
            difference(None, 1, Held::Value(3), Held::NotRead),
            difference(None, 17, Held::NotRead, Held::Value(192)),
            difference(None, 29, Held::Value(6), Held::Value(38)),
            difference(Some((16, 0)), 257, Held::NoAnswer, Held::Value(0)),
        ]
    );
    assert!(ledger.compare_snapshots(first, first).unwrap().is_empty());
    let ids: Vec<SnapshotId> = ledger.snapshots_of(order).unwrap().iter().map(|record| record.id).collect();
    assert_eq!(ids, [second, first]);
    assert_eq!(ledger.snapshot(first).unwrap().n_readings, 4);
}

#[test]
fn all_snapshots_are_searched_for_a_value() {
    let (mut ledger, order) = with_order();
    for value in [6, 38, 6] {
        ledger.keep_snapshot(order, None, "demo", &[plain(29, value)], &stamp()).unwrap();
    }
    let place = Place { page: None, cv: 29 };
    let found = |value, offset, limit| -> Vec<(i64, Option<u8>)> {
        let query = ReadingQuery { place, value, offset, limit };
        let found = ledger.find_readings(&query).unwrap();
        found.iter().map(|found| (found.snapshot.id.get(), found.value)).collect()
    };
    assert_eq!(found(Some(6), 0, 9), [(3, Some(6)), (1, Some(6))]);
    assert_eq!(found(None, 1, 1), [(2, Some(38))]);
    assert_eq!(found(Some(7), 0, 9), []);
    let paged =
        ReadingQuery { place: Place { page: Some((0, 0)), cv: 29 }, value: None, offset: 0, limit: 9 };
    assert!(ledger.find_readings(&paged).unwrap().is_empty(), "a page of zeros is not the plain CV");
}

#[test]
fn what_is_no_snapshot_is_refused() {
    let (mut ledger, order) = with_order();
    for cv in [0, 1025] {
        let refused = ledger.keep_snapshot(order, None, "demo", &[plain(cv, 1)], &stamp());
        assert!(matches!(refused, Err(SnapshotError::NoSuchCv { .. })), "{refused:?}");
    }
    let refused = ledger.keep_snapshot(order, None, "demo", &[plain(1, 1), plain(1, 1)], &stamp());
    assert!(matches!(refused, Err(SnapshotError::Twice { .. })), "{refused:?}");
    let refused = ledger.keep_snapshot(DocumentId::new(9), None, "demo", &[], &stamp());
    assert!(matches!(refused, Err(SnapshotError::NoSuchDocument { .. })), "{refused:?}");
    let other = ledger.save(Kind::Order, "V-0032", "text", None, &stamp()).unwrap().document;
    let run = ledger.begin_run(other, &stamp()).unwrap();
    for run in [run, RunId::new(9)] {
        let refused = ledger.keep_snapshot(order, Some(run), "demo", &[], &stamp());
        assert!(matches!(refused, Err(SnapshotError::NoSuchRun { .. })), "{refused:?}");
    }
    ledger.keep_snapshot(other, Some(run), "demo", &[], &stamp()).unwrap();
    let refused = ledger.readings(SnapshotId::new(9));
    assert!(matches!(refused, Err(SnapshotError::NoSuchSnapshot { .. })), "{refused:?}");
}

#[test]
fn the_file_itself_refuses_to_change_a_snapshot_and_the_seal_sees_who_does() {
    let (mut ledger, order) = with_order();
    let snapshot = ledger.keep_snapshot(order, None, "demo", &[plain(1, 3), plain(2, 4)], &stamp()).unwrap();
    for sql in [
        "UPDATE reading SET value = 1",
        "DELETE FROM reading",
        "UPDATE snapshot SET decoder = 'x'",
        "DELETE FROM snapshot",
    ] {
        let refused = ledger.connection.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("a snapshot is never changed"), "{sql}: {refused}");
    }
    ledger
        .connection
        .execute_batch("DROP TRIGGER reading_stays; UPDATE reading SET value = 5 WHERE cv = 1")
        .unwrap();
    let hit = ledger.readings(snapshot).unwrap_err().to_string();
    assert!(hit.contains("the readings of snapshot 1"), "{hit}");
}

proptest! {
    #[test]
    fn pages_lead_back(page in proptest::option::of((any::<u8>(), any::<u8>()))) {
        prop_assert_eq!(page_of(page_number(page)), page);
    }

    #[test]
    fn readings_come_back_in_order(
        content in proptest::collection::btree_map(
            (proptest::option::of((any::<u8>(), any::<u8>())), 1u16..=1024),
            proptest::option::of(any::<u8>()),
            0..40,
        )
    ) {
        let (mut ledger, order) = with_order();
        let sorted: Vec<Reading> = content
            .iter()
            .map(|((page, cv), value)| Reading { place: Place { page: *page, cv: *cv }, value: *value })
            .collect();
        let mut shuffled = sorted.clone();
        shuffled.reverse();
        let snapshot = ledger.keep_snapshot(order, None, "demo", &shuffled, &stamp()).unwrap();
        prop_assert_eq!(ledger.readings(snapshot).unwrap(), sorted.clone());
        prop_assert_eq!(in_order(&shuffled).unwrap(), sorted);
    }
}
