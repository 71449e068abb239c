//! The page around a card: document head, style sheet and running heads.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::head::Head;
use crate::drawing::DRAWING_CSS;
use crate::symbol;

const CARD_CSS: &str = include_str!("../card.css");

/// The running head holds at most this many letters, so that it stays clear of the page number.
const MOST_RUNNING_HEAD: usize = 72;

/// The paper that a card is laid out for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum PaperSize {
    /// Whatever the reader's printer holds.
    #[default]
    AsPrinter,
    /// 210 × 297 mm (ISO 216).
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// The whole document.
pub(super) fn document(head: &Head, size: PaperSize, body: &Markup) -> Markup {
    let page_rules = page_rules(head, size);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (head.order) ", handover card" }
                style { (PreEscaped(CARD_CSS)) (PreEscaped(DRAWING_CSS)) (PreEscaped(page_rules)) }
            }
            body {
                (symbol::proof_marks())
                (body)
            }
        }
    }
}

/// Page size and running heads: the order on the left of every page after the first, the page number on the right.
fn page_rules(head: &Head, size: PaperSize) -> String {
    let size = match size {
        PaperSize::AsPrinter => "",
        PaperSize::A4 => "size: A4;",
        PaperSize::Letter => "size: Letter;",
    };
    let mut running_head = head.order.clone();
    if !head.model.is_empty() {
        running_head.push_str(" · ");
        running_head.push_str(&head.model);
    }
    if running_head.chars().count() > MOST_RUNNING_HEAD {
        running_head = running_head.chars().take(MOST_RUNNING_HEAD - 1).chain(['…']).collect();
    }
    let running_head = css_string(&running_head);
    format!(
        "@page {{ {size} @top-left {{ content: {running_head}; }} }}\n@page :first {{ @top-left {{ content: \"\"; }} }}\n"
    )
}

/// A CSS string with every character but ASCII letters, digits and spaces written as its code point, so that no text
/// can end the string or the style element.
///
/// Source: CSS Syntax Module Level 3, section 4.3.7, consume an escaped code point: up to six hexadecimal digits and
/// one white space, which belongs to the escape. The code point 0 would be replaced by U+FFFD there; we write that
/// ourselves.
fn css_string(text: &str) -> String {
    let mut escaped = String::from("\"");
    for letter in text.chars() {
        match letter {
            ' ' => escaped.push(' '),
            _ if letter.is_ascii_alphanumeric() => escaped.push(letter),
            '\0' => escaped.push_str("\\fffd "),
            _ => escaped.push_str(&format!("\\{:x} ", u32::from(letter))),
        }
    }
    escaped.push('"');
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn css_strings_hold_no_character_that_could_end_them() {
        assert_eq!(css_string("V-0031 · 40"), r#""V\2d 0031 \b7  40""#);
        assert_eq!(css_string("\"}</style>\n\\\0"), r#""\22 \7d \3c \2f style\3e \a \5c \fffd ""#);
    }

    #[test]
    fn running_heads_are_cut_before_they_reach_the_page_number() {
        let long = Head { order: "V-1".into(), model: "m".repeat(200), ..Head::default() };
        let rules = page_rules(&long, PaperSize::A4);
        assert!(rules.contains("size: A4;"));
        // "V-1 · " takes six letters of the running head and the ellipsis one.
        assert!(rules.contains(&"m".repeat(MOST_RUNNING_HEAD - 7)));
        assert!(!rules.contains(&"m".repeat(MOST_RUNNING_HEAD - 6)));
    }

    #[test]
    fn style_sheets_fetch_nothing_and_cannot_end_their_element() {
        for css in [CARD_CSS, DRAWING_CSS] {
            for forbidden in ["</", "@import", "url(", "http", "expression"] {
                assert!(!css.contains(forbidden), "the style sheet holds {forbidden}");
            }
        }
    }
}
