//! A shop that another program holds.

use std::io::{BufRead, BufReader, Write};
use std::time::Duration;

use ledger::{DocumentError, Kind, Ledger, StoreError};

use crate::programs::{Folder, other_programs_shop, start};
use crate::sample::stamp;

/// Holds the right to write until it is told to let go.
#[test]
fn other_program_that_holds() {
    let Some(shop) = other_programs_shop() else { return };
    let mut ledger = Ledger::open(&shop).unwrap();
    ledger
        .together(|ledger| {
            ledger.save(Kind::Order, "V-0032", "theirs", None, &stamp(1))?;
            println!("\nholding");
            std::io::stdin().lines().next();
            Ok::<(), DocumentError>(())
        })
        .unwrap();
}

#[test]
fn a_held_shop_is_read_and_not_written_and_says_so() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    let mut ledger = Ledger::open(&shop).unwrap();
    ledger.save(Kind::Order, "V-0031", "ours", None, &stamp(1)).unwrap();
    let mut child = start("lock::other_program_that_holds", &shop);
    let mut told = BufReader::new(child.stdout.take().unwrap()).lines();
    assert!(told.any(|line| line.unwrap() == "holding"));
    ledger.set_patience(Duration::from_millis(50)).unwrap();
    let locked = ledger.save(Kind::Order, "V-0033", "ours", None, &stamp(2)).unwrap_err();
    assert!(matches!(locked, DocumentError::Store(StoreError::Locked)), "{locked}");
    assert_eq!(
        locked.to_string(),
        "the shop is locked by another program; this was not kept, everything before it was; end the other program and \
         try again"
    );
    // Reading goes on, and so does opening; what the other has not kept yet is not seen.
    let names = |ledger: &Ledger| -> Vec<String> {
        ledger.documents(Kind::Order).unwrap().into_iter().map(|document| document.name).collect()
    };
    assert_eq!(names(&ledger), ["V-0031"]);
    assert_eq!(names(&Ledger::open(&shop).unwrap()), ["V-0031"]);
    child.stdin.take().unwrap().write_all(b"let go\n").unwrap();
    for _ in told {}
    assert!(child.wait().unwrap().success());
    ledger.save(Kind::Order, "V-0033", "ours", None, &stamp(3)).unwrap();
    assert_eq!(names(&ledger), ["V-0031", "V-0032", "V-0033"]);
}
