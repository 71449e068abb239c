//! Proof: what was read back, when, over which link, and what was tried.

use maud::{Markup, html};

use super::Section;
use super::cv_list::{CvRow, Proven};
use crate::figure::{Figure, figure};

/// How the settings were proven.
#[derive(Debug, Clone, Default)]
pub struct Proof {
    /// When, as given.
    pub when: String,
    /// How: the link's name, "programming track through the virtual bench".
    pub link: String,
    /// Time that the programming took on the rails.
    pub rail_time: Option<String>,
    /// What became of runs that were cut off, one line each.
    pub interrupted: Vec<String>,
    /// The snapshot that holds everything read.
    pub snapshot: Option<String>,
    /// When the decoder was compared with the list.
    pub compared: Option<String>,
    /// What was tried on the rails: forward, reverse, every key, by ear, by microphone.
    pub trials: Vec<Trial>,
    /// Measurements drawn.
    pub figures: Vec<Figure>,
}

/// Something that was tried.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trial {
    /// What.
    pub what: String,
    /// How it went.
    pub result: TrialResult,
    /// What was seen or heard.
    pub remark: String,
}

/// How a trial went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TrialResult {
    /// As wanted.
    Passed,
    /// Not as wanted.
    Failed,
    /// Not tried.
    NotDone,
}

impl TrialResult {
    /// The word that the card shows.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::Failed => "failed",
            Self::NotDone => "not done",
        }
    }
}

/// Left out only when there is neither a proof nor anything to prove.
pub(super) fn section(proof: Option<&Proof>, list: &[CvRow]) -> Option<Section> {
    let body = match proof {
        Some(proof) => proven(proof, list),
        None => html! {
            p class="calm" { "Nothing has been read back yet: the settings on this card are planned, not proven." }
        },
    };
    (proof.is_some() || !list.is_empty()).then_some(Section { id: "proof", title: "Proof", body })
}

fn proven(proof: &Proof, list: &[CvRow]) -> Markup {
    let facts = [
        ("when", Some(&proof.when)),
        ("how", Some(&proof.link)),
        ("time on the rails", proof.rail_time.as_ref()),
        ("compared", proof.compared.as_ref()),
        ("snapshot", proof.snapshot.as_ref()),
    ];
    html! {
        dl class="facts proof" {
            @for (label, text) in facts {
                @if let Some(text) = text { div { dt { (label) } dd { (text) } } }
            }
        }
        @if !list.is_empty() { (summary(list)) }
        @for run in &proof.interrupted { p class="labelled" { span class="kind" { "cut off" } " " span { (run) } } }
        @if !proof.trials.is_empty() { (trials(&proof.trials)) }
        @if !proof.figures.is_empty() {
            div class="figures" { @for one in &proof.figures { (figure(one)) } }
        }
    }
}

/// How many CVs hold what the list says, and by name those that do not.
fn summary(list: &[CvRow]) -> Markup {
    let n_same = list.iter().filter(|row| row.proof == Proven::Same).count();
    let unread: Vec<String> =
        list.iter().filter(|row| row.proof == Proven::Unread).map(|row| row.place.to_string()).collect();
    let differing: Vec<String> = list
        .iter()
        .filter_map(|row| match row.proof {
            Proven::Differs(found) => {
                Some(format!("{} reads\u{a0}{found} instead of\u{a0}{}", row.place, row.value))
            }
            Proven::Same | Proven::Unread => None,
        })
        .collect();
    html! {
        p class="lead" {
            b { (n_same) " of " (list.len()) " CVs" } " were read back and hold the value of the list"
            @if n_same == list.len() { ": all of them." } @else { "." }
        }
        @if !differing.is_empty() {
            p class="labelled" { span class="kind" { "differs" } " " span { (differing.join("; ")) } }
        }
        @if !unread.is_empty() {
            p class="labelled" { span class="kind" { "not read back" } " " span { (unread.join(", ")) } }
        }
    }
}

fn trials(trials: &[Trial]) -> Markup {
    html! {
        table class="trials" {
            thead { tr { th scope="col" { "trial" } th scope="col" { "result" } th scope="col" { "remark" } } }
            tbody {
                @for trial in trials {
                    tr {
                        th scope="row" { (trial.what) }
                        td class=(if trial.result == TrialResult::Passed { "result" } else { "result other" }) {
                            (trial.result.word())
                        }
                        td { (trial.remark) }
                    }
                }
            }
        }
    }
}
