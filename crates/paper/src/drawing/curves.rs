//! Curves over frequency: the plot and the table that levels and impedances share.
//!
//! What it is: frame, ticks, curves with different dashes and a label at the end of each. The drawn area carries its limits as
//! data, so that a page can tell the value under a finger from the drawing alone.
//! What it is not: a computation. The curves come as points; between them straight lines are drawn.

use maud::{Markup, html};

use super::axes::{Area, Axis, axes};
use super::label::{shortened, spread, text_width};
use super::path::{PathData, tenths};
use super::pen::{Anchor, Mark, Paint, Pen};
use super::scale::{LinearScale, LogScale, hertz_label, plain_label};
use super::{About, Drawing};
use crate::figure::DataTable;

/// One curve as plain numbers.
pub(super) struct Curve<'a> {
    /// What stands at its end.
    pub(super) label: &'a str,
    /// Frequency in hertz and value, by rising frequency.
    pub(super) points: Vec<(f64, f64)>,
}

/// The words and limits around the curves.
pub(super) struct Frame<'a> {
    pub(super) about: &'a About,
    /// What the value is, with its unit and conditions.
    pub(super) value: &'a str,
    /// The unit alone, for readings.
    pub(super) unit: &'static str,
    /// Frequencies shown, in hertz.
    pub(super) frequencies: (f64, f64),
    /// Values shown.
    pub(super) values: (f64, f64),
}

/// Size of the plot in drawing units.
const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 300.0;
const LEFT: f64 = 44.0;
const TOP: f64 = 28.0;
const BOTTOM: f64 = 256.0;
/// Height of the labels at the curves, and the least distance of their base lines.
const LABEL_HEIGHT: f64 = 12.0;
const LABEL_GAP: f64 = 15.0;
/// The labels may take this share of the width; longer ones are cut (the table has them whole).
const MOST_LABEL_SHARE: f64 = 0.34;
/// A table's cell shows the nearest point, if one lies within a sixth of an octave.
const NEAR_OCTAVES: f64 = 1.0 / 6.0;

/// Draws values over frequency on a logarithmic scale. Parts of a curve outside the limits are cut off at the edge of the area;
/// points at 0 Hz cannot be drawn and are left out.
pub(super) fn curve_plot(curves: &[Curve<'_>], frame: &Frame<'_>, paint: Paint) -> Drawing {
    let pen = Pen::new(paint);
    let names: Vec<String> =
        curves.iter().map(|one| shortened(one.label, LABEL_HEIGHT, WIDTH * MOST_LABEL_SHARE)).collect();
    let room = names.iter().map(|name| text_width(name, LABEL_HEIGHT)).fold(0.0, f64::max);
    let area = Area { left: LEFT, top: TOP, right: WIDTH - room - 34.0, bottom: BOTTOM };
    let (Some(across), Some(upwards)) = (
        LogScale::new(frame.frequencies, (area.left, area.right)),
        LinearScale::new(frame.values, (area.bottom, area.top)),
    ) else {
        // Limits that leave no room: an empty frame says so instead of a wrong picture.
        let note = pen.text(
            Mark::Label,
            (LEFT, TOP),
            Anchor::Start,
            "the limits of this plot leave no room for curves",
        );
        return Drawing::new(frame.about, (WIDTH, HEIGHT), paint, &note);
    };

    let drawn: Vec<Vec<(f64, f64)>> = curves
        .iter()
        .map(|one| {
            let place = |(hertz, value): &(f64, f64)| (across.at(*hertz), upwards.at(*value));
            one.points.iter().filter(|(hertz, _)| *hertz > 0.0).map(place).collect()
        })
        .collect();
    let frequency_axis = Axis {
        title: "frequency in Hz".to_owned(),
        ticks: across.ticks().into_iter().map(|hertz| (across.at(hertz), hertz_label(hertz))).collect(),
    };
    let value_axis = Axis {
        title: frame.value.to_owned(),
        ticks: upwards.ticks(7).into_iter().map(|value| (upwards.at(value), plain_label(value))).collect(),
    };
    let content = html! {
        (axes(pen, area, &frequency_axis, &value_axis))
        (clipped(area, frame, &html! {
            @for (index, (curve, one)) in drawn.iter().zip(curves).enumerate() {
                g data-label=(one.label) { (pen.path(Mark::Curve(index), &PathData::polyline(curve.iter().copied()))) }
            }
        }))
        (end_labels(pen, area, &names, &drawn))
    };
    Drawing::new(frame.about, (WIDTH, HEIGHT), paint, &content)
}

/// The same curves as a table: one row per tick frequency within the limits, one column per curve, with one decimal. A cell
/// is the nearest point within a sixth of an octave, else empty; rows without any value are left out.
pub(super) fn curve_table(curves: &[Curve<'_>], frame: &Frame<'_>) -> DataTable {
    let rows = LogScale::new(frame.frequencies, (0.0, 1.0)).map_or_else(Vec::new, |scale| scale.ticks());
    let mut headings = vec!["Hz".to_owned()];
    headings.extend(curves.iter().map(|one| one.label.to_owned()));
    let rows = rows.into_iter().filter_map(|hertz| {
        let values: Vec<Option<f64>> = curves.iter().map(|one| nearest(one, hertz)).collect();
        let cells = values.iter().map(|value| value.map_or_else(String::new, decimal));
        let is_known = values.iter().any(Option::is_some);
        is_known.then(|| std::iter::once(hertz_label(hertz)).chain(cells).collect())
    });
    DataTable { caption: format!("{} ({})", frame.about.title, frame.value), headings, rows: rows.collect() }
}

/// Labels at the right ends of the curves, moved apart where they would touch, each with a thin line to its curve.
fn end_labels(pen: Pen, area: Area, names: &[String], curves: &[Vec<(f64, f64)>]) -> Markup {
    let is_inside = |point: &&(f64, f64)| {
        let tolerance = 0.5;
        (area.left - tolerance..=area.right + tolerance).contains(&point.0)
            && (area.top - tolerance..=area.bottom + tolerance).contains(&point.1)
    };
    let ends: Vec<(f64, f64)> = curves
        .iter()
        .map(|curve| curve.iter().rev().find(is_inside).copied().unwrap_or((area.right, area.bottom)))
        .collect();
    let wishes: Vec<f64> = ends.iter().map(|(_, y)| *y).collect();
    let heights = spread(&wishes, LABEL_GAP, (area.top, area.bottom));
    html! {
        @for (index, name) in names.iter().enumerate() {
            @let (end, height) = (ends[index], heights[index]);
            (pen.line(Mark::Leader, end, (area.right + 10.0, height)))
            (pen.line(Mark::Curve(index), (area.right + 10.0, height), (area.right + 24.0, height)))
            (pen.text(Mark::Label, (area.right + 28.0, height + 4.0), Anchor::Start, name))
        }
    }
}

/// Cuts the content at the area's edges: a nested SVG element clips by itself and needs no id. It tells its limits.
fn clipped(area: Area, frame: &Frame<'_>, content: &Markup) -> Markup {
    let (x, y) = (tenths(area.left), tenths(area.top));
    let (width, height) = (tenths(area.right - area.left), tenths(area.bottom - area.top));
    html! {
        svg x=(x) y=(y) width=(width) height=(height) viewBox={ (x) " " (y) " " (width) " " (height) }
            data-frequencies={ (frame.frequencies.0) " " (frame.frequencies.1) }
            data-values={ (frame.values.0) " " (frame.values.1) } data-unit=(frame.unit) { (content) }
    }
}

fn nearest(curve: &Curve<'_>, hertz: f64) -> Option<f64> {
    let octaves = |frequency: f64| (frequency / hertz).log2().abs();
    curve
        .points
        .iter()
        .filter(|(frequency, _)| octaves(*frequency) <= NEAR_OCTAVES)
        .min_by(|left, right| octaves(left.0).total_cmp(&octaves(right.0)))
        .map(|(_, value)| *value)
}

fn decimal(value: f64) -> String {
    format!("{value:.1}").replace('-', "\u{2212}")
}
