//! Tests of documents as files.

use std::collections::BTreeMap;

use super::{FilesError, TakenIn, document_of, file_name};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(5), "import")
}

fn map(files: &[(&str, &str)]) -> BTreeMap<String, String> {
    files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
}

#[test]
fn there_and_back() {
    let files = map(&[
        ("bench/V-0031.toml", "b"),
        ("dossiers/class-40.toml", "d"),
        ("orders/V-0031.toml", "o"),
        ("parts/oval-15x11.toml", "p"),
        ("trains/night-mail.toml", "t"),
    ]);
    let mut ledger = Ledger::in_memory().unwrap();
    assert_eq!(
        ledger.take_in_files(&files, &stamp()).unwrap(),
        TakenIn { n_new: 5, n_changed: 0, n_same: 0 }
    );
    assert_eq!(ledger.documents_as_files().unwrap(), files);
    let more = map(&[("orders/V-0031.toml", "o2"), ("parts/oval-15x11.toml", "p"), ("parts/new.toml", "n")]);
    assert_eq!(ledger.take_in_files(&more, &stamp()).unwrap(), TakenIn { n_new: 1, n_changed: 1, n_same: 1 });
    let order = ledger.find(Kind::Order, "V-0031").unwrap().unwrap();
    assert_eq!(ledger.history(order.id).unwrap().len(), 2);
    // What was deleted is not among the files, and comes back as one of them.
    ledger.delete(order.id, order.head, &stamp()).unwrap();
    assert!(!ledger.documents_as_files().unwrap().contains_key("orders/V-0031.toml"));
    assert_eq!(ledger.take_in_files(&more, &stamp()).unwrap(), TakenIn { n_new: 1, n_changed: 0, n_same: 2 });
}

#[test]
fn all_names_that_are_wrong_are_told_and_nothing_is_taken_in() {
    let files = map(&[
        ("../orders/x.toml", ""),
        ("orders/../x.toml", ""),
        ("orders/a.toml", "a"),
        ("orders/a.txt", ""),
        ("orders/sub/a.toml", ""),
        ("weather/a.toml", ""),
    ]);
    let mut ledger = Ledger::in_memory().unwrap();
    let refused = ledger.take_in_files(&files, &stamp()).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "these files are no documents: ../orders/x.toml, orders/../x.toml, orders/a.txt, orders/sub/a.toml, \
         weather/a.toml; name each like orders/V-0031.toml; nothing was taken in"
    );
    let long = map(&[("orders/a.toml", "a"), ("orders/b.toml", &"x".repeat(5 << 20))]);
    let refused = ledger.take_in_files(&long, &stamp());
    assert!(matches!(refused, Err(FilesError::Refused { .. })), "{refused:?}");
    assert!(ledger.documents(Kind::Order).unwrap().is_empty());
}

#[test]
fn names_lead_back() {
    for kind in Kind::ALL {
        assert_eq!(document_of(&file_name(kind, "V-0031")), Some((kind, "V-0031")));
    }
}
