//! The ends of the work: what an order waits for, first contact, the trial, and handing it over.

use maud::{Markup, html};
use workorder::WaitsFor;

use super::OrderPage;
use super::answers::{list, told};
use crate::words::{capital, link};

impl OrderPage {
    /// What the order waits for, where somebody knows better than the findings.
    pub(super) fn waiting(&self) -> Markup {
        let waits = &self.view.waits;
        let stated = waits.is_stated.then_some(waits.for_what);
        let because = if waits.is_stated { waits.because.as_str() } else { "" };
        html! {
            h3 { "What it waits for" }
            form class="add" method="post" action={ (self.base) "/waits" } data-live {
                (self.facts().hidden())
                label {
                    span { "Waits for" }
                    select id="waits-for" name="waits-for" {
                        option value="" { "what the findings say" }
                        @for word in WaitsFor::ALL {
                            option value=(word.word()) selected[stated == Some(*word)] { (word.word()) }
                        }
                    }
                }
                label {
                    span { "Why" }
                    input id="waits-because" name="because" value=(because) maxlength="300" autocomplete="off";
                }
                button type="submit" { "Note it" }
            }
        }
    }

    pub(super) fn intake_answers(&self) -> Markup {
        let model = self.model();
        html! {
            h3 { "What the shop knows of it" }
            @if self.view.dossiers.is_empty() {
                p { "No dossier of this model yet." }
                form class="actions" method="post" action="/dossiers" {
                    (self.facts().hidden())
                    input type="hidden" name="order" value=(self.number());
                    label class="labelled" {
                        span { "Begin one, from what this order found" }
                        input id="dossier-name" name="name" value=(name_from(model)) maxlength="60" required
                            autocomplete="off";
                    }
                    button type="submit" { "Begin a dossier" }
                }
            } @else {
                ul class="plain" {
                    @for dossier in &self.view.dossiers {
                        li { "Dossier " a href=(link(["dossiers", dossier])) { (dossier) } }
                    }
                }
            }
            @for train in &self.view.trains {
                p { "Runs in " a href=(link(["trains", train])) { (train) } "." }
            }
        }
    }

    /// What to expect on the programming track.
    pub(super) fn contact_answers(&self) -> Markup {
        let Some(checked) = &self.view.checked else { return html! {} };
        let order = &checked.document.value;
        let decoder =
            order.plan.as_ref().and_then(|plan| self.desk.shelf.decoders.get(plan.decoder.as_ref()?));
        let mut rows = Vec::new();
        if let Some(sheet) = decoder {
            let data = &sheet.decoder;
            rows.push((
                "It should answer",
                told(format!("CV 8 = {}", data.manufacturer.get()), "the number of its maker"),
            ));
            rows.push(("Version", told(format!("CV 7 = {}", data.version.get()), "")));
            if let Some(idle) = data.idle_current {
                rows.push(("Idle current", told(idle.to_string(), "on the programming track")));
            }
            if let Some(motor) = order.survey.as_ref().and_then(|survey| survey.motor_resistance) {
                rows.push((
                    "Acknowledgement",
                    told("a pulse of 60 mA at least", format!("through the motor, {motor}")),
                ));
            }
        }
        html! {
            h3 { "What to expect" }
            @if rows.is_empty() {
                p class="nothing" { "Name a decoder in the plan: then it is known what it should answer." }
            }
            (list(&rows))
        }
    }

    /// What to try once the shell is closed.
    pub(super) fn trial_facts(&self) -> Markup {
        let keys = self.card.as_ref().map_or(&[] as &[_], |card| &card.keys);
        html! {
            p class="lead" {
                "Shell on: meter the motor against the frame once more, then run it warm, and listen again. The \
                     shell is part of the speaker."
            }
            ul class="steps" {
                li { "Forward and reverse, from a crawl to full speed" }
                @for key in keys {
                    li {
                        "F" (key.number) ": "
                        (key.deeds.iter().map(|deed| deed.words.as_str()).collect::<Vec<_>>().join(", "))
                    }
                }
                li { "A quarter of an hour under load: nothing may be too hot to touch" }
                li { "Round the tightest curve, both ways" }
            }
        }
    }

    pub(super) fn handover_facts(&self) -> Markup {
        let overridden: Vec<_> =
            self.view.checked.iter().flat_map(|checked| &checked.document.value.r#override).collect();
        html! {
            p class="lead" {
                "The card goes into the box: wiring, settings, keys, care, and enough to restore it years later."
            }
            p class="actions" {
                a class="button first" href={ (self.base) "/card" } { "Card to print" }
                a class="button" href={ (self.base) "/card.pdf" } { "Card as PDF" }
            }
            @if !overridden.is_empty() {
                h3 { "Stops that were set aside" }
                ul class="plain" { @for entry in overridden { li { b { (entry.rule) } ": " (entry.reason) } } }
            }
            @if !self.view.document.is_deleted {
                form class="actions" method="post" action={ (self.base) "/away" } data-live {
                    (self.facts().hidden())
                    button class="plain" type="submit" { "Put this order away" }
                }
            }
        }
    }

    pub(super) fn handover_answers(&self) -> Markup {
        html! {
            @if let Some(dossier) = self.view.dossiers.first() {
                h3 { "What was learned" }
                p { "The next " (self.model()) " starts from what this one taught." }
                form method="post" action={ (link(["dossiers", dossier])) "/feed" } {
                    (self.facts().hidden())
                    input type="hidden" name="order" value=(self.number());
                    label class="labelled" {
                        span { (capital("a lesson for the dossier")) }
                        textarea id="lesson" name="lesson" rows="3" maxlength="2000" {}
                    }
                    button type="submit" { "Feed back into " (dossier) }
                }
            }
        }
    }
}

/// A name for a document from a title: `Class 40 railcar, front` is `class-40-railcar-front`.
pub(crate) fn name_from(title: &str) -> String {
    const MOST: usize = 60;
    let mut name = String::new();
    for letter in title.chars() {
        if letter.is_alphanumeric() {
            name.extend(letter.to_lowercase());
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name: String = name.chars().take(MOST).collect();
    name.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::name_from;

    #[test]
    fn names_from_titles() {
        assert_eq!(
            name_from("Vesper Lake class 40 railcar, front car"),
            "vesper-lake-class-40-railcar-front-car"
        );
        assert_eq!(name_from("  <b>ÄÖ</b> "), "b-äö-b");
        assert_eq!(name_from("…"), "");
        assert_eq!(name_from(&"x".repeat(100)).len(), 60);
    }
}
