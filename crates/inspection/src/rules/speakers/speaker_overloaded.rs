//! A speaker that gets more power than it stands.

use finding::{Path, Severity};
use quantities::{Gain, Power};

use crate::answers::{Answers, SpeakerShare};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, master_level};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-overloaded",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[19],
    checks: "Each speaker's share of the amplifier's full output must stay within its rated power; a planned master level that ensures it turns the finding into a note.",
    matters: "Crackle, then silence after an hour; phone-type parts stand 0.25 to 0.7 W and a decoder gives 1.5 to 3.",
    example: "0.25 W of rating alone on 2 W at 8 ohm: eight times too much, stop. Two 1 W parts in series: 0.5 W each, sound.",
    cure: "Speakers in series, larger ones, or a master level that the finding names, kept in the decoder.",
    source: "practice row 19: share of power at most rated watts at full amplifier volts; digest sections 1.1 and 2.6; stop above three times: own limit",
    check,
};

/// Rounding must not make 2 W of 2 W an overload.
const ROUNDING: f64 = 1e-9;
/// Above this share of its rating a speaker is destroyed sooner than anybody reacts (own limit).
const DESTROYED_ABOVE: f64 = 3.0;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    if job.decoder().is_none_or(|sheet| sheet.amplifier.is_none()) {
        return;
    }
    let master = master_level(job);
    for wiring in Wiring::all(job, answers) {
        // The master level of the plan tames what will be played through the planned wiring only.
        let master = master.filter(|_| !wiring.will_change);
        for share in wiring.network.shares.iter().filter(|share| wiring.network.sounds(share)) {
            let Some(rating) = share.rating.filter(|rating| rating.as_watts() > 0.0) else { continue };
            if share.power.as_watts() > rating.as_watts() * (1.0 + ROUNDING) {
                overloaded(wiring, share, rating, master, found);
            }
        }
    }
}

fn overloaded(
    wiring: Wiring<'_>,
    share: &SpeakerShare,
    rating: Power,
    master: Option<Gain>,
    found: &mut Found<'_>,
) {
    let (power, network) = (share.power, wiring.network);
    let needed = Gain::of_powers(rating.as_watts(), power.as_watts());
    let is_tamed = master.is_some_and(|master| master <= needed);
    let severity = if is_tamed {
        Severity::Note
    } else if power.as_watts() > rating.as_watts() * DESTROYED_ABOVE {
        Severity::Stop
    } else {
        Severity::Rework
    };
    let lead = wiring.lead();
    let headline = match master.filter(|_| is_tamed) {
        Some(master) => {
            format!("{lead}only the master level of {master} keeps speaker {} within {rating}", share.name)
        }
        None => format!("{lead}speaker {} gets {power} at full output; it is rated {rating}", share.name),
    };
    found.add_as(wiring.severity(severity), headline, |finding| {
        let finding = finding.at(share.path.clone()).at(Path::new("plan.decoder")).because(format!(
            "the amplifier reaches {}, of which {} stand across it: {power}",
            network.full_level, share.voltage
        ));
        let finding = match master {
            Some(master) => {
                let left = power * master.as_amplitude_ratio().powi(2);
                finding.because(format!("at the master level of {master} that is {left}"))
            }
            None => finding,
        };
        let lowered = format!("a master level of {} or less", floor_decibels(needed));
        finding.remedy(wiring.remedy(if is_tamed {
            format!("tell the owner: {lowered} must stay in the decoder")
        } else {
            format!("wire it in series with its like, choose a larger one, or plan {lowered}")
        }))
    });
}

/// A level rounded down to half a decibel, so that following it is enough.
fn floor_decibels(gain: Gain) -> Gain {
    Gain::from_decibels((gain.as_decibels() * 2.0).floor() / 2.0).unwrap_or(gain)
}
