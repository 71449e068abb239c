//! Printed sheets and drawings.
//!
//! What it is: pure functions from plain structs to one self-contained HTML page that prints well on A4 and on Letter
//! and reads well on a screen, and a small SVG toolkit for plots and diagrams.
//! What it is not: an engine. It computes no answer and judges nothing; it never sees a document, a store or a file.
//! The room `shop` fills the structs.
//!
//! Source for print: CSS Paged Media Level 3 and CSS Fragmentation Level 3 (from memory; looked at in one browser
//! engine's prints of both sizes).
//!
//! ```
//! use paper::{Card, Head, PaperSize, card};
//! let head = Head { order: "V-0031".into(), model: "Vesper Lake class 40 railcar".into(), ..Head::default() };
//! let page = card(&Card { head, ..Card::default() }, PaperSize::AsPrinter);
//! assert!(page.starts_with("<!DOCTYPE html>"));
//! ```

#![deny(clippy::disallowed_methods)]

mod card;
pub mod drawing;
mod figure;
mod glyph;
mod symbol;
mod wiring;

pub use card::{
    BitRange, Card, CardFinding, Care, Caution, ColdChecks, CvContent, CvPlace, CvRow, Head, Key, KeyDeed,
    Labelled, MeterRow, PaperSize, Proof, Proven, Setting, Settings, Topic, TrainPlace, TrainUnit, Trial,
    TrialResult, WireChange, WireRow, WrongReading, card,
};
pub use figure::{DataTable, Figure, data_table};
pub use glyph::Glyph;
pub use symbol::severity as severity_symbol;
pub use wiring::{Badge, DrawnPart, JointChange, PartShape, WiringPanel, wiring_diagram};
