//! Two browsers on the same order: each sees what the other did.

use std::sync::mpsc::TryRecvError;
use std::thread;

use ledger::{DocumentError, Kind, Ledger, Sequence, Subject};

use crate::programs::Folder;
use crate::sample::{number, stamp};

#[test]
fn each_sees_the_others_changes_and_neither_overwrites_them() {
    let folder = Folder::new();
    let mut tablet = Ledger::open(&folder.file("shop.sqlite")).unwrap();
    let mut phone = tablet.another().unwrap();
    let heard = phone.watch();
    let first = tablet.save(Kind::Order, "V-0031", "one", None, &stamp(1)).unwrap();
    let change = heard.recv().unwrap();
    let subject = Subject::Document { document: first.document, number: first.number };
    assert_eq!((change.subject, change.by.as_str()), (subject, "tablet"));
    assert_eq!(phone.changes_since(Sequence::START, 9).unwrap(), [change]);

    // Both edit what they saw; the second is shown what the first wrote.
    tablet.save_upon(first.document, "tablet's", first.number, &stamp(2)).unwrap();
    let refused = phone.save_upon(first.document, "phone's", first.number, &stamp(2)).unwrap_err();
    let DocumentError::Conflict(conflict) = refused else { panic!("{refused}") };
    assert_eq!(conflict.theirs.text, "tablet's");
    let theirs = conflict.theirs.record.number;
    phone.save_upon(first.document, "tablet's and phone's", theirs, &stamp(3)).unwrap();
    assert_eq!(tablet.current(first.document).unwrap().text, "tablet's and phone's");
    assert_eq!(heard.try_iter().count(), 2);
    assert_eq!(heard.try_recv(), Err(TryRecvError::Empty));

    // A connection opened on its own, as another program's, is not heard, but its changes are found.
    let mut other = Ledger::open(&folder.file("shop.sqlite")).unwrap();
    let last = phone.newest_change().unwrap();
    other.save_upon(first.document, "other's", number(3), &stamp(4)).unwrap();
    assert_eq!(heard.try_recv(), Err(TryRecvError::Empty));
    assert_eq!(phone.changes_since(last, 9).unwrap().len(), 1);
}

#[test]
fn every_change_is_heard_once_from_any_thread() {
    let folder = Folder::new();
    let ledger = Ledger::open(&folder.file("shop.sqlite")).unwrap();
    let heard = ledger.watch();
    thread::scope(|scope| {
        for thread in 0..4 {
            let mut own = ledger.another().unwrap();
            scope.spawn(move || {
                for index in 0..25 {
                    own.save(Kind::Part, &format!("p-{thread}-{index}"), "text", None, &stamp(1)).unwrap();
                }
            });
        }
    });
    let mut sequences: Vec<Sequence> = heard.try_iter().map(|change| change.sequence).collect();
    assert_eq!(sequences.len(), 100);
    // Two that were kept at the same time may be told in either order; none is missing and none is told twice.
    sequences.sort();
    assert!(sequences.iter().copied().eq((1..=100).map(Sequence::new)));
}

#[test]
fn a_new_shop_is_begun_once_however_many_begin_it() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    thread::scope(|scope| {
        for index in 0..8 {
            let shop = &shop;
            scope.spawn(move || {
                let mut ledger = Ledger::open(shop).unwrap();
                ledger.save(Kind::Part, &format!("p-{index}"), "text", None, &stamp(1)).unwrap();
            });
        }
    });
    let ledger = Ledger::open(&shop).unwrap();
    assert!(ledger.verify().unwrap().is_sound());
    assert_eq!(ledger.documents(Kind::Part).unwrap().len(), 8);
}
