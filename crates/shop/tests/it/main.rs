//! The store as a page or a command uses it.
#![expect(clippy::unwrap_used, reason = "a test may unwrap; helpers of tests are not recognised as such")]

mod decoder;
mod demo;
mod desk;
mod documents;
mod dossiers;
mod files;
mod kill;
mod orders;
mod parts;
mod sounds;

use shop::{EditOutcome, NewOrder, RevisionNumber, Store};

/// Who edits in these tests.
const TABLET: &str = "tablet";
const LAPTOP: &str = "laptop";

/// An empty shop with one order.
fn shop_with_order() -> Store {
    let store = Store::in_memory().unwrap();
    let new = NewOrder {
        number: "V-1".to_owned(),
        model: "railcar".to_owned(),
        scale: "HO".to_owned(),
        ..NewOrder::default()
    };
    store.create_order(&new, TABLET).unwrap();
    store
}

/// The demo shop, in memory.
fn demo_shop() -> Store {
    let store = Store::in_memory().unwrap();
    store.fill_demo("demo").unwrap();
    store
}

/// The revision that an edit made.
#[track_caller]
fn saved(outcome: EditOutcome) -> RevisionNumber {
    match outcome {
        EditOutcome::Saved { revision, .. } => revision,
        other => panic!("not saved: {other:?}"),
    }
}
