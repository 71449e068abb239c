//! Speakers that get very different powers.

use finding::{Finding, Severity};
use quantities::{Gain, Power};

use crate::answers::{Answers, SpeakerShare};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::Wiring;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "power-shared-unevenly",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "Speakers of one network should get about the same power: a factor of 2 is told, a factor of 4 should be mended.",
    matters: "Mixed impedances and lopsided networks drive one speaker to its limit while another is hardly heard.",
    example: "8 and 4 ohm in parallel: one third and two thirds. 8 in series with two 8 in parallel: two thirds, one sixth, one sixth.",
    cure: "Speakers of one impedance, or a network that treats them alike.",
    source: "acoustics and electrics digest, section 1.1; 3 dB and 6 dB as limits: own choice (practice section 3: 3 dB is barely louder)",
    check,
};

/// Ratios of power that are told and that should be mended: 3 dB and 6 dB, less a hair for rounding.
const TOLD: f64 = 1.99;
const MENDED: f64 = 3.98;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for wiring in Wiring::all(job, answers) {
        let network = wiring.network;
        let sounding: Vec<&SpeakerShare> =
            network.shares.iter().filter(|share| network.sounds(share)).collect();
        let watts = |share: &&&SpeakerShare| share.power.as_watts();
        let by_power = |one: &&&SpeakerShare, other: &&&SpeakerShare| watts(one).total_cmp(&watts(other));
        let (Some(least), Some(most)) = (sounding.iter().min_by(by_power), sounding.iter().max_by(by_power))
        else {
            continue;
        };
        let ratio = watts(&most) / watts(&least);
        if ratio < TOLD {
            continue;
        }
        let severity = if ratio < MENDED { Severity::Note } else { Severity::Rework };
        let headline = format!(
            "{}speaker {} gets {} and {} only {}",
            wiring.lead(),
            most.name,
            most.power,
            least.name,
            least.power
        );
        found.add_as(wiring.severity(severity), headline, |finding| {
            let total: Power = sounding.iter().map(|share| share.power).sum();
            let finding = [*least, *most].into_iter().map(|share| share.path.clone()).fold(finding, Finding::at);
            finding
                .because(format!(
                    "that is {} between them, of {total} at full output",
                    Gain::of_powers(watts(&most), watts(&least))
                ))
                .because(shares(&sounding))
                .remedy(wiring.remedy("use speakers of one impedance, or wire them so that each carries the same current or voltage"))
        });
    }
}

fn shares(sounding: &[&SpeakerShare]) -> String {
    let told: Vec<String> = sounding
        .iter()
        .map(|share| match share.impedance {
            Some(impedance) => format!("{}: {} into {impedance}", share.name, share.power),
            None => format!("{}: {}", share.name, share.power),
        })
        .collect();
    told.join(", ")
}
