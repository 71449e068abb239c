//! Wires that join both outputs of the amplifier.

use electrics::{Component, SolveError};
use finding::{Finding, Path, Severity};

use crate::answers::{Answers, Network};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, or_speakers};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "amplifier-shorted",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[18, 22],
    checks: "No way of wires alone may lead from one amplifier output to the other.",
    matters: "A dead short: the amplifier is gone at the first sound.",
    example: "Both leads of a speaker on pad S1, and S1 joined to S2.",
    cure: "Take out one of the wires on the way that the finding names.",
    source: "acoustics and electrics digest, section 1.2: a dead short is reported, not solved",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for wiring in Wiring::all(job, answers) {
        let network = wiring.network;
        let Err(SolveError::DeadShort { plus, minus }) = &network.load else { continue };
        let way = network.way(plus, minus);
        let n_wires = way.len();
        let (places, reason, remedy) = match n_wires {
            0 => (
                parts_of_no_ohms(job, network),
                "a part of 0 ohm lies on the way between them".to_owned(),
                "measure that part; take it out, or put in one that limits the current",
            ),
            _ => (
                way,
                match n_wires {
                    1 => format!("one wire leads from {plus} to {minus}"),
                    _ => format!("{n_wires} wires lead from {plus} to {minus}, with nothing in between"),
                },
                "take out one of these wires, and meter the pads: they must read what the speakers make together",
            ),
        };
        found.add_as(
            wiring.severity(Severity::Stop),
            format!("{}wires join both outputs of the amplifier", wiring.lead()),
            |finding| {
                or_speakers(places, network)
                    .into_iter()
                    .fold(finding, Finding::at)
                    .because(reason)
                    .remedy(wiring.remedy(remedy))
            },
        );
    }
}

/// The paths of the parts that are as good as a wire.
fn parts_of_no_ohms(job: &Job<'_>, network: &Network) -> Vec<Path> {
    let is_wire = |component: &Component| match component {
        Component::Resistor(value) => value.as_ohms() <= 0.0,
        Component::Inductor(value) => value.as_henries() <= 0.0,
        Component::Capacitor(_) | Component::Speaker(_) => false,
    };
    let is_found = |name: &str| {
        job.order
            .survey
            .as_ref()
            .is_some_and(|survey| survey.component.iter().any(|part| part.name.as_str() == name))
    };
    network
        .netlist
        .elements()
        .filter(|(_, element)| is_wire(&element.component))
        .map(|(_, element)| {
            let stage = if is_found(&element.name) { "survey" } else { "plan" };
            Path::new(format!("{stage}.component.{}", element.name))
        })
        .collect()
}
