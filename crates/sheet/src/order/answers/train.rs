//! The place in a train: who stands where, and what each unit answers to.

use inspection::UnitAnswer;
use maud::{Markup, html};
use paper::TrainPlace;

/// The train from the front, with this unit marked.
pub(in crate::order) fn place(name: &str, train: &TrainPlace, units: &[Option<UnitAnswer>]) -> Markup {
    html! {
        p class="lead" {
            "Runs in " a href={ "/trains/" (name) } { (train.title) }
            "; every unit answers to the consist address "
            b class="plate" { (train.consist_address) } "."
        }
        ol class="consist" {
            @for (index, unit) in train.units.iter().enumerate() {
                li class=[unit.is_this.then_some("this")] {
                    p {
                        a href={ "/orders/" (unit.order) } { (unit.order) } " " (unit.model)
                        @if unit.is_this { b { " (this one)" } }
                    }
                    p class="soft" {
                        @if !unit.address.is_empty() { "address " (unit.address) ", " }
                        (if unit.is_reversed { "faces to the rear" } else { "faces to the front" })
                        @for duty in &unit.duties { "; " (duty) }
                    }
                    @if let Some(Some(answer)) = units.get(index) { (keys(answer)) }
                }
            }
        }
    }
}

fn keys(answer: &UnitAnswer) -> Markup {
    let wanted: Vec<String> = answer.keys.wanted.iter().map(|key| format!("F{}", key.number())).collect();
    html! {
        @if !wanted.is_empty() {
            p class="soft" {
                "answers in the train to " (wanted.join(", ")) " (CV 21 = " (answer.keys.cv21) ", CV 22 = "
                (answer.keys.cv22) ")"
            }
        }
    }
}
