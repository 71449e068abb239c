//! A speaker wire that meets metal, a rail or the motor.

use std::collections::BTreeMap;

use finding::{Finding, Severity};
use workorder::Terminal;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, network_terminals, or_speakers};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-wire-on-frame-or-rail",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[22],
    checks: "No wire may join a speaker, a part of its network or the amplifier with the frame, a rail or the motor.",
    matters: "Both outputs of a bridge amplifier are live at half its supply; one on frame, rail or motor is a short through its transistors.",
    example: "The old DC wiring led the speaker's black lead to the frame: motor fine, no sound ever again.",
    cure: "Take that wire out; both leads go to the two loudspeaker pads and nowhere else.",
    source: "acoustics and electrics digest, section 1.4: neither pin may touch ground, frame, rail or common; practice row 22",
    check,
};

/// Terminals that no speaker wire may meet.
const FORBIDDEN: [(&str, &str); 5] = [
    (Terminal::FRAME, "the frame"),
    ("rail.left", "the left rail"),
    ("rail.right", "the right rail"),
    ("motor.1", "the motor"),
    ("motor.2", "the motor"),
];

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for wiring in Wiring::all(job, answers) {
        let network = wiring.network;
        let own = network_terminals(network);
        // One finding for each node that is touched, however many forbidden terminals are in it.
        let mut touched: BTreeMap<usize, Vec<(&str, &str)>> = BTreeMap::new();
        for (terminal, words) in FORBIDDEN {
            if let Some(node) = network.joints.node(terminal).filter(|node| own.contains_key(node)) {
                touched.entry(node).or_default().push((terminal, words));
            }
        }
        for (node, forbidden) in touched {
            let (Some(own), Some((first, _))) = (own.get(&node), forbidden.first()) else { continue };
            let mut words: Vec<&str> = forbidden.iter().map(|(_, words)| *words).collect();
            words.dedup();
            let words = words.join(" and ");
            found.add_as(
                wiring.severity(Severity::Stop),
                format!("{}{own} is joined to {words}", wiring.lead()),
                |finding| {
                    or_speakers(network.way(first, own), network)
                        .into_iter()
                        .fold(finding, Finding::at)
                        .because("each output of a bridge amplifier stands at half its supply; this shorts it through its transistors")
                        .remedy(wiring.remedy(format!("take out the wire that ends at {first}; both leads go to the loudspeaker pads only")))
                },
            );
        }
    }
}
