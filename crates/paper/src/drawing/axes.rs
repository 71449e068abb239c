//! Axes: grid, ticks and titles around a plot's area.

use maud::{Markup, html};

use super::path::PathData;
use super::pen::{Anchor, Mark, Pen};

/// Where the curves lie; y grows downwards as in SVG.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

/// One axis: what it shows and its ticks.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Axis {
    /// What it shows, with the unit: "frequency in Hz".
    pub title: String,
    /// Position on the paper and label of each tick; an empty label draws the grid line alone.
    pub ticks: Vec<(f64, String)>,
}

/// Grid, frame, tick labels and titles. The vertical title lies flat above the axis, where it can be read without
/// turning the head.
#[must_use]
pub fn axes(pen: Pen, area: Area, across: &Axis, upwards: &Axis) -> Markup {
    let frame = [(area.left, area.top), (area.left, area.bottom), (area.right, area.bottom)];
    html! {
        @for (x, _) in &across.ticks {
            (pen.line(Mark::Grid, (*x, area.top), (*x, area.bottom)))
        }
        @for (y, _) in &upwards.ticks {
            (pen.line(Mark::Grid, (area.left, *y), (area.right, *y)))
        }
        (pen.path(Mark::Axis, &PathData::polyline(frame)))
        @for (x, label) in across.ticks.iter().filter(|(_, label)| !label.is_empty()) {
            (pen.text(Mark::Small, (*x, area.bottom + 15.0), Anchor::Middle, label))
        }
        @for (y, label) in upwards.ticks.iter().filter(|(_, label)| !label.is_empty()) {
            (pen.text(Mark::Small, (area.left - 6.0, *y + 3.6), Anchor::End, label))
        }
        (pen.text(Mark::Small, (area.left, area.top - 9.0), Anchor::Start, &upwards.title))
        (pen.text(Mark::Small, ((area.left + area.right) / 2.0, area.bottom + 32.0), Anchor::Middle, &across.title))
    }
}
