//! Tests of the work board.

use super::{BoardCount, BoardLine, BoardOrder, BoardQuery, SeverityCounts, Told, WaitsFor, number_key};
use crate::document::DocumentError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp(at: i64) -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(at), "bench")
}

fn told(number: &str, model: &str, waits_for: WaitsFor, stops: u32) -> Told {
    Told {
        title: format!("title of {number}"),
        board: Some(BoardLine {
            number: number.to_owned(),
            model: model.to_owned(),
            waits_for,
            findings: SeverityCounts { stops, ..SeverityCounts::default() },
        }),
        ..Told::default()
    }
}

fn numbers(ledger: &Ledger, query: &BoardQuery) -> Vec<String> {
    ledger.board(query).unwrap().into_iter().map(|row| row.line.number).collect()
}

const ALL: BoardQuery = BoardQuery { waits_for: None, order: BoardOrder::Number, offset: 0, limit: 99 };

fn with_three() -> (Ledger, [DocumentId; 3]) {
    let mut ledger = Ledger::in_memory().unwrap();
    let lines = [
        ("V-10", "railcar", WaitsFor::Track, 0, 3),
        ("V-9", "shunter", WaitsFor::Parts, 2, 1),
        ("V-11", "goods van", WaitsFor::Parts, 1, 2),
    ];
    let ids = lines.map(|(number, model, waits_for, stops, at)| {
        let record = ledger.save(Kind::Order, number, "text", None, &stamp(at)).unwrap();
        ledger.tell(record.document, record.number, &told(number, model, waits_for, stops)).unwrap();
        record.document
    });
    (ledger, ids)
}

#[test]
fn the_board_is_sorted_filtered_and_paged() {
    let (ledger, _) = with_three();
    let by = |order| numbers(&ledger, &BoardQuery { order, ..ALL });
    assert_eq!(by(BoardOrder::Number), ["V-9", "V-10", "V-11"]);
    assert_eq!(by(BoardOrder::Title), ["V-10", "V-11", "V-9"]);
    assert_eq!(by(BoardOrder::Model), ["V-11", "V-10", "V-9"]);
    assert_eq!(by(BoardOrder::Gravity), ["V-9", "V-11", "V-10"]);
    assert_eq!(by(BoardOrder::Changed), ["V-10", "V-11", "V-9"]);
    let parts = BoardQuery { waits_for: Some(WaitsFor::Parts), ..ALL };
    assert_eq!(numbers(&ledger, &parts), ["V-9", "V-11"]);
    assert_eq!(numbers(&ledger, &BoardQuery { offset: 1, limit: 1, ..ALL }), ["V-10"]);
    let count = |waits_for, n_orders| BoardCount { waits_for, n_orders };
    assert_eq!(ledger.board_counts().unwrap(), [count(WaitsFor::Parts, 2), count(WaitsFor::Track, 1)]);
}

#[test]
fn what_was_told_is_stale_after_a_change_and_an_old_answer_does_not_replace_a_new_one() {
    let (mut ledger, [id, ..]) = with_three();
    assert!(ledger.untold(9).unwrap().is_empty());
    let first = RevisionNumber::FIRST;
    let second = ledger.save_upon(id, "other", first, &stamp(9)).unwrap().number;
    assert_eq!(ledger.untold(9).unwrap(), [id]);
    assert!(ledger.board(&ALL).unwrap().iter().any(|row| row.is_stale && row.document.id == id));
    ledger.tell(id, second, &told("V-10", "new", WaitsFor::Client, 0)).unwrap();
    ledger.tell(id, first, &told("V-10", "old", WaitsFor::Track, 0)).unwrap();
    let row = ledger.board(&ALL).unwrap().into_iter().find(|row| row.document.id == id).unwrap();
    assert_eq!((row.line.model.as_str(), row.is_stale), ("new", false));
    let refused = ledger.tell(id, RevisionNumber::new(3), &Told::default());
    assert!(matches!(refused, Err(DocumentError::NoSuchRevision { .. })), "{refused:?}");
    ledger.all_untold().unwrap();
    assert_eq!(ledger.untold(9).unwrap().len(), 3);
    assert_eq!(ledger.untold(2).unwrap().len(), 2);
    assert_eq!(ledger.board(&ALL).unwrap().len(), 3);
}

#[test]
fn deleted_orders_leave_the_board_and_come_back() {
    let (mut ledger, [id, ..]) = with_three();
    ledger.delete(id, RevisionNumber::FIRST, &stamp(9)).unwrap();
    assert_eq!(numbers(&ledger, &ALL), ["V-9", "V-11"]);
    assert_eq!(ledger.board_counts().unwrap().len(), 1);
    ledger.undo(id, RevisionNumber::new(2), &stamp(9)).unwrap();
    assert_eq!(numbers(&ledger, &ALL), ["V-9", "V-10", "V-11"]);
    // A document may also lose its line.
    ledger.tell(id, RevisionNumber::new(3), &Told::default()).unwrap();
    assert_eq!(numbers(&ledger, &ALL), ["V-9", "V-11"]);
}

#[test]
fn numbers_sort_as_people_count() {
    let mut numbers = ["V-10", "v-9", "V-0031", "V-9a", "V-100000000000000", "", "V", "9", "V-10-2"];
    numbers.sort_by_key(|number| number_key(number));
    assert_eq!(numbers, ["", "9", "V", "v-9", "V-9a", "V-10", "V-10-2", "V-0031", "V-100000000000000"]);
}

#[test]
fn words_lead_back() {
    for waits_for in WaitsFor::ALL {
        assert_eq!(WaitsFor::from_word(waits_for.word()), Some(waits_for));
    }
}
