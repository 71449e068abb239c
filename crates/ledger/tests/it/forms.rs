//! Files of every form there ever was are opened and hold what was put into them.
//!
//! A form's file is made once, when the form is new, and kept for ever:
//! `LEDGER_WRITE_FORM=1 cargo test -p ledger forms` writes the newest one where there is none.

use std::fs;
use std::path::PathBuf;

use ledger::{Kind, Ledger, NEWEST_FORM, Place, SearchQuery, SnapshotId};

use crate::programs::Folder;
use crate::sample::{archive, fill, number};

fn fixture(form: i64) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("tests/fixtures/forms/shop-{form}.sqlite"))
}

#[test]
fn every_form_is_opened_and_nothing_in_it_is_lost() {
    let folder = Folder::new();
    let newest = fixture(NEWEST_FORM);
    if !newest.exists() && std::env::var_os("LEDGER_WRITE_FORM").is_some() {
        let mut ledger = Ledger::open(&folder.file("made.sqlite")).unwrap();
        fill(&mut ledger);
        ledger.backup(&newest).unwrap();
    }
    for form in 1..=NEWEST_FORM {
        let kept = fixture(form);
        assert!(kept.exists(), "keep a file of form {form}, see above");
        let shop = folder.file(&format!("shop-{form}.sqlite"));
        fs::copy(&kept, &shop).unwrap();
        let connection = rusqlite::Connection::open(&shop).unwrap();
        let found: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
        assert_eq!(found, form, "the kept file was written over");
        drop(connection);

        let ledger = Ledger::open(&shop).unwrap();
        let verification = ledger.verify().unwrap();
        assert!(verification.is_sound(), "form {form}: {:?}", verification.damages);
        let order = ledger.find(Kind::Order, "V-0031-a").unwrap().unwrap();
        assert_eq!((order.head, order.title.as_str()), (number(23), "class 40 railcar"));
        let text = ledger.at(order.id, number(3)).unwrap().text;
        assert!(text.ends_with("note = \"measured measured \"\n"), "{text}");
        assert_eq!(ledger.undo_steps(order.id).unwrap().redo, Some(number(21)));
        assert_eq!(ledger.deleted_documents(Kind::Part).unwrap().len(), 1);
        let run = ledger.unfinished_runs().unwrap().remove(0);
        assert_eq!(ledger.journal(run.id).unwrap(), "{\"version\":1}\n");
        let readings = ledger.readings(SnapshotId::new(1)).unwrap();
        assert_eq!(
            (readings.len(), readings[0].place, readings[0].value),
            (200, Place { page: None, cv: 1 }, Some(1))
        );
        assert_eq!(ledger.photos_of(order.id).unwrap()[0].caption, "brush and frame");
        assert_eq!(ledger.stock_of("oval-15x11").unwrap().pieces, 3);
        let found =
            ledger.search(&SearchQuery { words: "opposition", kind: None, offset: 0, limit: 9 }).unwrap();
        assert_eq!(found.hits.len(), 1);
    }
}

#[test]
fn the_newest_forms_file_is_what_is_written_today() {
    // So that a form that was already given away is not changed in place: the archive of the kept file is that of a shop filled
    // today, and so is the SQL of its tables.
    let folder = Folder::new();
    let kept = folder.file("kept.sqlite");
    fs::copy(fixture(NEWEST_FORM), &kept).unwrap();
    let kept_ledger = Ledger::open(&kept).unwrap();
    let new = folder.file("new.sqlite");
    let mut new_ledger = Ledger::open(&new).unwrap();
    fill(&mut new_ledger);
    assert!(archive(&kept_ledger) == archive(&new_ledger));
    drop((kept_ledger, new_ledger));
    let schema = |place: &PathBuf| -> Vec<String> {
        let connection = rusqlite::Connection::open(place).unwrap();
        let mut statement = connection
            .prepare("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name")
            .unwrap();
        let rows = statement.query_map([], |row| row.get(0)).unwrap();
        rows.collect::<Result<_, _>>().unwrap()
    };
    assert_eq!(schema(&kept), schema(&new));
}
