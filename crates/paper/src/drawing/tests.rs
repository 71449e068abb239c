//! Tests of the drawing toolkit: ticks, paths, labels, escaping and the response plot.

use proptest::prelude::*;
use quantities::{Frequency, SoundPressureLevel};

use super::*;

fn labels(ticks: &[f64], label: fn(f64) -> String) -> String {
    ticks.iter().map(|tick| label(*tick)).collect::<Vec<_>>().join(", ")
}

#[test]
fn logarithmic_ticks_stand_at_one_two_and_five() {
    let scale = LogScale::new((20.0, 20_000.0), (0.0, 300.0)).unwrap();
    insta::assert_snapshot!(
        labels(&scale.ticks(), hertz_label),
        @"20, 50, 100, 200, 500, 1\u{a0}k, 2\u{a0}k, 5\u{a0}k, 10\u{a0}k, 20\u{a0}k"
    );
    let narrow = LogScale::new((0.03, 0.4), (0.0, 1.0)).unwrap();
    insta::assert_snapshot!(labels(&narrow.ticks(), plain_label), @"0.05, 0.1, 0.2");
}

#[test]
fn equal_ratios_are_equal_lengths() {
    let scale = LogScale::new((20.0, 20_000.0), (0.0, 300.0)).unwrap();
    for (hertz, place) in [(20.0, 0.0), (200.0, 100.0), (2000.0, 200.0), (20_000.0, 300.0)] {
        assert!((scale.at(hertz) - place).abs() < 1e-9, "{hertz} Hz lies at {}", scale.at(hertz));
    }
    assert!(scale.at(-1.0).is_nan());
}

#[test]
fn linear_ticks_are_round_and_never_too_many() {
    let check = |range, at_most, expected: &str| {
        let scale = LinearScale::new(range, (0.0, 1.0)).unwrap();
        assert_eq!(labels(&scale.ticks(at_most), plain_label), expected);
    };
    check((30.0, 80.0), 7, "30, 40, 50, 60, 70, 80");
    check((-0.05, 0.05), 5, "\u{2212}0.04, \u{2212}0.02, 0, 0.02, 0.04");
    check((0.0, 1.0), 3, "0, 0.5, 1");
    check((7.1, 7.9), 9, "7.1, 7.2, 7.3, 7.4, 7.5, 7.6, 7.7, 7.8, 7.9");
}

#[test]
fn scales_without_room_are_refused() {
    assert!(LinearScale::new((1.0, 1.0), (0.0, 9.0)).is_none());
    assert!(LinearScale::new((f64::NAN, 1.0), (0.0, 9.0)).is_none());
    assert!(LogScale::new((0.0, 10.0), (0.0, 9.0)).is_none());
    assert!(LogScale::new((-1.0, 10.0), (0.0, 9.0)).is_none());
    assert!(LogScale::new((10.0, 1.0), (0.0, 9.0)).is_none());
}

#[test]
fn paths_have_one_decimal_and_break_at_gaps() {
    let points = [(0.0, 1.06), (2.04, -0.04), (f64::NAN, 3.0), (5.0, 6.0), (7.25, 8.0)];
    insta::assert_snapshot!(PathData::polyline(points).as_str(), @"M0 1.1L2 0M5 6L7.2 8");
    insta::assert_snapshot!(PathData::polygon([(0.0, 0.0), (4.0, 0.0), (4.0, 3.0)]).as_str(), @"M0 0L4 0L4 3Z");
    assert_eq!(PathData::polygon([]).as_str(), "");
}

#[test]
fn one_pen_paints_for_the_page_and_for_paper() {
    let draw = |paint| {
        let pen = Pen::new(paint);
        maud::html! {
            (pen.line(Mark::Curve(1), (0.0, 0.0), (10.0, 5.0))) "\n"
            (pen.rectangle(Mark::Outline, (1.0, 2.0), (30.0, 20.0), 4.0)) "\n"
            (pen.circle(Mark::Solid, (5.0, 5.0), 2.5)) "\n"
            (pen.text(Mark::Strong, (3.0, 9.0), Anchor::Middle, "A < B"))
        }
        .into_string()
    };
    insta::assert_snapshot!(draw(Paint::Page), @r#"
    <path class="d-curve" stroke-width="1.6" stroke-dasharray="7 4" stroke-linejoin="round" d="M0 0L10 5"></path>
    <rect class="d-outline" stroke-width="1.2" x="1" y="2" width="30" height="20" rx="4"></rect>
    <circle class="d-solid" cx="5" cy="5" r="2.5"></circle>
    <text class="d-strong" font-size="12" font-weight="600" text-anchor="middle" x="3" y="9">A &lt; B</text>
    "#);
    insta::assert_snapshot!(draw(Paint::Paper), @r##"
    <path stroke="#1d2427" fill="none" stroke-width="1.6" stroke-dasharray="7 4" stroke-linejoin="round" d="M0 0L10 5"></path>
    <rect stroke="#1d2427" fill="none" stroke-width="1.2" x="1" y="2" width="30" height="20" rx="4"></rect>
    <circle fill="#1d2427" cx="5" cy="5" r="2.5"></circle>
    <text fill="#1d2427" font-family="Segoe UI, Roboto, Helvetica Neue, Noto Sans, Liberation Sans, Arial, sans-serif" font-size="12" font-weight="600" text-anchor="middle" x="3" y="9">A &lt; B</text>
    "##);
}

#[test]
fn a_drawing_says_what_it_shows() {
    let about = About {
        name: "a b<\"1".to_owned(),
        title: "pads & <speakers>".to_owned(),
        description: "two in series".to_owned(),
    };
    let drawing = Drawing::new(&about, (100.0, 50.5), Paint::Paper, &maud::html! {});
    insta::assert_snapshot!(drawing.as_svg(), @r#"<svg class="drawing" xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="ab1-title ab1-desc" viewBox="0 0 100 50.5" width="100" height="50.5"><title id="ab1-title">pads &amp; &lt;speakers&gt;</title><desc id="ab1-desc">two in series</desc></svg>"#);
}

#[test]
fn labels_that_touch_move_apart_around_their_middle() {
    let placed = spread(&[50.0, 52.0, 10.0], 15.0, (0.0, 100.0));
    let expected = [43.5, 58.5, 10.0];
    assert!(placed.iter().zip(expected).all(|(got, want)| (got - want).abs() < 1e-9), "{placed:?}");
    // Two that wish to stand below the lower edge stack up from it.
    let stacked = spread(&[120.0, 130.0], 15.0, (0.0, 100.0));
    assert!((stacked[0] - 85.0).abs() < 1e-9 && (stacked[1] - 100.0).abs() < 1e-9, "{stacked:?}");
    assert!(spread(&[], 15.0, (0.0, 100.0)).is_empty());
}

proptest! {
    /// Neighbours keep their order and their distance; with room enough all of them stay inside.
    #[test]
    fn spread_labels_never_touch(wishes in prop::collection::vec(-50.0..350.0_f64, 1..12), gap in 1.0..20.0_f64) {
        let placed = spread(&wishes, gap, (0.0, 300.0));
        let mut order: Vec<usize> = (0..wishes.len()).collect();
        order.sort_by(|left, right| wishes[*left].total_cmp(&wishes[*right]));
        for pair in order.windows(2) {
            // One part in 10^9 for the rounding of sums of at most twelve numbers below a thousand.
            prop_assert!(placed[pair[1]] - placed[pair[0]] >= gap - 1e-6, "{placed:?}");
        }
        prop_assert!(placed.iter().all(|place| (-1e-6..=300.0 + 1e-6).contains(place)), "{placed:?}");
    }

    #[test]
    fn shortened_words_fit(words in "\\PC{0,40}", width in 10.0..200.0_f64) {
        let short = shortened(&words, 12.0, width);
        prop_assert!(text_width(&short, 12.0) <= width || short == "…", "{short}");
        prop_assert!(short == words || short.ends_with('…'));
    }
}

fn series(label: &str, points: &[(f64, f64)]) -> Series {
    let point = |&(hertz, decibels): &(f64, f64)| {
        let level = SoundPressureLevel::from_decibels_re_20_micropascal(decibels).unwrap();
        (Frequency::from_hertz(hertz).unwrap(), level)
    };
    Series { label: label.to_owned(), points: points.iter().map(point).collect() }
}

fn plot_labels() -> PlotLabels {
    let about = About { name: "response".into(), title: "response".into(), description: "one curve".into() };
    PlotLabels::new(about, "level in dB")
}

#[test]
fn curves_are_told_apart_by_dash_and_label() {
    let flat = |level| [(20.0, level), (20_000.0, level)];
    let many: Vec<Series> =
        (0_u8..7).map(|n| series(&format!("curve {n}"), &flat(60.0 + f64::from(n)))).collect();
    let plot = response_plot(&many, &plot_labels(), Paint::Page);
    for one in &many {
        assert!(plot.as_svg().contains(&format!(">{}</text>", one.label)), "{} has no label", one.label);
    }
    let looks: Vec<&str> = plot
        .as_svg()
        .split("<path ")
        .filter(|element| element.contains("curve\""))
        .map(|element| element.split_once(" d=").unwrap().0)
        .collect();
    // Each curve is drawn once in the area and once as a sample beside its label, with the same look.
    assert_eq!(looks.len(), 14);
    assert_eq!(looks[..7], looks[7..]);
    let distinct: std::collections::BTreeSet<&str> = looks[..6].iter().copied().collect();
    assert_eq!(distinct.len(), 6, "the first six curves look alike: {looks:?}");
}

#[test]
fn the_level_axis_leaves_air_above_the_highest_point() {
    let plot = |level| {
        let svg = response_plot(&[series("a", &[(100.0, level)])], &plot_labels(), Paint::Page);
        svg.as_svg().to_owned()
    };
    assert!(plot(78.4).contains(">80</text>") && !plot(78.4).contains(">90</text>"));
    assert!(plot(79.5).contains(">90</text>"), "79.5 dB would touch the 80 dB line");
    assert!(
        !plot(78.4).contains("NaN")
            && !response_plot(&[], &plot_labels(), Paint::Page).as_svg().contains("NaN")
    );
}

#[test]
fn limits_without_room_are_said() {
    let mut labels = plot_labels();
    labels.frequencies.0 = Frequency::from_hertz(0.0).unwrap();
    let plot = response_plot(&[series("a", &[(100.0, 60.0)])], &labels, Paint::Page);
    assert!(plot.as_svg().contains("leave no room for curves"));
}

#[test]
fn the_table_holds_what_the_plot_shows() {
    let table = response_table(
        &[
            series("planned", &[(50.0, 41.25), (100.0, 52.0), (1000.0, -3.0)]),
            series("found", &[(110.0, 60.0)]),
        ],
        &plot_labels(),
    );
    let text: Vec<String> = table.rows.iter().map(|row| row.join(" | ")).collect();
    assert_eq!(table.headings, ["Hz", "planned", "found"]);
    insta::assert_snapshot!(text.join("\n"), @r#"
    50 | 41.2 | 
    100 | 52.0 | 60.0
    1 k | −3.0 |
    "#);
}
