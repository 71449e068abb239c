//! A document's text read as what its kind says it is.

use std::sync::LazyLock;

use datasheets::{PartKind, Sheet};
use documents::{Document, Faults, Name};
use ledger::{Kind, Ledger};
use serde_json::Value;
use workorder::{Dossier, Train, WorkOrder};

use super::open::kind_words;
use super::view::DocumentKey;
use crate::desk::Desk;
use crate::error::ShopError;

/// A document that could be read.
#[derive(Debug)]
pub(super) enum Readable {
    Order(Box<Document<WorkOrder>>),
    Train(Box<Document<Train>>),
    Part(Box<Document<Sheet>>),
    Dossier(Box<Document<Dossier>>),
    Truth(Box<Document<bench::Truth>>),
}

impl Readable {
    /// The name that the document gives itself; none where it gives none.
    pub(super) fn own_name(&self) -> Option<&Name> {
        match self {
            Self::Order(order) => Some(&order.value.order.number),
            Self::Train(train) => Some(&train.value.train.name),
            Self::Part(sheet) => Some(&sheet.value.part().name),
            Self::Dossier(dossier) => Some(&dossier.value.dossier.name),
            Self::Truth(truth) => truth.value.truth.order.as_ref(),
        }
    }

    /// The line that lists show.
    pub(super) fn title(&self) -> String {
        match self {
            Self::Order(order) => order.value.order.model.clone(),
            Self::Train(train) => {
                let head = &train.value.train;
                head.title.clone().unwrap_or_else(|| head.name.to_string())
            }
            Self::Part(sheet) => sheet.value.part().title.clone(),
            Self::Dossier(dossier) => dossier.value.dossier.model.clone(),
            Self::Truth(truth) => truth.value.truth.title.clone(),
        }
    }
}

/// The field in which a document of a kind gives itself a name.
pub(super) fn name_field(kind: Kind) -> finding::Path {
    finding::Path::new(match kind {
        Kind::Order => "order.number",
        Kind::Train => "train.name",
        Kind::Part => "part.name",
        Kind::Dossier => "dossier.name",
        Kind::BenchTruth => "truth.order",
    })
}

/// The name that faults show.
pub(super) fn shown_name(key: &DocumentKey) -> String {
    format!("{} {}", kind_words(key.kind), key.name)
}

/// Reads a document's text. The outer error is the store's, the inner one the text's.
pub(super) fn read(
    ledger: &Ledger,
    desk: &Desk,
    key: &DocumentKey,
    text: &str,
) -> Result<Result<Readable, Faults>, ShopError> {
    let name = shown_name(key);
    let shelf = &desk.shelf;
    Ok(match key.kind {
        Kind::Order => workorder::read_order(&name, text, shelf).map(|read| Readable::Order(Box::new(read))),
        Kind::Train => {
            let numbers = numbers_for(ledger, text)?;
            workorder::read_train(&name, text, &numbers).map(|read| Readable::Train(Box::new(read)))
        }
        Kind::Part => datasheets::read_sheet(&name, text).map(|read| Readable::Part(Box::new(read))),
        Kind::Dossier => {
            workorder::read_dossier(&name, text, shelf).map(|read| Readable::Dossier(Box::new(read)))
        }
        Kind::BenchTruth => bench::read_truth(&name, text, shelf).map(|read| Readable::Truth(Box::new(read))),
    })
}

/// The numbers of orders against which a train is read: only its own where all of those exist, since a large shop has many
/// thousand, else all of them, so that the nearest can be named.
pub(super) fn numbers_for(ledger: &Ledger, train: &str) -> Result<Vec<Name>, ShopError> {
    if let Ok(read) = documents::read::<Train>("train", train) {
        let mut numbers = Vec::new();
        for unit in &read.value.unit {
            if is_at_hand(ledger, unit.order.as_str())? {
                numbers.push(unit.order.clone());
            }
        }
        if numbers.len() == read.value.unit.len() {
            return Ok(numbers);
        }
    }
    let orders = ledger.documents(Kind::Order)?;
    Ok(orders.iter().filter_map(|order| Name::new(&order.name).ok()).collect())
}

fn is_at_hand(ledger: &Ledger, number: &str) -> Result<bool, ShopError> {
    Ok(ledger.find(Kind::Order, number)?.is_some_and(|order| !order.is_deleted))
}

/// The JSON Schema that tells the fields of a document; that of a part sheet depends on what it says it is.
pub(super) fn schema(kind: Kind, text: &str) -> &'static Value {
    static ORDER: LazyLock<Value> = LazyLock::new(|| documents::schema::<WorkOrder>("Backshop work order"));
    static TRAIN: LazyLock<Value> = LazyLock::new(|| documents::schema::<Train>("Backshop train"));
    static DOSSIER: LazyLock<Value> = LazyLock::new(|| documents::schema::<Dossier>("Backshop dossier"));
    static TRUTH: LazyLock<Value> =
        LazyLock::new(|| documents::schema::<bench::Truth>("Backshop bench truth"));
    static SHEETS: LazyLock<Vec<Value>> =
        LazyLock::new(|| PartKind::ALL.iter().map(|kind| datasheets::sheet_schema(*kind)).collect());
    match kind {
        Kind::Order => &ORDER,
        Kind::Train => &TRAIN,
        Kind::Dossier => &DOSSIER,
        Kind::BenchTruth => &TRUTH,
        Kind::Part => {
            let kind = finding::Path::new("part.kind");
            let said = forms::edit::get(&SHEETS[0], text, &kind).ok().flatten();
            // A sheet that does not say what it is has the fields that all sheets have, among others.
            let index = PartKind::ALL.iter().position(|kind| said.as_deref() == Some(kind.word()));
            &SHEETS[index.unwrap_or(0)]
        }
    }
}
