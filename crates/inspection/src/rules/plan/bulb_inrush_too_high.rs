//! Cold bulbs that draw many times their current.

use datasheets::OutputKind;
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::plan::{at_each, names};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "bulb-inrush-too-high",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[58],
    checks: "Bulbs of more than 50 mA on one output need 22 to 33 ohm in series.",
    matters: "A cold filament has about a tenth of its hot resistance: each switching on hammers the output until it dies.",
    example: "12 V, 60 mA on 13 V: 65 mA hot, 650 mA cold; with 22 ohm in series 310 mA.",
    cure: "22 to 33 ohm in series, off the plastic, or an LED.",
    source: "practice row 58: cold inrush to 10 times; more than 50 mA: 22 to 33 ohm in series",
    check,
};

/// Bulbs of so little current are left alone.
const HARMLESS_AMPERES: f64 = 0.05;

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let loads = answers.budget.iter().flat_map(|budget| &budget.outputs);
    let hammered = loads.filter(|load| {
        load.kind == OutputKind::Amplified && load.bare_bulb_current.as_amperes() > HARMLESS_AMPERES
    });
    for load in hammered {
        found.add(
            format!("switching on, the bulbs on output {} draw {}", load.name, load.inrush),
            |finding| {
                at_each(finding, &load.bare_bulbs, "output")
                    .because(format!(
                        "{} without 22 ohm in series: {} hot; cold they have a tenth of the resistance",
                        names(&load.bare_bulbs),
                        load.bare_bulb_current
                    ))
                    .because(format!("the output stands {}", load.rating))
                    .remedy("put 22 to 33 ohm in series with each bulb, away from plastic, or fit LEDs")
            },
        );
    }
}
