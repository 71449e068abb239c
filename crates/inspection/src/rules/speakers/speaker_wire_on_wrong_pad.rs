//! A speaker wire on a pad that carries something else.

use std::collections::BTreeMap;

use datasheets::PinSignal;
use finding::{Finding, Severity};
use workorder::{Pad, Terminal};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, network_terminals, or_speakers};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-wire-on-wrong-pad",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[22],
    checks: "Speaker wires may end at the two loudspeaker pads only; free pads are allowed as tie points.",
    matters: "On common plus, a lamp output or a motor pad the speaker bridges amplifier and supply: both may be destroyed at first power.",
    example: "A.black on pad `blue`, which is common plus: direct current through the coil and into the amplifier.",
    cure: "Move the wire to the loudspeaker pad.",
    source: "acoustics and electrics digest, section 1.4: no path to the decoder's common; practice row 22 (other pad, blue)",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let pads: Vec<&Pad> = job.order.survey.iter().flat_map(|survey| &survey.pad).collect();
    for wiring in Wiring::all(job, answers) {
        let network = wiring.network;
        let own = network_terminals(network);
        let mut touched: BTreeMap<usize, Vec<(Terminal, PinSignal)>> = BTreeMap::new();
        for pad in pads.iter().filter(|pad| is_foreign(pad.signal)) {
            let terminal = Terminal::of(Terminal::BOARD, pad.name.as_str());
            if let Some(node) = network.joints.node(terminal.as_str()).filter(|node| own.contains_key(node)) {
                touched.entry(node).or_default().push((terminal, pad.signal));
            }
        }
        for (node, foreign) in touched {
            let (Some(own), Some((first, signal))) = (own.get(&node), foreign.first()) else { continue };
            found.add_as(
                wiring.severity(Severity::Stop),
                format!("{}{own} is joined to {first}, which carries {signal}", wiring.lead()),
                |finding| {
                    let finding = or_speakers(network.way(first.as_str(), own), network)
                        .into_iter()
                        .fold(finding, Finding::at)
                        .because("speaker leads belong to the amplifier's two outputs alone");
                    let finding = if foreign.len() > 1 {
                        finding.because(format!(
                            "{} pads with other signals are in the same joint",
                            foreign.len()
                        ))
                    } else {
                        finding
                    };
                    finding.remedy(wiring.remedy(loudspeaker_pads(&pads)))
                },
            );
        }
    }
}

/// Whether a pad's signal has no business in a speaker network.
fn is_foreign(signal: PinSignal) -> bool {
    !matches!(signal, PinSignal::SpeakerA | PinSignal::SpeakerB | PinSignal::Free | PinSignal::Index)
}

fn loudspeaker_pads(pads: &[&Pad]) -> String {
    let names: Vec<&str> = pads
        .iter()
        .filter(|pad| matches!(pad.signal, PinSignal::SpeakerA | PinSignal::SpeakerB))
        .map(|pad| pad.name.as_str())
        .collect();
    if names.is_empty() {
        "take the wire off this pad; the survey names no loudspeaker pad, so find them on the board first"
            .to_owned()
    } else {
        format!("move the wire to a loudspeaker pad: {}", names.join(", "))
    }
}
