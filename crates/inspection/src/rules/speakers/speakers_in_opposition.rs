//! Cones that move against each other.

use finding::{Finding, Severity};
use workorder::Facing;

use crate::answers::{Answers, Opposition, SpeakerShare};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, names, wiring_place};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speakers-in-opposition",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[20],
    checks: "All speakers whose polarity is known must move outward together, by terminals, wires and facing.",
    matters: "One cone swallows what the other gives: thin, hollow, from nowhere. A meter cannot see it.",
    example: "Parallel with A.red and B.black on one pad: opposed. At 30 mm apart the loss is 22 dB at 500 Hz and 16 dB at 1 kHz.",
    cure: "Exchange the two wires at one of them.",
    source: "acoustics and electrics digest, sections 1.3 and 2.9; practice row 20",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for wiring in Wiring::all(job, answers) {
        if let Some(opposition) = wiring.network.opposition() {
            opposed(wiring, &opposition, found);
        }
    }
}

fn opposed(wiring: Wiring<'_>, opposition: &Opposition, found: &mut Found<'_>) {
    let network = wiring.network;
    let shares = |numbers: &[usize]| -> Vec<&SpeakerShare> {
        numbers.iter().map(|number| &network.shares[*number]).collect()
    };
    let (with, against) = (shares(&opposition.with), shares(&opposition.against));
    let headline = format!(
        "{}speaker {} moves against {}",
        wiring.lead(),
        names(against.iter().copied()),
        names(with.iter().copied())
    );
    found.add_as(wiring.severity(Severity::Rework), headline, |finding| {
        let wires = against.iter().map(|share| wiring_place(network, share));
        let terminals = against.iter().map(|share| share.path.join("terminals"));
        let finding = wires.chain(terminals).fold(finding, Finding::at);
        let finding = with.iter().chain(&against).take(MOST_TOLD).fold(finding, |finding, share| {
            let way = if share.moves_outward { "outward" } else { "inward" };
            let facing = if share.faces == Facing::In { ", magnet outward" } else { "" };
            finding.because(format!(
                "when the amplifier's first output goes positive, {} moves {way} ({} is plus, {}{facing})",
                share.name, share.leads.0, share.polarity
            ))
        });
        let finding = match (opposition.spacing, opposition.loss) {
            (Some(spacing), Some((at_500, at_1000))) => finding.because(format!(
                "at {spacing} apart the pair gives {at_500} at 500 Hz and {at_1000} at 1 kHz against moving together"
            )),
            _ => finding.because("bass and the body of the horn cancel; the treble stays"),
        };
        finding.remedy(wiring.remedy(format!("exchange the two wires at {}", names(against.iter().copied()))))
    });
}

/// A finding that tells of more speakers than this is read by nobody.
const MOST_TOLD: usize = 6;
