//! How long a person waits for findings: reading and checking the largest demo order, and answering again after one changed fact.

use datasheets::{Shelf, read_sheet};
use inspection::{Job, inspect};
use workorder::read_order;

fn main() {
    divan::main();
}

fn demo(path: &str) -> String {
    std::fs::read_to_string(format!("{}/../../demo/{path}", env!("CARGO_MANIFEST_DIR"))).unwrap_or_default()
}

fn shelf() -> Shelf {
    let mut shelf = Shelf::standard();
    let folder = format!("{}/../../demo/parts", env!("CARGO_MANIFEST_DIR"));
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let text = std::fs::read_to_string(entry.path()).unwrap_or_default();
        if let Ok(sheet) = read_sheet("sheet", &text) {
            shelf.add(sheet.value);
        }
    }
    shelf
}

/// Reading the text and judging it: what `check` does in process. The goal is 2 ms.
#[divan::bench(args = ["V-0031", "V-0033", "V-0036"])]
fn read_and_inspect(bencher: divan::Bencher<'_, '_>, order: &str) {
    let (shelf, text) = (shelf(), demo(&format!("orders/{order}.toml")));
    bencher.bench(|| {
        let document = read_order("order", &text, &shelf).ok()?;
        Some(inspect(&Job { order: &document.value, shelf: &shelf, train: None }).findings.len())
    });
}

/// Answering again after one changed fact, the document already read. The goal is 5 ms.
#[divan::bench]
fn answer_again(bencher: divan::Bencher<'_, '_>) {
    let (shelf, text) = (shelf(), demo("orders/V-0031.toml"));
    let Ok(document) = read_order("order", &text, &shelf) else { return };
    bencher.bench(|| inspect(&Job { order: &document.value, shelf: &shelf, train: None }).findings.len());
}
