//! The full list by CV: enough to restore the decoder by hand on any system.

use maud::{Markup, html};

use super::Section;
use super::cv::{CvPlace, binary};
use crate::symbol;

/// One CV of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CvRow {
    /// Where.
    pub place: CvPlace,
    /// What it holds.
    pub value: u8,
    /// What that means.
    pub meaning: String,
    /// What it held before this order; none when nobody read it.
    pub previous: Option<u8>,
    /// Whether it was read back.
    pub proof: Proven,
}

/// What reading back said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Proven {
    /// It holds what the list says.
    Same,
    /// It holds something else.
    Differs(u8),
    /// It was not read back.
    Unread,
}

pub(super) fn section(list: &[CvRow]) -> Option<Section> {
    (!list.is_empty()).then(|| Section {
        id: "cv-list",
        title: "All settings by CV",
        body: html! { (table(list)) (restoring(list)) },
    })
}

fn table(list: &[CvRow]) -> Markup {
    // The page column is worth its room only when a CV is seen through a page.
    let has_pages = list.iter().any(|row| row.place.page.is_some());
    html! {
        p class="legend" {
            "Bits are numbered from 0 on the right. Read back: "
            (symbol::mark(Proven::Same)) " holds this value, "
            (symbol::mark(Proven::Differs(0))) " holds another, "
            (symbol::mark(Proven::Unread)) " was not read. "
            @if has_pages { "Set CV\u{a0}31 and CV\u{a0}32 to the two numbers of the page before its CVs." }
        }
        table class="cvs" {
            thead { tr {
                th scope="col" { "CV" }
                @if has_pages { th scope="col" class="page-head" { "page" } }
                th scope="col" class="figure-head" { "value" }
                th scope="col" class="hex-head" { "hex" }
                th scope="col" class="bits-head" { "bits 7–0" }
                th scope="col" class="meaning" { "meaning" }
                th scope="col" class="figure-head previous" { "before" }
                th scope="col" class="proof-head" { "read back" }
            } }
            tbody { @for row in list { (line(row, has_pages)) } }
        }
    }
}

fn line(row: &CvRow, has_pages: bool) -> Markup {
    let is_changed = row.previous.is_some_and(|previous| previous != row.value);
    html! {
        tr {
            th scope="row" { (row.place.cv) }
            @if has_pages { td class="page" { @if let Some((high, low)) = row.place.page { (high) "/" (low) } } }
            td class="value" { (row.value) }
            td class="hex" { (format!("{:02X}", row.value)) }
            td class="bits" { (binary(row.value)) }
            td class="meaning" { (row.meaning) }
            td class=(if is_changed { "previous changed" } else { "previous" }) {
                @match row.previous { Some(previous) => (previous), None => "–" }
            }
            td class="proof" {
                (symbol::proven(row.proof))
                @if let Proven::Differs(found) = row.proof { " " (found) }
            }
        }
    }
}

/// How to bring the settings back. Source: RCN-216 and NMRA S-9.2.3 for the programming track and the reset by CV 8,
/// NMRA S-9.2.2 for CV 17, 18 and 29 and for the pages, all via the project's reference text; the order is common
/// practice of the trade.
fn restoring(list: &[CvRow]) -> Markup {
    let has_pages = list.iter().any(|row| row.place.page.is_some());
    html! {
        h3 { "If it ever forgets" }
        ol class="restore" {
            li { "Put this model alone on an isolated programming track. With two decoders in it, unplug one." }
            li { "Read everything first and keep it, even when it looks wrong. Compare it with the list by CV." }
            li { "Reset only when single values do not help, and switch the track off afterwards until a storage \
                  capacitor is empty: a reset acts after power is gone." }
            @if has_pages {
                li { "Write the CVs of the list. Set CV\u{a0}31 and CV\u{a0}32 before each page, and read them back." }
            } @else {
                li { "Write the CVs of the list." }
            }
            li { "Write the address last: CV\u{a0}17, CV\u{a0}18, then CV\u{a0}29, or CV\u{a0}1 and CV\u{a0}29. CV\u{a0}19 is 0 unless it runs in a train." }
            li { "Read all of it back, then try forward, reverse and every key." }
        }
    }
}
