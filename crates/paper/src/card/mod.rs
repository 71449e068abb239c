//! The handover card of one work order, in the order of a reader's use: what it is, what is wrong, what the meter must
//! say, how it is set, which key does what, where it runs, what was proven, how to care for it.
//!
//! Each section has a file with its structs and its markup; this file joins them to a page. Sections without content
//! are left out, but for the findings: that there are none is worth a line.

mod care;
mod cold_checks;
mod cv;
mod cv_list;
mod findings;
mod head;
mod keys;
mod page;
mod proof;
mod settings;
mod train;

#[cfg(test)]
mod tests;

use maud::{Markup, html};

pub use care::{Care, Caution};
pub use cold_checks::{ColdChecks, MeterRow, WireChange, WireRow, WrongReading};
pub use cv::{BitRange, CvContent, CvPlace};
pub use cv_list::{CvRow, Proven};
pub use findings::CardFinding;
pub use head::{Head, Labelled};
pub use keys::{Key, KeyDeed};
pub use page::PaperSize;
pub use proof::{Proof, Trial, TrialResult};
pub use settings::{Setting, Settings, Topic};
pub use train::{TrainPlace, TrainUnit};

/// All that one handover card shows. Every text is shown as it is, escaped; nothing in it is read as markup.
#[derive(Debug, Clone, Default)]
pub struct Card {
    /// What the card is about.
    pub head: Head,
    /// Stops and other findings, in the order in which they are shown (`finding::arrange` makes the usual one).
    pub findings: Vec<CardFinding>,
    /// Meter card and wiring.
    pub cold_checks: ColdChecks,
    /// Settings by meaning and by CV.
    pub settings: Settings,
    /// Function keys, in the order in which they are shown.
    pub keys: Vec<Key>,
    /// The train that it runs in.
    pub train: Option<TrainPlace>,
    /// How the settings were proven; none says that they were not.
    pub proof: Option<Proof>,
    /// Care and cautions.
    pub care: Care,
    /// Where rules and figures come from, one line each.
    pub sources: Vec<String>,
}

/// A section of the card.
struct Section {
    id: &'static str,
    title: &'static str,
    body: Markup,
}

/// The card as one HTML document: embedded style sheet, no scripts, nothing fetched from anywhere.
#[must_use]
pub fn card(card: &Card, size: PaperSize) -> String {
    let sections: Vec<Section> = [
        Some(findings::section(&card.findings)),
        cold_checks::section(&card.cold_checks),
        settings::section(&card.settings),
        cv_list::section(&card.settings.list),
        keys::section(&card.keys, &card.head),
        card.train.as_ref().map(train::section),
        proof::section(card.proof.as_ref(), &card.settings.list),
        care::section(&card.care),
        sources(&card.sources),
    ]
    .into_iter()
    .flatten()
    .collect();
    let body = html! {
        (head::masthead(&card.head))
        (contents(&sections))
        main {
            @for section in &sections {
                @let heading_id = format!("{}-heading", section.id);
                section id=(section.id) aria-labelledby=(heading_id) {
                    h2 id=(heading_id) { (section.title) }
                    (section.body)
                }
            }
        }
    };
    page::document(&card.head, size, &body).into_string()
}

/// Links to the sections, on screen only: paper is leafed through.
fn contents(sections: &[Section]) -> Markup {
    html! {
        @if sections.len() > 1 { nav class="contents" aria-label="sections of this card" {
            ul { @for section in sections { li { a href={ "#" (section.id) } { (section.title) } } } }
        } }
    }
}

fn sources(sources: &[String]) -> Option<Section> {
    (!sources.is_empty()).then(|| Section {
        id: "sources",
        title: "Sources",
        body: html! { ul class="sources" { @for source in sources { li { (source) } } } },
    })
}
