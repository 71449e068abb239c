//! Trains, dossiers and parts as the store hands them out.

use datasheets::PartKind;
use ledger::{Moment, MovementId};

use super::DocumentView;

/// A train in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrainRow {
    /// Its name.
    pub name: String,
    /// Its title; the name where it has none.
    pub title: String,
    /// Its consist address; none where the document has faults.
    pub consist_address: Option<u8>,
    /// The numbers of its units' orders, from the front.
    pub units: Vec<String>,
}

/// A train with its units.
#[derive(Debug, Clone)]
pub struct TrainView {
    /// Its document.
    pub document: DocumentView,
    /// What it says; none where it has faults.
    pub train: Option<workorder::Train>,
    /// Its units, from the front.
    pub units: Vec<TrainUnitView>,
}

/// A unit of a train.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainUnitView {
    /// The number of its order.
    pub order: String,
    /// The model; empty where the order cannot be read.
    pub model: String,
    /// Its address as people say it: `4031 long`; empty where there is none.
    pub address: String,
    /// Whether it faces to the rear.
    pub is_reversed: bool,
    /// Whether it powers the train.
    pub powers_train: bool,
    /// The findings of its order that belong to the train, gravest first.
    pub findings: Vec<finding::Finding>,
}

/// A dossier in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DossierRow {
    /// Its name.
    pub name: String,
    /// The model type.
    pub model: String,
    /// Its scale; empty where the document has faults.
    pub scale: String,
    /// How many things were learned.
    pub n_learned: usize,
}

/// A dossier with the orders of its model.
#[derive(Debug, Clone)]
pub struct DossierView {
    /// Its document.
    pub document: DocumentView,
    /// What it says; none where it has faults.
    pub dossier: Option<workorder::Dossier>,
    /// The orders of its model and scale.
    pub orders: Vec<String>,
}

/// A part in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartRow {
    /// Its sheet's name.
    pub name: String,
    /// What it is; none where the sheet cannot be read.
    pub kind: Option<PartKind>,
    /// Its title.
    pub title: String,
    /// Whether it comes with the standards; such a sheet cannot be edited, and one of the shop of the same name takes its
    /// place.
    pub is_standard: bool,
    /// Pieces in stock; none where nobody counted.
    pub in_stock: Option<i64>,
}

/// A part sheet.
#[derive(Debug, Clone)]
pub struct PartView {
    /// Its row in the list.
    pub row: PartRow,
    /// Its document; none for a sheet that comes with the standards.
    pub document: Option<DocumentView>,
    /// Its text.
    pub text: String,
    /// What it says; none where it has faults.
    pub sheet: Option<datasheets::Sheet>,
    /// What came and went, newest first.
    pub movements: Vec<StockMovement>,
    /// Orders that plan it.
    pub used_by: Vec<String>,
}

/// Pieces that came or went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockMovement {
    /// Which.
    pub id: MovementId,
    /// The part.
    pub part: String,
    /// How many came; negative where they went.
    pub pieces: i64,
    /// The order that they went into.
    pub order: Option<String>,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why.
    pub note: String,
}
