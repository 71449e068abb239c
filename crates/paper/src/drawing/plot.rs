//! The response plot: level over frequency, several curves with different dashes and a label at the end of each.
//!
//! What it is not: a computation. The curves come as points; between them straight lines are drawn.

use maud::{Markup, html};
use quantities::{Frequency, SoundPressureLevel};

use super::axes::{Area, Axis, axes};
use super::label::{shortened, spread, text_width};
use super::path::{PathData, tenths};
use super::pen::{Anchor, Mark, Paint, Pen};
use super::scale::{LinearScale, LogScale, hertz_label, plain_label};
use super::{About, Drawing};
use crate::figure::DataTable;

/// One curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What stands at its end: "both in series, boxed".
    pub label: String,
    /// Its points by rising frequency; points at 0 Hz cannot be drawn on a logarithmic scale and are left out.
    pub points: Vec<(Frequency, SoundPressureLevel)>,
}

/// The words and limits around the curves.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotLabels {
    /// Name, title and description of the drawing.
    pub about: About,
    /// What the level is, with unit and conditions: "level in dB at 0.5 m".
    pub level: String,
    /// Frequencies shown, least and most. Hearing's usual 20 Hz to 20 kHz by [`PlotLabels::new`].
    pub frequencies: (Frequency, Frequency),
    /// Levels shown, least and most in dB; `None` takes the 50 dB below the highest point, to the next ten above it.
    pub levels: Option<(SoundPressureLevel, SoundPressureLevel)>,
}

impl PlotLabels {
    /// Labels with the usual limits.
    #[must_use]
    pub fn new(about: About, level: impl Into<String>) -> Self {
        let hertz = |value| {
            Frequency::from_hertz(value).unwrap_or_else(|| unreachable!("20 and 20 000 are frequencies"))
        };
        Self { about, level: level.into(), frequencies: (hertz(20.0), hertz(20_000.0)), levels: None }
    }
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
/// Span of the level axis when the caller leaves it open: what is 50 dB down is not heard beside the rest (own choice).
const DEFAULT_SPAN_DB: f64 = 50.0;

/// Draws level over frequency on a logarithmic scale, one curve per series.
///
/// Parts of a curve outside the limits are cut off at the edge of the area.
#[must_use]
pub fn response_plot(series: &[Series], labels: &PlotLabels, paint: Paint) -> Drawing {
    let pen = Pen::new(paint);
    let names: Vec<String> =
        series.iter().map(|one| shortened(&one.label, LABEL_HEIGHT, WIDTH * MOST_LABEL_SHARE)).collect();
    let room = names.iter().map(|name| text_width(name, LABEL_HEIGHT)).fold(0.0, f64::max);
    let area = Area { left: LEFT, top: TOP, right: WIDTH - room - 34.0, bottom: BOTTOM };

    let (least, most) = (labels.frequencies.0.as_hertz(), labels.frequencies.1.as_hertz());
    let limits = level_limits(series, labels.levels);
    let (Some(across), Some(upwards)) = (
        LogScale::new((least, most), (area.left, area.right)),
        LinearScale::new(limits, (area.bottom, area.top)),
    ) else {
        // Limits that leave no room: an empty frame says so instead of a wrong picture.
        let note = pen.text(
            Mark::Label,
            (LEFT, TOP),
            Anchor::Start,
            "the limits of this plot leave no room for curves",
        );
        return Drawing::new(&labels.about, (WIDTH, HEIGHT), paint, &note);
    };

    let curves: Vec<Vec<(f64, f64)>> = series
        .iter()
        .map(|one| {
            let place = |(frequency, level): &(Frequency, SoundPressureLevel)| {
                (across.at(frequency.as_hertz()), upwards.at(decibels(*level)))
            };
            one.points.iter().filter(|(frequency, _)| frequency.as_hertz() > 0.0).map(place).collect()
        })
        .collect();
    let frequency_axis = Axis {
        title: "frequency in Hz".to_owned(),
        ticks: across.ticks().into_iter().map(|hertz| (across.at(hertz), hertz_label(hertz))).collect(),
    };
    let level_axis = Axis {
        title: labels.level.clone(),
        ticks: upwards.ticks(7).into_iter().map(|level| (upwards.at(level), plain_label(level))).collect(),
    };
    let content = html! {
        (axes(pen, area, &frequency_axis, &level_axis))
        (clipped(area, &html! {
            @for (index, curve) in curves.iter().enumerate() {
                (pen.path(Mark::Curve(index), &PathData::polyline(curve.iter().copied())))
            }
        }))
        (end_labels(pen, area, &names, &curves))
    };
    Drawing::new(&labels.about, (WIDTH, HEIGHT), paint, &content)
}

/// The same curves as a table: one row per tick frequency within the limits, one column per curve, in dB with one
/// decimal. A cell is the level of the nearest point within a sixth of an octave, else empty; rows without any level
/// are left out.
#[must_use]
pub fn response_table(series: &[Series], labels: &PlotLabels) -> DataTable {
    let limits = (labels.frequencies.0.as_hertz(), labels.frequencies.1.as_hertz());
    let rows = LogScale::new(limits, (0.0, 1.0)).map_or_else(Vec::new, |scale| scale.ticks());
    let mut headings = vec!["Hz".to_owned()];
    headings.extend(series.iter().map(|one| one.label.clone()));
    let rows = rows.into_iter().filter_map(|hertz| {
        let levels: Vec<Option<f64>> = series.iter().map(|one| nearest(one, hertz)).collect();
        let cells = levels.iter().map(|level| level.map_or_else(String::new, decimal));
        let is_known = levels.iter().any(Option::is_some);
        is_known.then(|| std::iter::once(hertz_label(hertz)).chain(cells).collect())
    });
    DataTable {
        caption: format!("{} ({})", labels.about.title, labels.level),
        headings,
        rows: rows.collect(),
    }
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

/// Cuts the content at the area's edges: a nested SVG element clips by itself and needs no id.
fn clipped(area: Area, content: &Markup) -> Markup {
    let (x, y) = (tenths(area.left), tenths(area.top));
    let (width, height) = (tenths(area.right - area.left), tenths(area.bottom - area.top));
    html! {
        svg x=(x) y=(y) width=(width) height=(height) viewBox={ (x) " " (y) " " (width) " " (height) } { (content) }
    }
}

fn level_limits(series: &[Series], wished: Option<(SoundPressureLevel, SoundPressureLevel)>) -> (f64, f64) {
    if let Some((least, most)) = wished {
        return (decibels(least), decibels(most));
    }
    let highest = series
        .iter()
        .flat_map(|one| &one.points)
        .map(|(_, level)| decibels(*level))
        .fold(f64::NEG_INFINITY, f64::max);
    let most = if highest.is_finite() { (highest / 10.0 + 0.1).ceil() * 10.0 } else { 0.0 };
    (most - DEFAULT_SPAN_DB, most)
}

fn nearest(series: &Series, hertz: f64) -> Option<f64> {
    let octaves = |frequency: Frequency| (frequency.as_hertz() / hertz).log2().abs();
    series
        .points
        .iter()
        .filter(|(frequency, _)| octaves(*frequency) <= 1.0 / 6.0)
        .min_by(|left, right| octaves(left.0).total_cmp(&octaves(right.0)))
        .map(|(_, level)| decibels(*level))
}

fn decimal(level: f64) -> String {
    format!("{level:.1}").replace('-', "\u{2212}")
}

fn decibels(level: SoundPressureLevel) -> f64 {
    level.as_decibels_re_20_micropascal()
}
