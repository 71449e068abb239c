//! Tests of the sorting of SQLite's codes.

use rusqlite::ffi;

use super::StoreError;

fn sorted(code: i32) -> StoreError {
    rusqlite::Error::SqliteFailure(ffi::Error::new(code), Some("what SQLite says".to_owned())).into()
}

#[test]
fn codes_are_sorted_by_what_a_person_can_do() {
    assert!(matches!(sorted(ffi::SQLITE_BUSY), StoreError::Locked));
    assert!(matches!(sorted(ffi::SQLITE_BUSY_SNAPSHOT), StoreError::Locked));
    assert!(matches!(sorted(ffi::SQLITE_READONLY), StoreError::ReadOnly));
    assert!(matches!(sorted(ffi::SQLITE_READONLY_DIRECTORY), StoreError::ReadOnly));
    assert!(matches!(sorted(ffi::SQLITE_READONLY_DBMOVED), StoreError::Moved));
    assert!(matches!(sorted(ffi::SQLITE_CANTOPEN), StoreError::ReadOnly));
    assert!(matches!(sorted(ffi::SQLITE_FULL), StoreError::Full));
    assert!(matches!(sorted(ffi::SQLITE_CORRUPT), StoreError::Damaged { .. }));
    assert!(matches!(sorted(ffi::SQLITE_CORRUPT_VTAB), StoreError::Damaged { .. }));
    assert!(matches!(sorted(ffi::SQLITE_NOTADB), StoreError::Damaged { .. }));
    assert!(matches!(sorted(ffi::SQLITE_IOERR_FSYNC), StoreError::Disk { .. }));
    assert!(matches!(sorted(ffi::SQLITE_CONSTRAINT), StoreError::Refused { .. }));
}

#[test]
fn every_text_says_what_was_kept_and_what_to_do() {
    for (error, kept, to_do) in [
        (sorted(ffi::SQLITE_BUSY), "everything before it was", "end the other program"),
        (sorted(ffi::SQLITE_READONLY), "everything before it was", "allow writing"),
        (sorted(ffi::SQLITE_READONLY_DBMOVED), "in the file that was moved", "put it back"),
        (sorted(ffi::SQLITE_FULL), "everything before it was", "make room"),
        (sorted(ffi::SQLITE_CORRUPT), "nothing was changed", "restore the newest backup"),
        (sorted(ffi::SQLITE_IOERR), "everything before it was", "check the disk"),
        (sorted(ffi::SQLITE_ERROR), "this was not kept", "report it"),
    ] {
        let text = error.to_string();
        assert!(text.contains(kept) && text.contains(to_do), "{text}");
    }
}
