//! What a person waits for at the page: the answer after one changed fact, the board and the search of a large shop.

use std::sync::LazyLock;

use finding::Path;
use shop::{BoardQuestion, DocumentKey, EditOutcome, Lane, Store};
use workorder::WaitsFor;

fn main() {
    divan::main();
}

static DEMO: LazyLock<Store> = LazyLock::new(|| {
    let store = Store::in_memory().expect("a shop in memory");
    store.fill_demo("bench").expect("the demo");
    store
});

/// One fact changed, kept, and the whole order answered anew, as a page asks for it.
#[divan::bench(args = ["V-0031", "V-0033", "V-0036"])]
fn edit_and_answer(bencher: divan::Bencher<'_, '_>, number: &str) {
    change_a_fact(bencher, &DEMO, number);
}

/// The same in a shop on the disk, which is flushed at every change.
#[divan::bench]
fn edit_and_answer_on_disk(bencher: divan::Bencher<'_, '_>) {
    let folder = tempfile::tempdir().expect("a folder");
    let store = Store::open(&folder.path().join("shop")).expect("a shop");
    store.fill_demo("bench").expect("the demo");
    change_a_fact(bencher, &store, "V-0031");
}

/// A shop with the demo in it, opened and asked for its board: what stands between the command and the first page.
#[divan::bench]
fn open_and_board(bencher: divan::Bencher<'_, '_>) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("shop");
    Store::open(&file).expect("a shop").fill_demo("bench").expect("the demo");
    bencher.bench(|| {
        let store = Store::open(&file).expect("the shop");
        store.board(&BoardQuestion { lane: None, skip: 0, limit: 50 }).expect("the board")
    });
}

fn change_a_fact(bencher: divan::Bencher<'_, '_>, store: &Store, number: &str) {
    let key = DocumentKey::order(number);
    let path = Path::new("survey.stall-current");
    let mut at = store.document(&key).expect("the order").revision;
    let mut is_high = false;
    bencher.bench_local(|| {
        is_high = !is_high;
        let value = if is_high { "0.63 A" } else { "0.61 A" };
        match store.edit(&key, &path, value, at, "bench").expect("an edit") {
            EditOutcome::Saved { revision, .. } => at = revision,
            other => panic!("{other:?}"),
        }
        store.order(number).expect("the order")
    });
}

/// The order's text read, judged and its speakers computed; nothing kept, nothing known before.
#[divan::bench(args = ["V-0031", "V-0033", "V-0036"])]
fn answer_alone(bencher: divan::Bencher<'_, '_>, number: &str) {
    let desk = DEMO.desk().expect("the desk");
    let text = DEMO.document(&DocumentKey::order(number)).expect("the order").text;
    bencher.bench(|| {
        let checked = desk.check_text("order", &text).expect("a sound order");
        shop::sound_report(&desk, &checked)
    });
}

/// An order that was answered already, as a second browser asks for it.
#[divan::bench]
fn order_at_hand() -> shop::OrderView {
    DEMO.order("V-0031").expect("the order")
}

/// How many orders a large shop has.
const N_ORDERS: usize = 20_000;
/// How many it has where the benches are only run once, as tests.
const N_FEW: usize = 200;

/// A large shop: most orders are handed over, a hundred are on the board.
static LARGE: LazyLock<Store> = LazyLock::new(|| {
    let store = Store::in_memory().expect("a shop in memory");
    let n_orders = if std::env::args().any(|argument| argument == "--bench") { N_ORDERS } else { N_FEW };
    for number in 0..n_orders {
        let done = if number % 200 == 0 { "" } else { "\n[progress]\ndone = [\"handover\"]\n" };
        let text = format!(
            "[order]\nnumber = \"L-{number}\"\nmodel = \"model {} of the lake line\"\nscale = \"HO\"\nclient = \"client {}\"\n{done}",
            number % 97,
            number % 311
        );
        store.create(&DocumentKey::order(format!("L-{number}")), &text, "bench").expect("an order");
    }
    store
});

/// Asks the large shop, which is made before the clock runs.
fn ask<T>(bencher: divan::Bencher<'_, '_>, question: impl Fn(&Store) -> T + Sync) {
    let store = &*LARGE;
    bencher.bench(|| question(store));
}

#[divan::bench(sample_count = 20)]
fn board_of_20_000_orders(bencher: divan::Bencher<'_, '_>) {
    ask(bencher, |store| store.board(&BoardQuestion { lane: None, skip: 0, limit: 50 }).expect("the board"));
}

#[divan::bench(sample_count = 20)]
fn handed_over_of_20_000_orders(bencher: divan::Bencher<'_, '_>) {
    let question = BoardQuestion { lane: Some(Lane::HandedOver), skip: 0, limit: 50 };
    ask(bencher, |store| store.board(&question).expect("the board"));
}

#[divan::bench(sample_count = 20)]
fn one_lane_of_20_000_orders(bencher: divan::Bencher<'_, '_>) {
    let question = BoardQuestion { lane: Some(Lane::Waits(WaitsFor::Measurement)), skip: 0, limit: 50 };
    ask(bencher, |store| store.board(&question).expect("the board"));
}

#[divan::bench(sample_count = 20)]
fn search_20_000_orders(bencher: divan::Bencher<'_, '_>) {
    ask(bencher, |store| store.search("lake line client 17", 50).expect("a search"));
}
