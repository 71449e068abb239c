//! A load that the amplifier does not stand.

use electrics::{BridgeAmplifier, LoadVerdict};
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, names};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "amplifier-below-least-load",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[18],
    checks: "The speakers together must not load the amplifier with less than its sheet allows, nominal compared with nominal.",
    matters: "Too low a load doubles the current: hot decoder, sound that cuts out, in the end a dead amplifier.",
    example: "Two 8-ohm speakers in parallel are 4 ohm: sound for one family, forbidden for another whose sheet says 8 ohm.",
    cure: "Speakers in series, or of higher impedance.",
    source: "IEC 60268-5 clause 16.1 by the acoustics and electrics digest, section 1.4; practice row 18 and section 2.7: only the stated minimum decides",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(amplifier) = job.decoder().and_then(|sheet| sheet.amplifier.as_ref()) else { return };
    let judge = BridgeAmplifier::of_power(amplifier.power, amplifier.load, amplifier.least_load);
    for wiring in Wiring::all(job, answers) {
        let network = wiring.network;
        let Ok(Some(load)) = network.load else { continue };
        if judge.judge(load, None) == LoadVerdict::Fits {
            continue;
        }
        let sounding = || network.shares.iter().filter(|share| network.sounds(share));
        let headline = format!(
            "{}the speakers load the amplifier with {load}; it stands {} at least",
            wiring.lead(),
            amplifier.least_load
        );
        found.add_as(wiring.severity(Severity::Stop), headline, |finding| {
            let wire = sounding().next().map(|share| super::wiring_place(network, share));
            let finding = wire
                .into_iter()
                .fold(finding, finding::Finding::at)
                .at(Path::new("plan.decoder"))
                .because(format!("{} make {load} the way they are wired", told(sounding())))
                .because(format!(
                    "at full output {} would flow instead of {}",
                    network.full_level / load,
                    network.full_level / amplifier.least_load
                ));
            finding.remedy(wiring.remedy(format!(
                "wire {} in series, or choose speakers of higher impedance",
                names(sounding())
            )))
        });
    }
}

fn told<'a>(shares: impl Iterator<Item = &'a crate::answers::SpeakerShare>) -> String {
    let told: Vec<String> = shares
        .map(|share| match share.impedance {
            Some(impedance) => format!("{} ({impedance})", share.name),
            None => share.name.clone(),
        })
        .collect();
    told.join(", ")
}
