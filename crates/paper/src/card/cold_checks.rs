//! Cold checks: what the meter must read before any power is put on, and the wiring as found and as planned.

use maud::{Markup, html};

use super::Section;
use crate::figure::{Figure, figure};

/// Meter card and wiring; the section is left out when all of it is empty.
#[derive(Debug, Clone, Default)]
pub struct ColdChecks {
    /// Readings to take, in the order in which to take them.
    pub rows: Vec<MeterRow>,
    /// The wiring, as found beside as planned: usually two drawings.
    pub wiring: Vec<Figure>,
    /// The wires in words: what stays, what goes, what is new.
    pub wires: Vec<WireRow>,
}

/// One reading with the meter.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct MeterRow {
    /// Where the first lead goes.
    pub from: String,
    /// Where the second lead goes.
    pub to: String,
    /// What the meter must read: "13.5 to 14.9 ohm", "OL".
    pub expected: String,
    /// What other readings mean.
    pub wrong: Vec<WrongReading>,
    /// What it read; none prints an empty field to write in.
    pub found: Option<String>,
}

/// A wrong reading and what it tells.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WrongReading {
    /// The reading: "about 3.5 ohm".
    pub reading: String,
    /// What it means: "the speakers are still in parallel".
    pub means: String,
}

/// One wire.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WireRow {
    /// One end.
    pub from: String,
    /// The other end.
    pub to: String,
    /// What happens to it.
    pub change: WireChange,
}

/// What happens to a wire between "as found" and "as planned".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WireChange {
    /// It is taken off.
    TakenOff,
    /// It is put on.
    PutOn,
    /// It stays.
    Stays,
}

impl WireChange {
    /// The word that the card shows.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::TakenOff => "take off",
            Self::PutOn => "put on",
            Self::Stays => "stays",
        }
    }
}

pub(super) fn section(checks: &ColdChecks) -> Option<Section> {
    let is_empty = checks.rows.is_empty() && checks.wiring.is_empty() && checks.wires.is_empty();
    let body = html! {
        @if !checks.rows.is_empty() { (meter_card(&checks.rows)) }
        @if !checks.wiring.is_empty() || !checks.wires.is_empty() { (wiring(checks)) }
    };
    (!is_empty).then_some(Section { id: "cold-checks", title: "Cold checks", body })
}

/// Why the decoder has to be out: the meter drives the decoder's outputs (common practice of the trade).
const BEFORE: &str = "Decoder out of its socket, model off the rails, nothing powered. A meter put to a plugged-in decoder \
     drives its outputs and reads them instead of the wiring. OL means that the meter shows no connection.";

fn meter_card(rows: &[MeterRow]) -> Markup {
    html! {
        p class="before" { (BEFORE) }
        table class="meter stacks" {
            thead { tr {
                th scope="col" class="number" { "no." }
                th scope="col" { "from" }
                th scope="col" { "to" }
                th scope="col" { "must read" }
                th scope="col" { "any other reading" }
                th scope="col" { "read" }
            } }
            tbody {
                @for (index, row) in rows.iter().enumerate() {
                    tr {
                        td class="number" data-label="no." { (index + 1) }
                        td data-label="from" { (row.from) }
                        td data-label="to" { (row.to) }
                        td class="expected" data-label="must read" { (row.expected) }
                        td class="wrong" data-label="any other reading" {
                            @if row.wrong.is_empty() { "–" }
                            @for wrong in &row.wrong { p { b { (wrong.reading) } ": " (wrong.means) } }
                        }
                        td class="found" data-label="read" {
                            @if let Some(found) = &row.found { (found) } @else { span class="blank" { span class="unseen" { "to be read" } } }
                        }
                    }
                }
            }
        }
    }
}

fn wiring(checks: &ColdChecks) -> Markup {
    html! {
        h3 { "Wiring" }
        @if !checks.wiring.is_empty() {
            div class="figures" { @for one in &checks.wiring { (figure(one)) } }
        }
        @if !checks.wires.is_empty() {
            table class="wires" {
                thead { tr { th scope="col" { "wire" } th scope="col" { "from" } th scope="col" { "to" } } }
                tbody {
                    @for wire in &checks.wires {
                        tr {
                            th scope="row" class=(if wire.change == WireChange::Stays { "stays" } else { "changes" }) {
                                (wire.change.word())
                            }
                            td { (wire.from) }
                            td { (wire.to) }
                        }
                    }
                }
            }
        }
    }
}
