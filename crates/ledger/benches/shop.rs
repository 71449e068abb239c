//! How long a person waits in a shop of 20 000 orders and a million CV readings.
//!
//! What it is: the board, the search and the saving of one revision, on a real file, with every save flushed to the disk. The
//! shop is made once per run, which takes most of its time.
//! What it is not: a test; `cargo bench -p ledger -- --test` runs each once, on a small shop.

use std::path::PathBuf;
use std::sync::{Mutex, OnceLock};

use divan::{Bencher, black_box};
use ledger::{
    BoardLine, BoardOrder, BoardQuery, DocumentError, Kind, Ledger, Moment, Place, Reading, ReadingQuery,
    SearchQuery, SeverityCounts, Stamp, Told, WaitsFor,
};

const WORDS: [&str; 40] = [
    "railcar",
    "shunter",
    "steam",
    "brush",
    "frame",
    "speaker",
    "tender",
    "lamp",
    "resistor",
    "socket",
    "motor",
    "wire",
    "red",
    "black",
    "yellow",
    "grey",
    "measured",
    "opposition",
    "keep-alive",
    "capacitor",
    "horn",
    "bell",
    "momentum",
    "address",
    "consist",
    "impedance",
    "enclosure",
    "solder",
    "shell",
    "screw",
    "weight",
    "coupler",
    "pickup",
    "wheel",
    "gear",
    "worm",
    "client",
    "night",
    "mail",
    "lake",
];

fn main() {
    divan::main();
    let _ = std::fs::remove_dir_all(folder());
}

fn folder() -> PathBuf {
    std::env::temp_dir().join(format!("ledger-bench-{}", std::process::id()))
}

fn stamp(at: i64) -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(at), "bench")
}

/// A fixed sequence of numbers, so that every run measures the same.
struct Numbers(u32);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        usize::try_from(self.0 >> 8).unwrap_or(0) % limit
    }

    /// Words of which the first ones are common and the last ones rare, among them some that occur only here.
    fn text(&mut self, n_words: usize) -> String {
        let mut text = String::new();
        for _ in 0..n_words {
            let most = self.below(WORDS.len()) + 1;
            text.push_str(WORDS[self.below(most)]);
            text.push(' ');
            if self.below(20) == 0 {
                text.push_str(&format!("x{:x} ", self.below(1 << 24)));
            }
        }
        text
    }
}

fn make() -> Ledger {
    let is_test = std::env::args().any(|argument| argument == "--test");
    let (n_orders, n_snapshots) = if is_test { (200, 50) } else { (20_000, 5_000) };
    std::fs::create_dir_all(folder()).expect("a folder");
    let mut ledger = Ledger::open(&folder().join("shop.sqlite")).expect("a shop");
    let mut numbers = Numbers(1);
    ledger
        .together::<(), DocumentError>(|ledger| {
            for index in 0..n_orders {
                let name = format!("V-{index:05}");
                let text =
                    format!("[order]\nnumber = \"{name}\"\nnote = \"\"\"{}\"\"\"\n", numbers.text(350));
                let at = stamp(i64::from(index));
                let saved = ledger.save(Kind::Order, &name, &text, None, &at)?;
                let stops = u32::try_from(numbers.below(4)).expect("small");
                let told = Told {
                    title: numbers.text(4),
                    notes: numbers.text(10),
                    findings: numbers.text(60),
                    board: Some(BoardLine {
                        number: name,
                        model: numbers.text(3),
                        waits_for: WaitsFor::ALL[numbers.below(WaitsFor::ALL.len())],
                        findings: SeverityCounts { stops, ..SeverityCounts::default() },
                    }),
                };
                ledger.tell(saved.document, saved.number, &told)?;
            }
            Ok(())
        })
        .expect("orders");
    let orders = ledger.documents(Kind::Order).expect("orders");
    ledger
        .together::<(), ledger::SnapshotError>(|ledger| {
            for index in 0..n_snapshots {
                let readings: Vec<Reading> = (1..=200)
                    .map(|cv| Reading {
                        place: Place { page: None, cv },
                        value: u8::try_from(numbers.below(256)).ok(),
                    })
                    .collect();
                let order = orders[index % orders.len()].id;
                ledger.keep_snapshot(order, None, "demo-21-sound", &readings, &stamp(0))?;
            }
            Ok(())
        })
        .expect("snapshots");
    ledger
}

/// The large shop, made once.
fn with_shop<T>(act: impl FnOnce(&mut Ledger) -> T) -> T {
    static SHOP: OnceLock<Mutex<Ledger>> = OnceLock::new();
    let mut ledger = SHOP.get_or_init(|| Mutex::new(make())).lock().expect("nobody panicked");
    act(&mut ledger)
}

#[divan::bench(args = [BoardOrder::Number, BoardOrder::Title, BoardOrder::Model, BoardOrder::Gravity, BoardOrder::Changed])]
fn board_page(bencher: Bencher<'_, '_>, order: BoardOrder) {
    with_shop(|ledger| {
        let query = BoardQuery { waits_for: None, order, offset: 0, limit: 50 };
        bencher.bench_local(|| ledger.board(black_box(&query)).expect("a page"));
    });
}

#[divan::bench]
fn board_page_of_what_waits_for_parts_far_behind(bencher: Bencher<'_, '_>) {
    with_shop(|ledger| {
        let query = BoardQuery {
            waits_for: Some(WaitsFor::Parts),
            order: BoardOrder::Gravity,
            offset: 3_900,
            limit: 50,
        };
        bencher.bench_local(|| ledger.board(black_box(&query)).expect("a page"));
    });
}

#[divan::bench]
fn board_counts(bencher: Bencher<'_, '_>) {
    with_shop(|ledger| bencher.bench_local(|| ledger.board_counts().expect("counts")));
}

#[divan::bench(args = ["V-12345", "xa", "lake", "railcar", "r", "railcar shunter steam", "night mail lake worm", "nowhere"])]
fn search(bencher: Bencher<'_, '_>, words: &str) {
    with_shop(|ledger| {
        let query = SearchQuery { words, kind: None, offset: 0, limit: 20 };
        bencher.bench_local(|| ledger.search(black_box(&query)).expect("hits"));
    });
}

#[divan::bench(args = [Some(6), None])]
fn search_readings(bencher: Bencher<'_, '_>, value: Option<u8>) {
    with_shop(|ledger| {
        let query = ReadingQuery { place: Place { page: None, cv: 29 }, value, offset: 0, limit: 50 };
        bencher.bench_local(|| ledger.find_readings(black_box(&query)).expect("hits"));
    });
}

#[divan::bench]
fn compare_two_snapshots(bencher: Bencher<'_, '_>) {
    with_shop(|ledger| {
        let orders = ledger.documents(Kind::Order).expect("orders");
        let [first, second] =
            [0, 1].map(|index| ledger.snapshots_of(orders[index].id).expect("snapshots")[0].id);
        bencher.bench_local(|| ledger.compare_snapshots(first, second).expect("differences"));
    });
}

#[divan::bench]
fn read_an_order(bencher: Bencher<'_, '_>) {
    with_shop(|ledger| {
        bencher.bench_local(|| {
            let document = ledger.find(Kind::Order, black_box("V-00100")).expect("a shop").expect("an order");
            ledger.current(document.id).expect("an order")
        });
    });
}

/// A keystroke: the new text is safe on the disk when it returns.
#[divan::bench]
fn save_one_revision(bencher: Bencher<'_, '_>) {
    with_shop(|ledger| {
        let document = ledger.find(Kind::Order, "V-00100").expect("a shop").expect("an order").id;
        bencher.bench_local(|| {
            let current = ledger.current(document).expect("an order");
            let text = format!("{}x", current.text);
            ledger.save_upon(document, &text, current.record.number, &stamp(0)).expect("kept")
        });
    });
}

#[divan::bench]
fn append_a_journal_line(bencher: Bencher<'_, '_>) {
    with_shop(|ledger| {
        let document = ledger.find(Kind::Order, "V-00101").expect("a shop").expect("an order").id;
        let open = ledger.unfinished_runs().expect("runs").first().map(|run| run.id);
        let run = open.unwrap_or_else(|| ledger.begin_run(document, &stamp(0)).expect("a run"));
        let at = Moment::from_unix_millis(0);
        bencher.bench_local(|| {
            ledger.append_line(run, "{\"version\":1,\"entry\":\"finished\"}", at).expect("kept")
        });
    });
}

#[divan::bench]
fn open_the_shop(bencher: Bencher<'_, '_>) {
    with_shop(|_| {});
    let place = folder().join("shop.sqlite");
    bencher.bench_local(|| Ledger::open(&place).expect("a shop"));
}
