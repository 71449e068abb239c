//! The demo's files: shelf, orders and truths.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use bench::{Locomotive, Truth, read_truth};
use cvplan::{Settlement, settle};
use datasheets::{DecoderSheet, Shelf, read_sheet};
use track::{Job, Permit};
use workorder::{WorkOrder, read_order};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(name)
}

fn text(folder_name: &str, name: &str) -> String {
    let file = folder(folder_name).join(format!("{name}.toml"));
    std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

/// The standard shelf and the demo's parts.
pub(crate) fn shelf() -> &'static Shelf {
    static SHELF: LazyLock<Shelf> = LazyLock::new(|| {
        let mut shelf = Shelf::standard();
        let entries = std::fs::read_dir(folder("parts")).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned())
            .collect();
        names.sort();
        for name in names {
            let sheet = read_sheet(&name, &text("parts", &name)).unwrap_or_else(|faults| panic!("{faults}"));
            shelf.add(sheet.value);
        }
        shelf
    });
    &SHELF
}

/// A work order, what its wishes came to, and the sheet of its decoder.
pub(crate) struct Order {
    pub(crate) order: WorkOrder,
    pub(crate) settled: Settlement,
    pub(crate) sheet: DecoderSheet,
}

impl Order {
    pub(crate) fn of_demo(number: &str) -> Self {
        let document = read_order(number, &text("orders", number), shelf());
        let order = document.unwrap_or_else(|faults| panic!("{faults}")).value;
        let decoder = order.plan.as_ref().unwrap().decoder.as_ref().unwrap();
        let sheet = shelf().decoders[decoder].clone();
        Self { settled: settle(&order, &sheet), order, sheet }
    }

    pub(crate) fn job(&self) -> Job<'_> {
        Job {
            name: self.order.order.number.as_str(),
            targets: &self.settled.targets,
            sheet: &self.sheet,
            identity: None,
            earlier: None,
            permit: Permit::without_job(),
        }
    }
}

/// What is really on the track for an order, or under `faults/…`.
pub(crate) fn truth(name: &str) -> Truth {
    read_truth(name, &text("bench", name), shelf()).unwrap_or_else(|faults| panic!("{faults}")).value
}

pub(crate) fn locomotive(name: &str, seed: u64) -> Locomotive {
    Locomotive::new(&truth(name), shelf(), seed).unwrap()
}
