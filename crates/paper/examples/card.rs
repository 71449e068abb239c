//! Prints a handover card of the Vesper Lake scenario as HTML: `cargo run -p paper --example card -- [a4|letter] > card.html`.
//!
//! All content is invented; it shows every section of a card, so it is richer than the order of the same number.

mod vesper_lake;

use std::io::Write;

use paper::{PaperSize, card};

fn main() -> std::io::Result<()> {
    let size = match std::env::args().nth(1).as_deref() {
        Some("a4") => PaperSize::A4,
        Some("letter") => PaperSize::Letter,
        _ => PaperSize::AsPrinter,
    };
    let page = card(&vesper_lake::sample(&str::to_owned), size);
    std::io::stdout().lock().write_all(page.as_bytes())
}
