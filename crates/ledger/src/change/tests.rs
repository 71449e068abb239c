//! Tests of changes and of those who watch.

use super::Subject;
use crate::identity::{DocumentId, MovementId, PhotoId, RevisionNumber, RunId, Sequence, SnapshotId};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

#[test]
fn subjects_lead_back_from_how_they_are_stored() {
    for subject in [
        Subject::Document { document: DocumentId::new(3), number: RevisionNumber::new(4) },
        Subject::RunBegun(RunId::new(3)),
        Subject::RunEnded(RunId::new(3)),
        Subject::Snapshot(SnapshotId::new(3)),
        Subject::Photo(PhotoId::new(3)),
        Subject::PhotoHidden(PhotoId::new(3)),
        Subject::PhotoShown(PhotoId::new(3)),
        Subject::Stock(MovementId::new(3)),
    ] {
        let (word, id, number) = subject.parts();
        assert_eq!(Subject::from_parts(word, id, number), Some(subject));
    }
    assert_eq!(Subject::from_parts("document", 1, None), None);
    assert_eq!(Subject::from_parts("weather", 1, None), None);
}

#[test]
fn changes_are_told_in_order_and_from_where_one_left_off() {
    let mut ledger = Ledger::in_memory().unwrap();
    assert_eq!(ledger.newest_change().unwrap(), Sequence::START);
    let stamp = Stamp::new(Moment::from_unix_millis(7), "phone");
    let first = ledger.save(Kind::Order, "a", "1", None, &stamp).unwrap();
    let second = ledger.save(Kind::Order, "a", "2", Some(first.number), &stamp).unwrap();
    let all = ledger.changes_since(Sequence::START, 10).unwrap();
    let subject = |record: &crate::RevisionRecord| Subject::Document {
        document: record.document,
        number: record.number,
    };
    assert_eq!(
        all.iter().map(|change| change.subject).collect::<Vec<_>>(),
        [subject(&first), subject(&second)]
    );
    assert_eq!((all[0].at, all[0].by.as_str()), (stamp.at, "phone"));
    assert_eq!(ledger.changes_since(all[0].sequence, 10).unwrap(), all[1..]);
    assert_eq!(ledger.changes_since(Sequence::START, 1).unwrap(), all[..1]);
    assert_eq!(ledger.newest_change().unwrap(), all[1].sequence);
}

#[test]
fn who_stops_listening_is_forgotten() {
    let mut ledger = Ledger::in_memory().unwrap();
    let (stays, leaves) = (ledger.watch(), ledger.watch());
    drop(leaves);
    let stamp = Stamp::new(Moment::from_unix_millis(7), "phone");
    ledger.save(Kind::Order, "a", "1", None, &stamp).unwrap();
    assert_eq!(stays.try_iter().count(), 1);
    assert_eq!(ledger.watchers.lock().len(), 1);
}
