//! Answers as the page shows them, stage by stage: always beside the facts that they follow from.
//!
//! What it is: markup from what the engine computed.
//! What it is not: a computation. Nothing here is more than words, tables and drawings around given numbers.

pub(super) mod cold;
pub(super) mod plan;
pub(super) mod settings;
pub(super) mod train;
pub(super) mod wiring;

use maud::{Markup, Render, html};
use paper::Figure;

/// A list of answers: what each is, and the answer.
pub(super) fn list(rows: &[(&str, Markup)]) -> Markup {
    html! {
        @if !rows.is_empty() {
            dl class="answers" {
                @for (what, answer) in rows { div { dt { (what) } dd { (answer) } } }
            }
        }
    }
}

/// An answer in words, with what it rests on in smaller type.
pub(super) fn told(answer: impl Render, rests_on: impl AsRef<str>) -> Markup {
    let rests_on = rests_on.as_ref();
    html! { (answer) @if !rests_on.is_empty() { small { (rests_on) } } }
}

/// Why there is no answer yet.
pub(super) fn nothing(why: &str) -> Markup {
    html! { p class="nothing" { (why) } }
}

/// A drawing with its caption, and its numbers as a table. Curves get a reading line from the page's module.
pub(super) fn figure(figure: &Figure, is_plot: bool) -> Markup {
    // The steps behind the legend of a wiring stand beside it already.
    let caption = figure.caption.split_once(". 1. ").map_or(figure.caption.as_str(), |(legend, _)| legend);
    html! {
        figure class=(if is_plot { "drawn plot" } else { "drawn" }) {
            div class="canvas" tabindex="0" role="group" aria-label=(caption) { (figure.drawing) }
            figcaption {
                (caption)
                @if let Some(table) = &figure.table {
                    details {
                        summary { "The same in numbers" } div class="wide" { (paper::data_table(table)) }
                    }
                }
            }
        }
    }
}
