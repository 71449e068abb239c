//! Symbols of the sheets: severities told apart by shape, proof marks and the scissors of the cutting line.
//!
//! Our own drawings in one ink; a word stands beside each symbol or in its label, so that none is needed to understand
//! a sheet and no colour is.

use finding::Severity;
use maud::{Markup, PreEscaped, html};

use crate::card::Proven;

/// Octagon with a bar for *stop*, triangle with a bar for *rework*, broken ring for *open*, sheet with lines for *note*.
/// It has no name of its own: the word stands beside it.
#[must_use]
pub fn severity(severity: Severity) -> Markup {
    let shape = match severity {
        Severity::Stop => {
            r#"<path class="f" fill-rule="evenodd" d="M8 2h8l6 6v8l-6 6H8l-6-6V8zM6 10.2v3.6h12v-3.6z"/>"#
        }
        Severity::Rework => {
            r#"<path d="M12 3 22 21H2z"/><path d="M12 9.5v5.5"/><circle class="f" cx="12" cy="18" r="1.2"/>"#
        }
        Severity::Open => {
            r#"<path d="M20.6 9A9.2 9.2 0 1 1 15 3.3"/><circle class="f" cx="19" cy="5" r="1.8"/>"#
        }
        Severity::Note => r#"<path d="M5 3h14v18H5zM8.5 8h7M8.5 12h7M8.5 16h4"/>"#,
    };
    html! { svg class="glyph" viewBox="0 0 24 24" aria-hidden="true" { (PreEscaped(shape)) } }
}

/// Where the proof marks are drawn once; [`proven`] refers to them by id.
pub(crate) fn proof_marks() -> Markup {
    html! {
        svg class="definitions" aria-hidden="true" width="0" height="0" {
            symbol id="mark-proven" viewBox="0 0 24 24" { path d="M4 13l5.5 6L20 5" {} }
            symbol id="mark-differs" viewBox="0 0 24 24" { path d="M5 5l14 14M19 5 5 19" {} }
            symbol id="mark-unread" viewBox="0 0 24 24" { circle cx="12" cy="12" r="3.5" {} }
        }
    }
}

/// A check for proven, a cross for differing, a small ring for not read back; named for those who cannot see them.
pub(crate) fn proven(proof: Proven) -> Markup {
    let label = match proof {
        Proven::Same => "proven".to_owned(),
        Proven::Differs(found) => format!("differs, reads {found}"),
        Proven::Unread => "not read back".to_owned(),
    };
    html! { svg class="glyph" viewBox="0 0 24 24" role="img" aria-label=(label) { use href=(mark_id(proof)) {} } }
}

/// The same mark without a name, for the legend, whose words stand beside it.
pub(crate) fn mark(proof: Proven) -> Markup {
    html! { svg class="glyph" viewBox="0 0 24 24" aria-hidden="true" { use href=(mark_id(proof)) {} } }
}

fn mark_id(proof: Proven) -> &'static str {
    match proof {
        Proven::Same => "#mark-proven",
        Proven::Differs(_) => "#mark-differs",
        Proven::Unread => "#mark-unread",
    }
}

/// Scissors that cut to the right.
pub(crate) fn scissors() -> Markup {
    html! {
        svg class="glyph scissors" viewBox="0 0 24 24" aria-hidden="true" {
            circle cx="5" cy="6.5" r="3" {}
            circle cx="5" cy="17.5" r="3" {}
            path d="M7.5 8.2 22 16.5M7.5 15.8 22 7.5" {}
        }
    }
}
