//! Findings where they belong: what is wrong or open at a stage, why, what to do, and for a stop the way to set
//! it aside.

use finding::{Finding, Path, Severity};
use maud::{Markup, html};

use super::OrderPage;
use crate::facts::{finding_id, place_id};
use crate::problem::sentence;
use crate::words::{anchor, count, link, prose};

/// More findings than these of the milder sort are folded.
const MOST_NOTES: usize = 3;

impl OrderPage {
    /// The findings of a stage, gravest first; notes are folded where there are many.
    pub(super) fn findings_of(&self, rule_stages: &[inspection::Stage]) -> Markup {
        let is_here = |finding: &&Finding| {
            inspection::explain(finding.rule).is_some_and(|rule| rule_stages.contains(&rule.stage))
        };
        let (notes, grave): (Vec<&Finding>, Vec<&Finding>) =
            self.findings().iter().filter(is_here).partition(|finding| finding.severity == Severity::Note);
        html! {
            @if !grave.is_empty() || !notes.is_empty() {
                div class="findings" {
                    @for finding in grave { (self.finding(finding)) }
                    @if notes.len() <= MOST_NOTES {
                        @for finding in notes { (self.finding(finding)) }
                    } @else {
                        details class="notes" {
                            summary { (count(notes.len(), "note", "notes")) }
                            @for finding in notes { (self.finding(finding)) }
                        }
                    }
                }
            }
        }
    }

    fn finding(&self, finding: &Finding) -> Markup {
        let overridden = self.overridden(finding);
        html! {
            section class={ "finding " (finding.severity.word()) } id=(finding_id(self.findings(), finding)) {
                (paper::severity_symbol(finding.severity))
                div {
                    p class="headline" {
                        span class="severity" { (finding.severity.word()) ": " } (finding.headline)
                    }
                    @if !finding.remedy.is_empty() { p class="remedy" { (prose(&sentence(&finding.remedy))) } }
                    (self.places(finding))
                    details {
                        summary { "Why" }
                        ul { @for reason in &finding.reasons { li { (prose(&sentence(reason))) } } }
                        p class="soft" {
                            "Rule " a href=(link(["rules", finding.rule])) { (finding.rule) } "; "
                            (finding.source)
                        }
                    }
                    @if let Some(reason) = overridden {
                        div class="aside" {
                            p { "Set aside: " (reason) }
                            form method="post" action={ (self.base) "/override/withdraw" } data-live {
                                (self.facts().hidden())
                                input type="hidden" name="rule" value=(finding.rule);
                                button class="plain" type="submit" { "Let it hold again" }
                            }
                        }
                    } @else if finding.severity == Severity::Stop {
                        (self.set_aside(finding))
                    }
                }
            }
        }
    }

    /// Why a stop was set aside, where it was.
    pub(super) fn overridden(&self, finding: &Finding) -> Option<&str> {
        let checked = self.view.checked.as_ref()?;
        let entry =
            checked.document.value.r#override.iter().find(|entry| entry.rule.as_str() == finding.rule)?;
        Some(&entry.reason)
    }

    fn set_aside(&self, finding: &Finding) -> Markup {
        let id = format!("aside-{}", finding_id(self.findings(), finding));
        html! {
            details {
                summary { "Set it aside, with a reason" }
                form method="post" action={ (self.base) "/override" } data-live {
                    (self.facts().hidden())
                    input type="hidden" name="rule" value=(finding.rule);
                    label class="labelled" {
                        span { "Why this stop may be set aside; it is printed on the card" }
                        textarea id=(id) name="reason" rows="2" required maxlength="1000" {}
                    }
                    button type="submit" { "Set aside" }
                }
            }
        }
    }

    /// Links to the fields to mend.
    fn places(&self, finding: &Finding) -> Markup {
        const MOST: usize = 3;
        html! {
            @if !finding.places.is_empty() {
                p class="places" {
                    @for place in finding.places.iter().take(MOST) { (self.place(place)) }
                }
            }
        }
    }

    /// A link to the field of a fact, or to the nearest thing on the page around it.
    pub(super) fn place(&self, place: &Path) -> Markup {
        html! { a href=(anchor(&self.nearest_place(place))) { (words_of(place)) } }
    }

    /// The id of a fact's place; of the nearest around it that the page has.
    pub(super) fn nearest_place(&self, place: &Path) -> String {
        let mut path = place.clone();
        loop {
            if self.places_on_page.contains(path.as_str()) {
                return place_id(&path);
            }
            match path.parent() {
                Some(parent) if parent != Path::root() => path = parent,
                _ => return "main".to_owned(),
            }
        }
    }
}

/// A path as people read it: `survey.motor-to-frame` is "survey, motor to frame".
fn words_of(path: &Path) -> String {
    let steps: Vec<String> = path.as_str().split('.').map(|step| step.replace('-', " ")).collect();
    steps.join(", ")
}
