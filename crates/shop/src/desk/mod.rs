//! The desk: part sheets, trains and the orders of their units at hand, so that an order is read and judged with them.
//!
//! What it is: what a folder of documents (`folder`) and the store have in common.
//! What it is not: a reader of files or of the store; it is made from texts.

mod folder;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use datasheets::Shelf;
use documents::{Document, Faults, Name};
use inspection::{Inspection, Job, TrainPlace, inspect};
use workorder::{Train, WorkOrder};

pub use folder::read_sheet_file;

/// Part sheets, trains and the orders of their units at hand.
#[derive(Debug, Clone, Default)]
pub struct Desk {
    /// The part sheets: those of the standards and our own.
    pub shelf: Arc<Shelf>,
    folder: PathBuf,
    trains: Vec<Arc<Document<Train>>>,
    /// Orders that run in a train. One with faults is left out: they are told when it is checked itself.
    units: BTreeMap<Name, Arc<WorkOrder>>,
}

/// An order that was read and judged.
#[derive(Debug)]
pub struct CheckedOrder {
    /// The order.
    pub document: Document<WorkOrder>,
    /// Its answers and findings.
    pub inspection: Inspection,
    /// The train it runs in.
    pub train: Option<TrainMembership>,
}

/// An order's place in a train, with the documents of the whole train.
#[derive(Debug, Clone)]
pub struct TrainMembership {
    /// The train.
    pub train: Train,
    /// Which of its units this is, from 0.
    pub index: usize,
    /// The orders of its units; none where one is not at hand.
    pub orders: Vec<Option<WorkOrder>>,
}

impl CheckedOrder {
    /// The stops that nobody has taken upon themselves.
    #[must_use]
    pub fn stops(&self) -> Vec<&finding::Finding> {
        self.inspection.stops(&self.document.value)
    }
}

/// A document's text, with the name that messages show.
pub(crate) type NamedText = (String, String);

/// The standard sheets with others on top of them, and the faults of those that cannot be read.
pub(crate) fn shelf_with(sheets: impl IntoIterator<Item = NamedText>) -> (Shelf, Vec<Faults>) {
    let mut shelf = Shelf::standard();
    let mut faults = Vec::new();
    for (name, text) in sheets {
        match datasheets::read_sheet(&name, &text) {
            Ok(document) => shelf.add(document.value),
            Err(found) => faults.push(found),
        }
    }
    (shelf, faults)
}

impl Desk {
    /// A desk with these sheets, where nothing runs in a train yet.
    pub(crate) fn with_shelf(shelf: Arc<Shelf>) -> Self {
        Self { shelf, ..Self::default() }
    }

    /// Puts trains on the desk in place of those that are there; `orders` are the numbers of all orders. Returns the faults
    /// of trains that cannot be read.
    pub(crate) fn put_trains(
        &mut self,
        trains: impl IntoIterator<Item = NamedText>,
        orders: &[Name],
    ) -> Vec<Faults> {
        let mut faults = Vec::new();
        self.trains.clear();
        for (name, text) in trains {
            match workorder::read_train(&name, &text, orders) {
                Ok(document) => self.trains.push(Arc::new(document)),
                Err(found) => faults.push(found),
            }
        }
        faults
    }

    /// The numbers of the orders that run in a train.
    pub(crate) fn unit_numbers(&self) -> impl Iterator<Item = &Name> {
        self.trains.iter().flat_map(|train| &train.value.unit).map(|unit| &unit.order)
    }

    /// Puts the order of a unit on the desk, or takes it off where it cannot be read.
    pub(crate) fn put_unit(&mut self, number: Name, order: Option<WorkOrder>) {
        match order {
            Some(order) => drop(self.units.insert(number, Arc::new(order))),
            None => drop(self.units.remove(&number)),
        }
    }

    /// The trains at hand.
    pub fn trains(&self) -> impl Iterator<Item = &Train> {
        self.trains.iter().map(|train| &train.value)
    }

    /// Reads an order's text and judges it, in its train where it runs in one. `name` is what faults show.
    ///
    /// # Errors
    /// Every fault of the text at once.
    pub fn check_text(&self, name: &str, text: &str) -> Result<CheckedOrder, Faults> {
        Ok(self.judge(workorder::read_order(name, text, &self.shelf)?))
    }

    fn judge(&self, document: Document<WorkOrder>) -> CheckedOrder {
        let train = self.membership(&document.value);
        let orders: Vec<Option<&WorkOrder>> =
            train.iter().flat_map(|member| &member.orders).map(Option::as_ref).collect();
        let place = train.as_ref().map(|member| TrainPlace {
            train: &member.train,
            index: member.index,
            orders: &orders,
        });
        let inspection = inspect(&Job { order: &document.value, shelf: &self.shelf, train: place });
        CheckedOrder { document, inspection, train }
    }

    fn membership(&self, order: &WorkOrder) -> Option<TrainMembership> {
        self.trains.iter().find_map(|train| {
            let index = train.value.unit.iter().position(|unit| unit.order == order.order.number)?;
            let by_number = |number: &Name| {
                // Its own text is newer than what the desk may have of it.
                if *number == order.order.number {
                    Some(order.clone())
                } else {
                    self.units.get(number).map(|other| WorkOrder::clone(other))
                }
            };
            let orders = train.value.unit.iter().map(|unit| by_number(&unit.order)).collect();
            Some(TrainMembership { train: train.value.clone(), index, orders })
        })
    }
}
