//! Colours of the style sheet against its paper, light and dark.
//!
//! Source: WCAG 2.1, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (edges of fields, 3 to 1); relative luminance
//! as defined there from the sRGB values (IEC 61966-2-1), from memory.

use paper::{Card, PaperSize, card};

fn linear(octet: u8) -> f64 {
    let share = f64::from(octet) / 255.0;
    if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
}

fn luminance(colour: &str) -> f64 {
    let octet =
        |index: usize| u8::from_str_radix(&colour[index..index + 2], 16).expect("colours are #rrggbb");
    0.2126 * linear(octet(1)) + 0.7152 * linear(octet(3)) + 0.0722 * linear(octet(5))
}

fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The value of a custom property in a block of the style sheet.
fn colour<'a>(block: &'a str, name: &str) -> &'a str {
    let (_, after) =
        block.split_once(&format!("--{name}: ")).unwrap_or_else(|| panic!("no --{name} in {block}"));
    after.split_once(';').expect("declarations end with a semicolon").0
}

#[test]
fn the_measure_itself_is_right() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    // The grey that is known as the lightest one with 4.5 to 1 on white.
    assert!(contrast("#767676", "#ffffff") > 4.5 && contrast("#777777", "#ffffff") < 4.5);
}

#[test]
fn text_and_fields_are_legible_in_light_and_dark() {
    let page = card(&Card::default(), PaperSize::AsPrinter);
    let blocks: Vec<&str> =
        page.split(":root {").skip(1).map(|block| block.split_once('}').unwrap().0).collect();
    assert_eq!(blocks.len(), 2, "one block of colours for light and one for dark");
    for block in blocks {
        let paper = colour(block, "paper");
        for (name, least) in [("ink", 7.0), ("soft", 4.5), ("accent", 4.5), ("mid", 3.0)] {
            let found = contrast(colour(block, name), paper);
            assert!(found >= least, "--{name} has only {found:.2} to 1 on {paper}");
        }
    }
}
