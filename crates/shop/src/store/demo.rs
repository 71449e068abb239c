//! The demo shop: the Vesper Lake scenario in a store.

use ledger::Kind;

use super::open::Store;
use super::view::DocumentKey;
use crate::demo::demo_documents;
use crate::error::ShopError;

/// What the demo brought.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DemoFilled {
    /// Documents that were begun.
    pub begun: Vec<DocumentKey>,
    /// Documents that were there already and were left alone.
    pub kept: Vec<DocumentKey>,
}

/// What was counted on the demo's shelf. One kind of speaker is used up, so that an order waits for it.
const STOCK: [(&str, i64); 7] = [
    ("demo-21-sound", 4),
    ("demo-8-paged", 3),
    ("ka-2200", 2),
    ("led-warm", 24),
    ("led-red", 12),
    ("round-20", 6),
    ("round-28", 0),
];

impl Store {
    /// Fills in the demo: parts, orders, trains, dossiers, the locomotives of the virtual bench, and a stock. What is there already is
    /// left alone.
    ///
    /// # Errors
    /// When the shop cannot be written.
    pub fn fill_demo(&self, by: &str) -> Result<DemoFilled, ShopError> {
        let mut filled = DemoFilled::default();
        // Parts first, so that everything is answered with them; orders before the trains that they run in.
        for kind in [Kind::Part, Kind::Order, Kind::Train, Kind::Dossier, Kind::BenchTruth] {
            for (folder, name, text) in demo_documents() {
                if folder != kind.folder() {
                    continue;
                }
                let key = DocumentKey::new(kind, name);
                if self.ledger().find(kind, &key.name)?.is_some() {
                    filled.kept.push(key);
                } else {
                    self.create(&key, &text, by)?;
                    filled.begun.push(key);
                }
            }
        }
        for (part, pieces) in STOCK {
            let is_counted = !self.ledger().movements(part)?.is_empty();
            if !is_counted {
                self.count_stock(part, pieces, "counted when the demo was filled in", by)?;
            }
        }
        self.settle();
        Ok(filled)
    }
}
