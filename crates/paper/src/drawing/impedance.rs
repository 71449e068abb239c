//! The impedance plot: the modulus of a load over frequency.

use quantities::{Frequency, Resistance};

use super::curves::{Curve, Frame, curve_plot, curve_table};
use super::pen::Paint;
use super::{About, Drawing};
use crate::figure::DataTable;

/// One curve of a modulus, or a limit drawn beside the curves.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpedanceSeries {
    /// What stands at its end: "as planned".
    pub label: String,
    /// Its points by rising frequency; points at 0 Hz cannot be drawn on a logarithmic scale and are left out.
    pub points: Vec<(Frequency, Resistance)>,
}

/// The words and limits around the curves.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpedanceLabels {
    /// Name, title and description of the drawing.
    pub about: About,
    /// Frequencies shown, least and most.
    pub frequencies: (Frequency, Frequency),
}

/// The axis ends no lower than this, so that two nearly equal loads do not look far apart (own choice).
const LEAST_SPAN_OHMS: f64 = 10.0;
/// The axis ends no higher than this: a resonance that is far above tells an amplifier nothing (own choice).
const MOST_SPAN_OHMS: f64 = 100.0;

/// Draws the modulus over frequency on a logarithmic scale, from zero ohms up, one curve per series.
#[must_use]
pub fn impedance_plot(series: &[ImpedanceSeries], labels: &ImpedanceLabels, paint: Paint) -> Drawing {
    curve_plot(&curves(series), &frame(series, labels), paint)
}

/// The same curves as a table, in ohms; rows and cells as for levels.
#[must_use]
pub fn impedance_table(series: &[ImpedanceSeries], labels: &ImpedanceLabels) -> DataTable {
    curve_table(&curves(series), &frame(series, labels))
}

fn curves(series: &[ImpedanceSeries]) -> Vec<Curve<'_>> {
    let point = |(at, modulus): &(Frequency, Resistance)| (at.as_hertz(), modulus.as_ohms());
    series
        .iter()
        .map(|one| Curve { label: &one.label, points: one.points.iter().map(point).collect() })
        .collect()
}

fn frame<'a>(series: &[ImpedanceSeries], labels: &'a ImpedanceLabels) -> Frame<'a> {
    let highest = series
        .iter()
        .flat_map(|one| &one.points)
        .map(|(_, modulus)| modulus.as_ohms())
        .filter(|ohms| ohms.is_finite())
        .fold(0.0, f64::max);
    let most = ((highest / 5.0 + 0.1).ceil() * 5.0).clamp(LEAST_SPAN_OHMS, MOST_SPAN_OHMS);
    Frame {
        about: &labels.about,
        value: "impedance in ohm",
        unit: "ohm",
        frequencies: (labels.frequencies.0.as_hertz(), labels.frequencies.1.as_hertz()),
        values: (0.0, most),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plot(ohms: &[f64]) -> String {
        let hertz = |value| Frequency::from_hertz(value).unwrap();
        let points = (1..)
            .zip(ohms)
            .map(|(place, ohms)| (hertz(100.0 * f64::from(place)), Resistance::from_ohms(*ohms).unwrap()));
        let series = [ImpedanceSeries { label: "as <planned>".into(), points: points.collect() }];
        let labels = ImpedanceLabels { about: About::default(), frequencies: (hertz(50.0), hertz(16_000.0)) };
        impedance_plot(&series, &labels, Paint::Page).as_svg().to_owned()
    }

    #[test]
    fn the_axis_begins_at_zero_and_has_air_above() {
        assert!(plot(&[7.0, 23.9]).contains(r#"data-values="0 25""#));
        assert!(plot(&[7.0, 24.9]).contains(r#"data-values="0 30""#), "24.9 ohm would touch the 25 ohm line");
        assert!(plot(&[4.0]).contains(r#"data-values="0 10""#));
        assert!(plot(&[900.0]).contains(r#"data-values="0 100""#));
        assert!(plot(&[]).contains(r#"data-values="0 10""#));
    }

    #[test]
    fn the_drawing_tells_what_a_reading_needs() {
        let svg = plot(&[7.0]);
        for told in
            [r#"data-frequencies="50 16000""#, r#"data-unit="ohm""#, r#"data-label="as &lt;planned&gt;""#]
        {
            assert!(svg.contains(told), "{told} is missing");
        }
    }
}
