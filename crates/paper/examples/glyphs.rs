//! Prints every key glyph with its words, large, for looking at: `cargo run -p paper --example glyphs > glyphs.html`.

use std::io::Write;

use maud::{DOCTYPE, PreEscaped, html};
use paper::Glyph;

/// The rules that a page needs to show glyphs.
const CSS: &str = "body { font: 14px sans-serif; display: grid; grid-template-columns: repeat(7, 1fr); gap: 20px; } \
    .glyph { width: 96px; height: 96px; display: block; fill: none; stroke: currentColor; stroke-width: 1.7; \
    stroke-linecap: round; stroke-linejoin: round; } .glyph .f { fill: currentColor; stroke-width: .6; }";

fn main() -> std::io::Result<()> {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head { meta charset="utf-8"; title { "key glyphs" } style { (PreEscaped(CSS)) } }
            body { @for glyph in Glyph::ALL { div { (glyph.svg()) (glyph.words()) } } }
        }
    };
    std::io::stdout().lock().write_all(page.into_string().as_bytes())
}
