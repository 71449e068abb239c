//! The key card: panels the size of a bank card to cut out, eight keys each, and a label for the box.
//!
//! Size: ID-1 of ISO/IEC 7810 is 85.60 × 53.98 mm (from memory); the panels are 85 × 54 mm.

use maud::{Markup, html};

use super::Section;
use super::head::Head;
use crate::glyph::Glyph;
use crate::symbol;

/// Keys on one panel: two columns of four leave each a line of 10 mm.
const KEYS_PER_PANEL: usize = 8;
/// Glyphs shown for one key; its words say the rest.
const MOST_GLYPHS: usize = 2;

/// A function key.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Key {
    /// Its number: 2 for F2.
    pub number: u8,
    /// What it does.
    pub deeds: Vec<KeyDeed>,
    /// How it is used, when that needs saying: "hold", "only standing".
    pub note: Option<String>,
}

/// One thing that a key does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyDeed {
    /// Its glyph.
    pub glyph: Glyph,
    /// Its words.
    pub words: String,
}

impl KeyDeed {
    /// A deed with the glyph for its words.
    #[must_use]
    pub fn new(words: impl Into<String>) -> Self {
        let words = words.into();
        Self { glyph: Glyph::for_words(&words), words }
    }
}

pub(super) fn section(keys: &[Key], head: &Head) -> Option<Section> {
    let n_panels = keys.len().div_ceil(KEYS_PER_PANEL);
    let body = html! {
        p class="before" {
            "Cut along the dashed lines. If this sheet is printed on both sides, print this page once more by itself."
        }
        div class="panels" {
            @for (index, panel) in keys.chunks(KEYS_PER_PANEL).enumerate() {
                div class="panel" {
                    (symbol::scissors())
                    p class="panel-head" {
                        b { (head.address) } " " span { (head.model) }
                        @if n_panels > 1 { " " span class="count" { (index + 1) " of " (n_panels) } }
                    }
                    ul { @for key in panel { (line(key)) } }
                }
            }
            (box_label(head))
        }
    };
    (!keys.is_empty()).then_some(Section { id: "keys", title: "Key card", body })
}

fn line(key: &Key) -> Markup {
    html! {
        li class=[(key.deeds.len() > 1).then_some("pair")] {
            b class="key" { "F" (key.number) }
            span class="glyphs" { @for deed in key.deeds.iter().take(MOST_GLYPHS) { (deed.glyph.svg()) } }
            span class="words" {
                @for (index, deed) in key.deeds.iter().enumerate() {
                    @if index > 0 { ", " }
                    (deed.words)
                }
                @if let Some(note) = &key.note { " " i { (note) } }
            }
        }
    }
}

/// What somebody needs who opens the box in ten years and has no sheet.
fn box_label(head: &Head) -> Markup {
    html! {
        div class="panel label" {
            (symbol::scissors())
            p class="panel-head" { b { (head.order) } " " span { "label for the box" } }
            p class="address" {
                span class="kind" { @if head.address_form.is_empty() { "address" } @else { (head.address_form) } }
                " " strong { (head.address) }
            }
            p class="model" { (head.model) }
            p class="decoder" { "decoder: " (head.decoder) }
            p class="advice" { "Read everything before you reset anything." }
        }
    }
}
