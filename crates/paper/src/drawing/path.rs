//! Path data: polylines with one decimal, which is a tenth of a pixel on screen and finer than any printer's dot.

use std::fmt::Write;

/// The `d` attribute of a path.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PathData(String);

impl PathData {
    /// A line through the points. A point that is not finite breaks the line: what is not known is not drawn.
    #[must_use]
    pub fn polyline(points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut data = String::new();
        let mut is_pen_down = false;
        for (x, y) in points {
            if x.is_finite() && y.is_finite() {
                let command = if is_pen_down { 'L' } else { 'M' };
                // Writing to a string cannot fail.
                let _ = write!(data, "{command}{} {}", tenths(x), tenths(y));
            }
            is_pen_down = x.is_finite() && y.is_finite();
        }
        Self(data)
    }

    /// A closed outline through the points.
    #[must_use]
    pub fn polygon(points: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let Self(mut data) = Self::polyline(points);
        if !data.is_empty() {
            data.push('Z');
        }
        Self(data)
    }

    /// The attribute's text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// A coordinate with one decimal, without a trailing `.0` and without `-0`; `0` for what is not finite.
#[must_use]
pub fn tenths(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
