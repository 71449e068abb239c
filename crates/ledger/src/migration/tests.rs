//! Tests of the forms: each is applied once, whole or not at all; files of others are left alone.

use rusqlite::Connection;

use super::{FORMS, NEWEST_FORM, form, migrate, recognise};
use crate::error::StoreError;

const FIRST: &str = "CREATE TABLE a (x INTEGER) STRICT";

fn tables(connection: &Connection) -> Vec<String> {
    let mut statement =
        connection.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").unwrap();
    statement.query_map([], |row| row.get(0)).unwrap().collect::<Result<_, _>>().unwrap()
}

#[test]
fn forms_are_applied_one_after_the_other_and_once() {
    let first = "CREATE TABLE a (x INTEGER) STRICT; INSERT INTO a VALUES (1);";
    let second = "CREATE TABLE b (x INTEGER) STRICT; INSERT INTO b SELECT x + 1 FROM a;";
    let connection = Connection::open_in_memory().unwrap();
    migrate(&connection, &[first]).unwrap();
    assert_eq!((form(&connection).unwrap(), tables(&connection)), (1, vec!["a".to_owned()]));
    migrate(&connection, &[first, second]).unwrap();
    migrate(&connection, &[first, second]).unwrap();
    let moved: i64 = connection.query_row("SELECT sum(x) FROM b", [], |row| row.get(0)).unwrap();
    assert_eq!((form(&connection).unwrap(), moved), (2, 2));
}

#[test]
fn a_form_that_fails_leaves_the_one_before() {
    let connection = Connection::open_in_memory().unwrap();
    let first = FIRST;
    let failed = migrate(&connection, &[first, "CREATE TABLE b (x INTEGER) STRICT; SELECT * FROM nowhere;"]);
    assert!(matches!(failed, Err(StoreError::Refused { .. })), "{failed:?}");
    assert_eq!((form(&connection).unwrap(), tables(&connection)), (1, vec!["a".to_owned()]));
}

#[test]
fn an_empty_file_a_shop_and_todays_form_are_recognised() {
    let connection = Connection::open_in_memory().unwrap();
    recognise(&connection, "x").unwrap();
    migrate(&connection, FORMS).unwrap();
    recognise(&connection, "x").unwrap();
    assert_eq!(form(&connection).unwrap(), NEWEST_FORM);
}

#[test]
fn what_is_not_ours_is_refused() {
    let foreign = Connection::open_in_memory().unwrap();
    foreign.execute_batch("CREATE TABLE a (x)").unwrap();
    let refused = recognise(&foreign, "x.sqlite").unwrap_err();
    assert_eq!(
        refused.to_string(),
        "`x.sqlite` is not a shop: it is the database of another program; nothing in it was touched; name a shop's file, \
         or a new name to begin a shop"
    );
    let versioned = Connection::open_in_memory().unwrap();
    versioned.pragma_update(None, "user_version", 1).unwrap();
    assert!(matches!(recognise(&versioned, "x"), Err(StoreError::NotAShop { .. })));
    let newer = Connection::open_in_memory().unwrap();
    migrate(&newer, FORMS).unwrap();
    newer.pragma_update(None, "user_version", NEWEST_FORM + 1).unwrap();
    let refused = recognise(&newer, "x.sqlite").unwrap_err();
    assert_eq!(
        refused.to_string(),
        format!(
            "`x.sqlite` has form {} and this program knows forms up to {NEWEST_FORM}; nothing in it was touched; open it \
             with the newer program that wrote it",
            NEWEST_FORM + 1
        )
    );
}

#[test]
fn a_negative_form_is_no_form() {
    let connection = Connection::open_in_memory().unwrap();
    connection.pragma_update(None, "user_version", -1).unwrap();
    assert!(migrate(&connection, &[FIRST]).is_err());
}
