//! An output with more lamps on it than it stands.

use datasheets::OutputKind;
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::plan::{at_each, names};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "output-overloaded",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[10, 58],
    checks: "What all lamps on an output draw together must stay within what the output stands.",
    matters: "Each lamp alone may be harmless; the sum takes the output's transistor, and the shell above it.",
    example: "Two 60 mA bulbs on a 100 mA output: stop. Ten LEDs of 5 mA: 50 mA, sound.",
    cure: "Spread the lamps over several outputs, use LEDs, or drive them through a transistor.",
    source: "practice rows 10 and 58; 100 mA where a sheet tells nothing (from memory)",
    check,
};

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let loads = answers.budget.iter().flat_map(|budget| &budget.outputs);
    for load in loads.filter(|load| load.kind == OutputKind::Amplified && load.current > load.rating) {
        found.add(
            format!("output {} carries {}; it stands {}", load.name, load.current, load.rating),
            |finding| {
                let finding = at_each(finding, &load.lamps, "output")
                    .because(format!("on it are {}", names(&load.lamps)));
                let finding = if load.is_rating_assumed {
                    finding.because("its sheet tells no figure; 100 mA are usual")
                } else {
                    finding
                };
                finding.remedy(
                    "spread the lamps over several outputs, use LEDs, or drive them through a transistor",
                )
            },
        );
    }
}
