//! Drawings of the sample: a plain wiring picture made with the pen, and a response plot of invented curves.

use maud::{Markup, html};
use paper::Figure;
use paper::drawing::{
    About, Anchor, Drawing, Mark, Paint, PathData, Pen, PlotLabels, Series, response_plot, response_table,
};
use quantities::{Frequency, SoundPressureLevel};

use super::Words;

/// As found beside as planned.
pub(super) fn wiring(words: Words) -> Vec<Figure> {
    let found = html! {
        (wire(Mark::Wire, &[(150.0, 60.0), (130.0, 60.0), (130.0, 74.0), (70.0, 74.0)]))
        (wire(Mark::Emphasis, &[(150.0, 96.0), (110.0, 96.0), (110.0, 160.0), (70.0, 160.0)]))
        (wire(Mark::Emphasis, &[(150.0, 140.0), (110.0, 140.0)]))
        (wire(Mark::Emphasis, &[(150.0, 176.0), (90.0, 176.0), (90.0, 74.0)]))
        (Pen::new(Paint::Page).circle(Mark::Solid, (110.0, 140.0), 3.5))
        (Pen::new(Paint::Page).circle(Mark::Solid, (90.0, 74.0), 3.5))
    };
    let planned = html! {
        (wire(Mark::Wire, &[(150.0, 60.0), (130.0, 60.0), (130.0, 74.0), (70.0, 74.0)]))
        (wire(Mark::Emphasis, &[(150.0, 96.0), (130.0, 96.0), (130.0, 140.0), (150.0, 140.0)]))
        (wire(Mark::Emphasis, &[(150.0, 176.0), (110.0, 176.0), (110.0, 160.0), (70.0, 160.0)]))
    };
    vec![
        picture(words, "wiring-found", "as found: in parallel, B against A", &found),
        picture(words, "wiring-planned", "as planned: in series, both cones together", &planned),
    ]
}

fn wire(mark: Mark, points: &[(f64, f64)]) -> Markup {
    Pen::new(Paint::Page).path(mark, &PathData::polyline(points.iter().copied()))
}

fn picture(words: Words, name: &str, caption: &str, wires: &Markup) -> Figure {
    let pen = Pen::new(Paint::Page);
    let speaker = |top: f64, label: &str| {
        html! {
            (pen.rectangle(Mark::Outline, (150.0, top - 14.0), (120.0, 64.0), 6.0))
            (pen.text(Mark::Strong, (236.0, top + 22.0), Anchor::Middle, &words(label)))
            (pen.text(Mark::Small, (160.0, top + 4.0), Anchor::Start, &words("red")))
            (pen.text(Mark::Small, (160.0, top + 40.0), Anchor::Start, &words("black")))
        }
    };
    let content = html! { g transform="translate(0 -24)" {
        (pen.rectangle(Mark::Outline, (10.0, 30.0), (60.0, 170.0), 6.0))
        (pen.text(Mark::Strong, (40.0, 50.0), Anchor::Middle, &words("board")))
        (pen.text(Mark::Small, (64.0, 78.0), Anchor::End, &words("S1")))
        (pen.text(Mark::Small, (64.0, 164.0), Anchor::End, &words("S2")))
        (speaker(60.0, "A"))
        (speaker(140.0, "B"))
        (wires)
    } };
    let about = About {
        name: name.to_owned(),
        title: words(caption),
        description: words("board on the left, speakers on the right; the wire list says the same in words"),
    };
    let drawing = Drawing::new(&about, (290.0, 182.0), Paint::Page, &content);
    Figure { caption: words(caption), drawing, table: None }
}

/// Three invented curves: second-order closed boxes, one with a dip.
pub(super) fn response(words: Words) -> Figure {
    let curve = |label: &str, resonance: f64, level: f64, dip: f64| Series {
        label: words(label),
        points: (0..=120)
            .filter_map(|step| {
                let hertz = 20.0 * 1000.0_f64.powf(f64::from(step) / 120.0);
                let ratio = (hertz / resonance).powi(2);
                let closed = 10.0 * (ratio.powi(2) / ((1.0 - ratio).powi(2) + ratio / 0.8)).log10();
                let hollow = dip * (-((hertz / 1800.0).log2() / 0.5).powi(2)).exp();
                let top = 6.0 * (hertz / 9000.0).powi(2) / (1.0 + (hertz / 9000.0).powi(2));
                let decibels = level + closed - hollow - top;
                Some((
                    Frequency::from_hertz(hertz)?,
                    SoundPressureLevel::from_decibels_re_20_micropascal(decibels)?,
                ))
            })
            .collect(),
    };
    let series = [
        curve("as planned, predicted", 420.0, 78.0, 0.0),
        curve("as planned, measured", 450.0, 77.0, 3.0),
        curve("as found, predicted", 430.0, 72.0, 24.0),
    ];
    let about = About {
        name: "response".to_owned(),
        title: words("response of the railcar's speakers"),
        description: words(
            "planned and measured curves rise to about 78 dB from 450 Hz on; the one as found has a hole at 1.8 kHz",
        ),
    };
    let labels = PlotLabels::new(about, words("level in dB at 0.5 m"));
    Figure {
        caption: words("Speakers in series against the wiring as found, 2.83 V, at 0.5 m (invented curves)."),
        drawing: response_plot(&series, &labels, Paint::Page),
        table: Some(response_table(&series, &labels)),
    }
}
