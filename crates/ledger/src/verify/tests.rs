//! Tests of the verification: each kind of damage is named, and only that.

use super::Damage;
use crate::identity::{DocumentId, RevisionNumber, RunId, SnapshotId};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};
use crate::snapshot::{Place, Reading};

const PHOTO: &[u8] = include_bytes!("../../tests/fixtures/photos/sent/phone.jpg");

fn shop() -> Ledger {
    let stamp = Stamp::new(Moment::from_unix_millis(5), "test");
    let mut ledger = Ledger::in_memory().unwrap();
    let order = ledger.save(Kind::Order, "V-0031", "one\n", None, &stamp).unwrap().document;
    ledger.save_upon(order, "one\ntwo\n", RevisionNumber::FIRST, &stamp).unwrap();
    ledger.undo(order, RevisionNumber::new(2), &stamp).unwrap();
    let run = ledger.begin_run(order, &stamp).unwrap();
    ledger.append_line(run, "line", stamp.at).unwrap();
    let reading = Reading { place: Place { page: None, cv: 1 }, value: Some(3) };
    ledger.keep_snapshot(order, Some(run), "demo", &[reading], &stamp).unwrap();
    ledger.attach_photo(order, "survey", "", PHOTO, &stamp).unwrap();
    ledger.move_stock("oval-15x11", 1, Some(order), &stamp).unwrap();
    ledger
}

/// What is found in a shop after `sql` went past its rules.
fn damages(sql: &str) -> Vec<Damage> {
    let ledger = shop();
    let triggers: Vec<String> = ledger
        .all("SELECT name FROM sqlite_schema WHERE type = 'trigger' AND name NOT LIKE '%found%'", |row| {
            row.get(0)
        })
        .unwrap();
    for trigger in triggers {
        ledger.connection.execute_batch(&format!("DROP TRIGGER {trigger}")).unwrap();
    }
    ledger.connection.pragma_update(None, "foreign_keys", false).unwrap();
    ledger.connection.execute_batch(sql).unwrap();
    ledger.verify().unwrap().damages
}

#[test]
fn a_sound_shop_is_sound() {
    let verification = shop().verify().unwrap();
    assert!(verification.is_sound(), "{verification:?}");
    let counts = verification.counts.unwrap();
    assert_eq!((counts.documents, counts.revisions, counts.lines, counts.pictures), (1, 3, 1, 1));
    assert_eq!(counts.changes, 7);
}

#[test]
fn each_damage_is_named() {
    let document = DocumentId::new(1);
    let revision = |number, what: &str| Damage::Revision {
        document,
        number: RevisionNumber::new(number),
        what: what.to_owned(),
    };
    let named = |number| format!("revision {number} of order `V-0031`");
    assert_eq!(
        damages("UPDATE revision SET text = 'twi' || char(10) WHERE number = 2"),
        [revision(2, &named(2))]
    );
    assert_eq!(damages("UPDATE revision SET by = 'x' WHERE number = 1"), [revision(1, &named(1))]);
    // The third shows the first one's text, and the second is told by what differs from it.
    assert_eq!(
        damages("UPDATE revision SET text = 'ane' || char(10) WHERE number = 1"),
        [
            revision(1, &named(1)),
            revision(2, &named(2)),
            revision(3, &named(3)),
            Damage::Current { document }
        ]
    );
    assert_eq!(
        damages("DELETE FROM revision WHERE number = 2"),
        [revision(3, "a number is missing or out of turn"), Damage::Current { document }]
    );
    for sql in [
        "UPDATE searched SET text = 'x'",
        "UPDATE searched SET name = 'x'",
        "DELETE FROM searched",
        "UPDATE document SET head = 2",
        "UPDATE document SET is_deleted = 1",
    ] {
        assert_eq!(damages(sql), [Damage::Current { document }], "{sql}");
    }
    let what = "line 1 of the journal of run 1".to_owned();
    assert_eq!(damages("UPDATE entry SET line = 'x'"), [Damage::Journal { run: RunId::new(1), what }]);
    let what = "the readings of snapshot 1".to_owned();
    let snapshot = SnapshotId::new(1);
    assert_eq!(damages("UPDATE reading SET value = 4"), [Damage::Snapshot { snapshot, what }]);
    assert_eq!(damages("UPDATE picture SET bytes = x'00'"), [Damage::Picture { picture: 1 }]);
    let table = "movement".to_owned();
    assert_eq!(damages("UPDATE movement SET document = 9"), [Damage::Reference { table }]);
    assert!(matches!(damages("DROP TABLE picture").as_slice(), [.., Damage::Unreadable { .. }]));
}

#[test]
fn damages_read_aloud() {
    let damage = Damage::Revision {
        document: DocumentId::new(3),
        number: RevisionNumber::new(2),
        what: "a number is missing or out of turn".to_owned(),
    };
    assert_eq!(damage.to_string(), "revision 2 of document 3: a number is missing or out of turn");
}
