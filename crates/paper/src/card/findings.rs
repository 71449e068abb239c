//! Findings on the card: word and symbol of the severity, headline, remedy, rule.

use finding::{Finding, Severity};
use maud::{Markup, html};

use super::Section;
use crate::symbol;

/// A finding as the card shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct CardFinding {
    /// The finding.
    pub finding: Finding,
    /// Why it was overridden, in the words of whoever did it. An overridden stop no longer holds the model.
    pub overridden: Option<String>,
}

impl From<Finding> for CardFinding {
    fn from(finding: Finding) -> Self {
        Self { finding, overridden: None }
    }
}

pub(super) fn section(findings: &[CardFinding]) -> Section {
    let has_stop =
        findings.iter().any(|one| one.finding.severity == Severity::Stop && one.overridden.is_none());
    let body = html! {
        @if findings.is_empty() {
            p class="calm" { "None. No rule found anything that would stop, spoil or leave open this order." }
        } @else {
            @if has_stop {
                p class="hold" { "Do not put power on this model before every stop below is mended." }
            }
            ul class="findings" { @for one in findings { (item(one)) } }
        }
    };
    Section { id: "findings", title: "Stops and other findings", body }
}

fn item(CardFinding { finding, overridden }: &CardFinding) -> Markup {
    let word = finding.severity.word();
    html! {
        li class={ "finding " (word) } {
            p class="severity" { (symbol::severity(finding.severity)) " " span { (word) } }
            div class="words" {
                p class="headline" { (finding.headline) }
                @for reason in &finding.reasons { p class="reason" { (reason) } }
                @if !finding.remedy.is_empty() { p class="labelled" { span class="kind" { "remedy" } " " span { (finding.remedy) } } }
                @if let Some(reason) = overridden {
                    p class="labelled" { span class="kind" { "overridden" } " " span { (reason) } }
                }
                p class="origin" {
                    span class="rule" { (finding.rule) }
                    @if let Some(place) = finding.places.first() { " · rests on " span class="rule" { (place) } }
                    @if !finding.source.is_empty() { " · " (finding.source) }
                }
            }
        }
    }
}
