//! The place in a train: consist address, order of the units, who does what.

use maud::{Markup, html};

use super::Section;
use crate::drawing::{About, Anchor, Drawing, Mark, Paint, PathData, Pen, shortened};

/// The train that the model runs in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TrainPlace {
    /// What the train is: "class 40 railcar set".
    pub title: String,
    /// The address that all units answer to: "40".
    pub consist_address: String,
    /// The units, from the front.
    pub units: Vec<TrainUnit>,
    /// What else to know when running it, one line each.
    pub notes: Vec<String>,
}

/// One unit of a train.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TrainUnit {
    /// The number of its work order.
    pub order: String,
    /// The model.
    pub model: String,
    /// Its own address.
    pub address: String,
    /// Whether its front looks to the rear of the train.
    pub is_reversed: bool,
    /// Whether this card is about it.
    pub is_this: bool,
    /// What it does for the train: "horn and bell", "powers the train".
    pub duties: Vec<String>,
}

pub(super) fn section(train: &TrainPlace) -> Section {
    let body = html! {
        p class="lead" {
            "Runs in " b { (train.title) } ". Every unit answers to the consist address "
            b class="plate" { (train.consist_address) } "."
        }
        @if !train.units.is_empty() {
            div class="strip" tabindex="0" role="group" aria-label="the units of the train" { (strip(&train.units)) }
            table class="units stacks" {
                thead { tr {
                    th scope="col" { "place" }
                    th scope="col" { "unit" }
                    th scope="col" { "own address" }
                    th scope="col" { "faces" }
                    th scope="col" { "does for the train" }
                } }
                tbody { @for (index, unit) in train.units.iter().enumerate() { (line(index, unit)) } }
            }
        }
        @for note in &train.notes { p class="note" { (note) } }
    };
    Section { id: "train", title: "Place in the train", body }
}

fn line(index: usize, unit: &TrainUnit) -> Markup {
    html! {
        tr class=[unit.is_this.then_some("this")] {
            td data-label="place" { (index + 1) }
            td data-label="unit" {
                (unit.order) ", " (unit.model)
                @if unit.is_this { " " b { "(this one)" } }
            }
            td data-label="own address" { (unit.address) }
            td data-label="faces" { (if unit.is_reversed { "to the rear" } else { "to the front" }) }
            td data-label="does for the train" {
                @if unit.duties.is_empty() { "–" } @else { (unit.duties.join(", ")) }
            }
        }
    }
}

const UNIT_WIDTH: f64 = 118.0;
const UNIT_HEIGHT: f64 = 40.0;
const NOSE: f64 = 16.0;
const GAP: f64 = 12.0;
const LEFT: f64 = 4.0;
const TOP: f64 = 22.0;

/// The units in a row, front of the train on the left; the pointed end is the unit's own front.
fn strip(units: &[TrainUnit]) -> Drawing {
    let pen = Pen::new(Paint::Page);
    let places: Vec<(f64, &TrainUnit)> = units
        .iter()
        .scan(LEFT, |left, unit| {
            let here = *left;
            *left += UNIT_WIDTH + GAP;
            Some((here, unit))
        })
        .collect();
    let width = places.last().map_or(0.0, |(left, _)| left + UNIT_WIDTH + LEFT).max(150.0);
    let rail = TOP + UNIT_HEIGHT + 9.0;
    let content = html! {
        (pen.text(Mark::Small, (LEFT, 12.0), Anchor::Start, "front of the train"))
        (pen.line(Mark::Axis, (0.0, rail), (width, rail)))
        @for (left, unit) in &places {
            (pen.path(if unit.is_this { Mark::Emphasis } else { Mark::Outline }, &body(*left, unit.is_reversed)))
            @for share in [0.27, 0.73] {
                (pen.circle(Mark::Outline, (left + UNIT_WIDTH * share, rail - 4.5), 4.0))
            }
            @let middle = left + (UNIT_WIDTH + if unit.is_reversed { -NOSE } else { NOSE }) / 2.0;
            (pen.text(Mark::Strong, (middle, TOP + 17.0), Anchor::Middle, &fitted(&unit.order)))
            (pen.text(Mark::Small, (middle, TOP + 32.0), Anchor::Middle, &fitted(&unit.address)))
        }
        @for pair in places.windows(2) {
            @let from = pair[0].0 + UNIT_WIDTH;
            (pen.line(Mark::Outline, (from, TOP + UNIT_HEIGHT - 7.0), (from + GAP, TOP + UNIT_HEIGHT - 7.0)))
        }
    };
    let about = About {
        name: "train".to_owned(),
        title: "the units of the train from the front".to_owned(),
        description:
            "each unit as a box whose pointed end is its own front; the unit of this card has a heavy edge; \
                      the table below says the same in words"
                .to_owned(),
    };
    Drawing::new(&about, (width, rail + 2.0), Paint::Page, &content)
}

/// Cut to the room beside the nose; the table has the words whole.
fn fitted(words: &str) -> String {
    shortened(words, 12.0, UNIT_WIDTH - 2.0 * NOSE)
}

fn body(left: f64, is_reversed: bool) -> PathData {
    let (right, bottom, middle) = (left + UNIT_WIDTH, TOP + UNIT_HEIGHT, TOP + UNIT_HEIGHT / 2.0);
    if is_reversed {
        PathData::polygon([
            (left, TOP),
            (right - NOSE, TOP),
            (right, middle + 4.0),
            (right, bottom),
            (left, bottom),
        ])
    } else {
        PathData::polygon([
            (right, TOP),
            (left + NOSE, TOP),
            (left, middle + 4.0),
            (left, bottom),
            (right, bottom),
        ])
    }
}
