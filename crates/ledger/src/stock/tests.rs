//! Tests of stock.

use super::{StockCount, StockError};
use crate::identity::DocumentId;
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(5), "bench")
}

#[test]
fn counts_follow_from_movements() {
    let mut ledger = Ledger::in_memory().unwrap();
    let order = ledger.save(Kind::Order, "V-0031", "text", None, &stamp()).unwrap().document;
    ledger.move_stock("oval-15x11", 10, None, &stamp().with_note("delivery")).unwrap();
    let left = ledger.move_stock("oval-15x11", -2, Some(order), &stamp()).unwrap();
    assert_eq!(left, StockCount { part: "oval-15x11".to_owned(), pieces: 8 });
    assert_eq!(ledger.move_stock("round-20", -1, Some(order), &stamp()).unwrap().pieces, -1);
    assert_eq!(ledger.count_stock("oval-15x11", 7, &stamp().with_note("one broken")).unwrap().pieces, 7);
    assert_eq!(ledger.count_stock("oval-15x11", 7, &stamp()).unwrap().pieces, 7);
    let stock: Vec<(String, i64)> =
        ledger.stock().unwrap().into_iter().map(|count| (count.part, count.pieces)).collect();
    assert_eq!(stock, [("oval-15x11".to_owned(), 7), ("round-20".to_owned(), -1)]);
    let movements = ledger.movements("oval-15x11").unwrap();
    let pieces: Vec<i64> = movements.iter().map(|movement| movement.pieces).collect();
    assert_eq!(pieces, [0, -1, -2, 10]);
    assert_eq!((movements[2].document, movements[1].note.as_str()), (Some(order), "one broken"));
    assert_eq!(ledger.stock_of("unheard-of").unwrap().pieces, 0);
}

#[test]
fn what_is_no_movement_is_refused() {
    let mut ledger = Ledger::in_memory().unwrap();
    let refused = ledger.move_stock("a b", 1, None, &stamp());
    assert!(matches!(refused, Err(StockError::Name(_))), "{refused:?}");
    for pieces in [1_000_001, i64::MIN] {
        let refused = ledger.move_stock("a", pieces, None, &stamp());
        assert!(matches!(refused, Err(StockError::TooMany { .. })), "{refused:?}");
        let refused = ledger.count_stock("a", pieces, &stamp());
        assert!(matches!(refused, Err(StockError::TooMany { .. })), "{refused:?}");
    }
    let refused = ledger.move_stock("a", 1, Some(DocumentId::new(9)), &stamp());
    assert!(matches!(refused, Err(StockError::NoSuchDocument { .. })), "{refused:?}");
    assert!(ledger.stock().unwrap().is_empty());
}

#[test]
fn the_file_itself_refuses_to_change_a_movement() {
    let mut ledger = Ledger::in_memory().unwrap();
    ledger.move_stock("a", 1, None, &stamp()).unwrap();
    for sql in ["UPDATE movement SET pieces = 2", "DELETE FROM movement"] {
        let refused = ledger.connection.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("history is never rewritten"), "{sql}: {refused}");
    }
}
