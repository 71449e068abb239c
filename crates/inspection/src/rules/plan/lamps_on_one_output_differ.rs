//! Lamps on one output that are to behave differently.

use std::collections::BTreeMap;

use datasheets::LampEffect;
use finding::{Path, Severity};
use workorder::LampPlan;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamps-on-one-output-differ",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "Lamps that share an output must agree in direction, effect and brightness, and in what they are for.",
    matters: "An output does one thing at a time: what one lamp shall do, the other does too.",
    example: "Headlight forward and tail lamp in reverse on `front`: both shine forward.",
    cure: "Give each lamp that behaves differently an output of its own.",
    source: "common practice: one output is one switch",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let mut first_on: BTreeMap<&str, (Path, &LampPlan)> = BTreeMap::new();
    for (path, lamp) in job.lamps() {
        let Some((first_path, first)) = first_on.get(lamp.output.as_str()) else {
            first_on.insert(lamp.output.as_str(), (path, lamp));
            continue;
        };
        let differences = differences(first, lamp);
        if differences.is_empty() {
            continue;
        }
        found.add(
            format!(
                "lamps {} and {} share output {} but shall behave differently",
                first.name, lamp.name, lamp.output
            ),
            |finding| {
                let finding = finding.at(path.join("output")).at(first_path.join("output"));
                differences
                    .into_iter()
                    .fold(finding, |finding, difference| finding.because(difference))
                    .remedy("give one of them an output of its own, or let both do the same")
            },
        );
    }
}

/// What is not told to have an effect is steady.
fn effect(lamp: &LampPlan) -> String {
    lamp.effect.unwrap_or(LampEffect::Steady).to_string()
}

fn differences(first: &LampPlan, second: &LampPlan) -> Vec<String> {
    let told = |what: &str, one: Option<String>, other: Option<String>| {
        let words = |value: Option<String>| value.unwrap_or_else(|| "not told".to_owned());
        (one != other)
            .then(|| format!("{what}: {} is {}, {} is {}", first.name, words(one), second.name, words(other)))
    };
    [
        told("purpose", Some(first.does.to_string()), Some(second.does.to_string())),
        told("direction", first.when.map(|way| way.to_string()), second.when.map(|way| way.to_string())),
        told("effect", Some(effect(first)), Some(effect(second))),
        told(
            "brightness",
            first.brightness.map(|one| one.to_string()),
            second.brightness.map(|other| other.to_string()),
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}
