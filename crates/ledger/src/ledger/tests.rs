//! Tests of the opened file that need no other process; those that do are in `tests/it`.

use crate::error::StoreError;
use crate::ledger::Ledger;

#[test]
fn a_ledger_can_go_to_another_thread() {
    fn goes<T: Send>() {}
    goes::<Ledger>();
}

#[test]
fn a_shop_in_memory_is_alone() {
    let ledger = Ledger::in_memory().unwrap();
    assert_eq!(ledger.place(), None);
    assert!(matches!(ledger.another(), Err(StoreError::CannotOpen { .. })));
}
