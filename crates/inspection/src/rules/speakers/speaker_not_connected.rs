//! A speaker that no current reaches.

use electrics::Condition;
use finding::{Path, Severity};

use crate::answers::{Answers, Network, SpeakerShare};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::Wiring;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-not-connected",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[21],
    checks: "Each speaker must lie on a way from one amplifier output to the other, with its leads apart.",
    matters: "It stays silent, and so does everything in series with it.",
    example: "A.black to B.red and B.black to nowhere: both silent. A.red joined to A.black: A is shorted out, B gets everything.",
    cure: "The missing wire, or the wire too many taken out.",
    source: "acoustics and electrics digest, section 1.2; practice row 21",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for wiring in Wiring::all(job, answers) {
        let network = wiring.network;
        if network.n_wires == 0 {
            unwired(network, found);
            continue;
        }
        // A dead short hides how the speakers are connected; it is another rule's matter.
        if network.load.is_err() {
            continue;
        }
        for share in network.shares.iter().filter(|share| !network.sounds(share)) {
            // What was never wired and will be, or goes out, is nothing to be told of.
            if !(wiring.will_change && share.condition == Condition::NotConnected) {
                silent(wiring, share, found);
            }
        }
    }
}

fn unwired(network: &Network, found: &mut Found<'_>) {
    let names = super::names(&network.shares);
    found.add_as(Severity::Open, format!("nothing tells how speaker {names} is wired"), |finding| {
        network
            .shares
            .iter()
            .fold(finding, |finding, share| finding.at(share.path.clone()))
            .because("load, power and polarity cannot be told without wires")
            .remedy("note the wires as found in `[[survey.wire]]`, or plan them in `[[plan.wire]]`")
    });
}

fn silent(wiring: Wiring<'_>, share: &SpeakerShare, found: &mut Found<'_>) {
    let network = wiring.network;
    let (plus, minus) = (share.leads.0.as_str(), share.leads.1.as_str());
    let (headline, reason, remedy, place) = match share.condition {
        Condition::ShortCircuited => {
            let way = network.way(plus, minus);
            (
                "is shorted out",
                format!("{plus} and {minus} are joined, by wires or a part of 0 ohm"),
                "take out what joins them",
                way.first().cloned().unwrap_or_else(|| share.path.clone()),
            )
        }
        Condition::OpenEnded => (
            "gets no current",
            "it hangs on the amplifier, but no way leads on through it to the other output".to_owned(),
            "add the missing wire",
            super::wiring_place(network, share),
        ),
        Condition::NotConnected => (
            "is not connected",
            format!("no way leads from {plus} or {minus} to the amplifier"),
            "wire both its leads",
            share.path.clone(),
        ),
        Condition::Driven => (
            "gets no voltage",
            "the network holds both its leads at the same voltage".to_owned(),
            "wire it between points of different voltage",
            super::wiring_place(network, share),
        ),
    };
    found.add_as(
        wiring.severity(Severity::Rework),
        format!("{}speaker {} {headline}", wiring.lead(), share.name),
        |finding| {
            finding.at(place).at(Path::clone(&share.path)).because(reason).remedy(wiring.remedy(remedy))
        },
    );
}
