//! Wires that join both outputs of the amplifier.

use electrics::SolveError;
use finding::{Finding, Severity};

use crate::answers::Answers;
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
        found.add_as(
            wiring.severity(Severity::Stop),
            format!("{}wires join both outputs of the amplifier", wiring.lead()),
            |finding| {
                let n_wires = way.len();
                let reason = if n_wires == 0 {
                    "a part of 0 ohm lies between them".to_owned()
                } else {
                    format!("{plus} and {minus} are joined by {n_wires} wires, with nothing in between that limits the current")
                };
                or_speakers(way, network)
                    .into_iter()
                    .fold(finding, Finding::at)
                    .because(reason)
                    .remedy(wiring.remedy("take out one of these wires, and meter the pads: they must read what the speakers make together"))
            },
        );
    }
}
