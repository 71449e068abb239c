//! Speakers of which nobody knows which way they move.

use finding::{Finding, Severity};
use workorder::Polarity;

use crate::answers::{Answers, SpeakerShare};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::names;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-polarity-unknown",
    stage: Stage::Plan,
    severity: Severity::Open,
    rows: &[20],
    checks: "Where two or more speakers sound, the polarity of each must be marked or tested.",
    matters: "Identical parts laid the same side up fail across makes; opposed cones are found only when the shell is on.",
    example: "A marked, B unknown: touch B with 1.5 V through 10 ohm; the lead at the cell's plus when the cone moves out is plus.",
    cure: "The cell test on the bare speaker, or the microphone once it is in its box.",
    source: "acoustics and electrics digest, sections 1.3 and 3.3; practice row 20",
    check,
};

/// The cell and resistor of the test (digest, section 1.3; practice section 3).
const CELL_VOLTS: f64 = 1.5;
const RESISTOR_OHMS: f64 = 10.0;
/// A coil's share of the nominal impedance (digest, section 1.5).
const COIL_SHARE: f64 = 0.88;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    // What is in the model stays to be tested even where the wires change.
    let Some(network) = answers.wiring(job) else { return };
    let sounding: Vec<&SpeakerShare> = network.shares.iter().filter(|share| network.sounds(share)).collect();
    let unknown: Vec<&SpeakerShare> =
        sounding.iter().copied().filter(|share| share.polarity == Polarity::Unknown).collect();
    if sounding.len() < 2 || unknown.is_empty() {
        return;
    }
    for share in &unknown {
        found.add(format!("nobody knows which way speaker {} moves", share.name), |finding| {
            let finding = finding.at(share.path.join("polarity")).because(format!(
                "it sounds together with {}; opposed they cancel each other's bass",
                names(sounding.iter().copied().filter(|other| other.name != share.name))
            ));
            let finding = by_cell(finding, share);
            finding.remedy("touch 1.5 V through 10 ohm to its leads for less than half a second: cone outward means that the cell's plus is at plus; in a closed box record a click with a microphone instead; then write `polarity = \"tested\"` and the plus lead first in `terminals`")
        });
    }
}

fn by_cell(finding: Finding, share: &SpeakerShare) -> Finding {
    let Some(nominal) = share.impedance else { return finding };
    let milliamperes = CELL_VOLTS / (RESISTOR_OHMS + COIL_SHARE * nominal.as_ohms()) * 1e3;
    finding.because(format!(
        "the cell test sends {} mA through it; a 9 V block would send over 1 A",
        quantities::significant(milliamperes, 2)
    ))
}
