//! The response plot: level over frequency.

use quantities::{Frequency, SoundPressureLevel};

use super::curves::{Curve, Frame, curve_plot, curve_table};
use super::pen::Paint;
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

/// Span of the level axis when the caller leaves it open: what is 50 dB down is not heard beside the rest (own choice).
const DEFAULT_SPAN_DB: f64 = 50.0;

/// Draws level over frequency on a logarithmic scale, one curve per series.
///
/// Parts of a curve outside the limits are cut off at the edge of the area.
#[must_use]
pub fn response_plot(series: &[Series], labels: &PlotLabels, paint: Paint) -> Drawing {
    curve_plot(&curves(series), &frame(series, labels), paint)
}

/// The same curves as a table: one row per tick frequency within the limits, one column per curve, in dB with one
/// decimal. A cell is the level of the nearest point within a sixth of an octave, else empty; rows without any level
/// are left out.
#[must_use]
pub fn response_table(series: &[Series], labels: &PlotLabels) -> DataTable {
    curve_table(&curves(series), &frame(series, labels))
}

fn curves(series: &[Series]) -> Vec<Curve<'_>> {
    let point = |(at, level): &(Frequency, SoundPressureLevel)| (at.as_hertz(), decibels(*level));
    series
        .iter()
        .map(|one| Curve { label: &one.label, points: one.points.iter().map(point).collect() })
        .collect()
}

fn frame<'a>(series: &[Series], labels: &'a PlotLabels) -> Frame<'a> {
    Frame {
        about: &labels.about,
        value: &labels.level,
        unit: "dB",
        frequencies: (labels.frequencies.0.as_hertz(), labels.frequencies.1.as_hertz()),
        values: level_limits(series, labels.levels),
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

fn decibels(level: SoundPressureLevel) -> f64 {
    level.as_decibels_re_20_micropascal()
}
