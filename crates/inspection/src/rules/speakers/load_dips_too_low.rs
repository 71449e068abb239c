//! A load whose nominal value would do, but which dips below what the amplifier stands at some frequency.

use electrics::LoadVerdict;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::Wiring;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "load-dips-too-low",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[18],
    checks: "The least modulus of the load over 50 Hz to 16 kHz must be at least 80 % of the amplifier's least nominal load.",
    matters: "A part may be sold as 8 ohm and dip to 4; a network with a capacitor may dip where no meter looks. The amplifier gets hot and cuts out.",
    example: "Least nominal load 8 ohm: the load may dip to 6.4 ohm. A part sold as 8 ohm with a coil of 5.2 ohm dips to 5.2: too low.",
    cure: "Other parts, a series resistor, or a decoder whose amplifier stands less.",
    source: "IEC 60268-5 clause 16.1 (second hand): the lowest modulus is at least 80 % of the rated impedance",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    if job.decoder().is_none_or(|sheet| sheet.amplifier.is_none()) {
        return;
    }
    for wiring in Wiring::all(job, answers) {
        let Some(sound) = wiring.sound(answers) else { continue };
        let (Some(LoadVerdict::DipsTooLow { modulus, least }), Some(lowest)) =
            (&sound.sounding.verdict, &sound.sounding.least)
        else {
            continue;
        };
        let nominal = sound.sounding.nominal.map_or_else(String::new, |nominal| nominal.to_string());
        let first = sound.wiring.speakers.first().map(|speaker| speaker.path.join("part"));
        let headline =
            format!("{}the load is {nominal} by name but dips to {modulus} at {}", wiring.lead(), lowest.at);
        found.add_as(wiring.severity(Severity::Rework), headline, |finding| {
            finding
                .at(first.unwrap_or_else(|| Path::new("plan.wire")))
                .at(Path::new("plan.decoder"))
                .because(format!("the amplifier stands {least} at least: 80 % of its least nominal load"))
                .remedy(wiring.remedy("choose parts whose coils read higher, add a series resistor, or take a decoder that stands less"))
        });
    }
}
