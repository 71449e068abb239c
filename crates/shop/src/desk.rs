//! The desk: a folder of documents opened, so that an order is read with its parts and its trains.

use std::path::{Path, PathBuf};

use datasheets::Shelf;
use documents::{Document, Faults, Name};
use inspection::{Inspection, Job, TrainPlace, inspect};
use workorder::{Train, WorkOrder};

use crate::error::ShopError;
use crate::files;

/// Part sheets, orders and trains at hand.
///
/// A folder of documents looks like this: `parts/*.toml`, `orders/*.toml`, `trains/*.toml`. An order outside such a
/// folder is read with the parts beside it, if there is a folder `parts`.
#[derive(Debug)]
pub struct Desk {
    /// The part sheets: those of the standards and those of the folder.
    pub shelf: Shelf,
    folder: PathBuf,
    trains: Vec<Document<Train>>,
    orders: Vec<Document<WorkOrder>>,
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

impl Desk {
    /// Opens the folder that an order, train or part lies in.
    ///
    /// # Errors
    /// Folders that cannot be read, part sheets and trains with faults: all of them at once.
    pub fn around(document: &Path, more_parts: &[PathBuf]) -> Result<Self, ShopError> {
        Self::open(&folder_of(document), more_parts)
    }

    /// Opens a folder of documents.
    ///
    /// # Errors
    /// As [`Self::around`].
    pub fn open(folder: &Path, more_parts: &[PathBuf]) -> Result<Self, ShopError> {
        let mut shelf = Shelf::standard();
        let mut faults: Vec<Faults> = Vec::new();
        let own = [folder.join("parts")];
        for folder in own.iter().chain(more_parts) {
            for file in files::documents_in(folder)? {
                match datasheets::read_sheet(&files::shown(&file), &files::read_document(&file)?) {
                    Ok(document) => shelf.add(document.value),
                    Err(found) => faults.push(found),
                }
            }
        }
        if !faults.is_empty() {
            return Err(ShopError::Faults { faults });
        }
        let mut desk = Self { shelf, folder: folder.to_owned(), trains: Vec::new(), orders: Vec::new() };
        desk.read_trains()?;
        Ok(desk)
    }

    /// Trains, and the orders they name. Orders with faults are left out here: they are told when they are checked
    /// themselves.
    fn read_trains(&mut self) -> Result<(), ShopError> {
        let trains = files::documents_in(&self.folder.join("trains"))?;
        if trains.is_empty() {
            return Ok(());
        }
        for file in files::documents_in(&self.folder.join("orders"))? {
            if let Ok(document) =
                workorder::read_order(&files::shown(&file), &files::read_document(&file)?, &self.shelf)
            {
                self.orders.push(document);
            }
        }
        let names: Vec<Name> = self.orders.iter().map(|order| order.value.order.number.clone()).collect();
        let mut faults = Vec::new();
        for file in trains {
            match workorder::read_train(&files::shown(&file), &files::read_document(&file)?, &names) {
                Ok(document) => self.trains.push(document),
                Err(found) => faults.push(found),
            }
        }
        if faults.is_empty() { Ok(()) } else { Err(ShopError::Faults { faults }) }
    }

    /// Every order of the folder, in order of their file names.
    ///
    /// # Errors
    /// When the folder cannot be read.
    pub fn order_files(&self) -> Result<Vec<PathBuf>, ShopError> {
        files::documents_in(&self.folder.join("orders"))
    }

    /// The folder that was opened.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Reads an order and judges it, in its train where it runs in one.
    ///
    /// # Errors
    /// A file that cannot be read, a document with faults.
    pub fn check(&self, order: &Path) -> Result<CheckedOrder, ShopError> {
        let text = files::read_document(order)?;
        let document = workorder::read_order(&files::shown(order), &text, &self.shelf)
            .map_err(|faults| ShopError::Faults { faults: vec![faults] })?;
        Ok(self.judge(document))
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
                if *number == order.order.number {
                    return Some(order.clone());
                }
                self.orders
                    .iter()
                    .find(|other| other.value.order.number == *number)
                    .map(|other| other.value.clone())
            };
            let orders = train.value.unit.iter().map(|unit| by_number(&unit.order)).collect();
            Some(TrainMembership { train: train.value.clone(), index, orders })
        })
    }
}

/// Reads one part sheet.
///
/// # Errors
/// A file that cannot be read, a sheet with faults.
pub fn read_sheet_file(file: &Path) -> Result<Document<datasheets::Sheet>, ShopError> {
    let text = files::read_document(file)?;
    datasheets::read_sheet(&files::shown(file), &text)
        .map_err(|faults| ShopError::Faults { faults: vec![faults] })
}

/// The folder of documents that a document belongs to: above `orders`, `trains` or `parts`, else the one it lies in.
fn folder_of(document: &Path) -> PathBuf {
    let lies_in = document.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let is_part_of_one =
        lies_in.file_name().is_some_and(|name| name == "orders" || name == "trains" || name == "parts");
    match lies_in.parent() {
        Some(above) if is_part_of_one => {
            if above.as_os_str().is_empty() {
                PathBuf::from(".")
            } else {
                above.to_owned()
            }
        }
        _ => lies_in.to_owned(),
    }
}
