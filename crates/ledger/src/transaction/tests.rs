//! Tests of transactions: all or nothing, also when the closure fails, panics or swallows a failure.

use std::panic::{AssertUnwindSafe, catch_unwind};

use crate::document::DocumentError;
use crate::error::StoreError;
use crate::identity::Sequence;
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(0), "test")
}

fn names(ledger: &Ledger) -> Vec<String> {
    ledger.documents(Kind::Part).unwrap().into_iter().map(|document| document.name).collect()
}

#[test]
fn together_keeps_all_or_nothing() {
    let mut ledger = Ledger::in_memory().unwrap();
    let heard = ledger.watch();
    let failed: Result<(), DocumentError> = ledger.together(|ledger| {
        ledger.save(Kind::Part, "a", "text", None, &stamp())?;
        ledger.save(Kind::Part, "..", "text", None, &stamp())?;
        Ok(())
    });
    assert!(failed.is_err());
    assert!(names(&ledger).is_empty());
    assert!(heard.try_recv().is_err(), "what was taken back is not told");
    ledger
        .together(|ledger| {
            ledger.save(Kind::Part, "a", "text", None, &stamp())?;
            assert!(heard.try_recv().is_err(), "nothing is told before it is safe");
            ledger.save(Kind::Part, "b", "text", None, &stamp())
        })
        .unwrap();
    assert_eq!(names(&ledger), ["a", "b"]);
    assert_eq!(heard.try_iter().count(), 2);
}

#[test]
fn a_refusal_that_is_swallowed_takes_only_its_own_part_back() {
    let mut ledger = Ledger::in_memory().unwrap();
    ledger
        .together(|ledger| {
            ledger.save(Kind::Part, "a", "text", None, &stamp())?;
            let inner: Result<(), DocumentError> = ledger.together(|ledger| {
                ledger.save(Kind::Part, "b", "text", None, &stamp())?;
                Err(DocumentError::NothingToUndo)
            });
            assert!(inner.is_err());
            ledger.save(Kind::Part, "c", "text", None, &stamp())
        })
        .unwrap();
    assert_eq!(names(&ledger), ["a", "c"]);
    assert_eq!(ledger.changes_since(Sequence::START, 9).unwrap().len(), 2);
}

#[test]
fn a_panic_takes_everything_back_and_the_ledger_stays_usable() {
    let mut ledger = Ledger::in_memory().unwrap();
    let panicked = catch_unwind(AssertUnwindSafe(|| {
        ledger.together::<(), StoreError>(|ledger| {
            ledger.save(Kind::Part, "a", "text", None, &stamp()).unwrap();
            panic!("on purpose")
        })
    }));
    assert!(panicked.is_err());
    assert!(names(&ledger).is_empty());
    ledger.save(Kind::Part, "b", "text", None, &stamp()).unwrap();
    assert_eq!(names(&ledger), ["b"]);
}

#[test]
fn a_full_disk_keeps_what_was_there_and_says_so() {
    let mut ledger = Ledger::in_memory().unwrap();
    ledger.save(Kind::Part, "a", "text", None, &stamp()).unwrap();
    let pages: i64 = ledger.connection.query_row("PRAGMA page_count", [], |row| row.get(0)).unwrap();
    ledger.connection.pragma_update(None, "max_page_count", pages + 2).unwrap();
    let long = "x".repeat(100_000);
    let full = ledger.save(Kind::Part, "b", &long, None, &stamp()).unwrap_err();
    assert!(matches!(full, DocumentError::Store(StoreError::Full)), "{full}");
    assert_eq!(
        full.to_string(),
        "the disk is full; this was not kept, everything before it was; make room on the shop's disk and try again"
    );
    assert_eq!(names(&ledger), ["a"]);
    // Within a larger change whose caller does not look at the refusal, nothing of it may seem kept.
    let outer = ledger.together::<(), StoreError>(|ledger| {
        ledger.save(Kind::Part, "c", "text", None, &stamp()).unwrap();
        let _ = ledger.save(Kind::Part, "d", &long, None, &stamp());
        Ok(())
    });
    let kept = names(&ledger);
    assert!(kept == ["a", "c"] && outer.is_ok() || kept == ["a"] && outer.is_err(), "{kept:?} {outer:?}");
    ledger.connection.pragma_update(None, "max_page_count", pages + 1000).unwrap();
    ledger.save(Kind::Part, "b", &long, None, &stamp()).unwrap();
    assert!(names(&ledger).contains(&"b".to_owned()));
}
