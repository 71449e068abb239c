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

#[test]
fn a_save_is_flushed_to_the_disk_and_references_are_held() {
    let place = std::env::temp_dir().join(format!("ledger-settings-{}.sqlite", std::process::id()));
    let ledger = Ledger::open(&place).unwrap();
    let setting = |pragma: &str| -> String {
        let value = ledger.connection.query_row(&format!("PRAGMA {pragma}"), [], |row| {
            row.get_ref(0).map(|value| match value {
                rusqlite::types::ValueRef::Integer(number) => number.to_string(),
                other => other.as_str().unwrap().to_owned(),
            })
        });
        value.unwrap()
    };
    // No test can pull the plug; that FULL (2) is what a power cut needs is SQLite's word, "PRAGMA synchronous".
    assert_eq!(setting("synchronous"), "2");
    assert_eq!(setting("journal_mode"), "wal");
    assert_eq!(setting("foreign_keys"), "1");
    assert_eq!(setting("recursive_triggers"), "1");
    assert_eq!(setting("trusted_schema"), "0");
    drop(ledger);
    std::fs::remove_file(&place).unwrap();
}
