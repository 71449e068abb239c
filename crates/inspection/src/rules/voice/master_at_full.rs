//! The master level at its full.

use datasheets::{LawKind, Role, RoleName};
use finding::{Path, Severity};
use quantities::Gain;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "master-at-full",
    stage: Stage::VoiceAndManners,
    severity: Severity::Note,
    rows: &[29],
    checks: "A sound decoder's master level should be below full: as wished, or as delivered where nothing is wished.",
    matters: "At full, small speakers distort at every loud sound, and a layout with ten such engines tires everybody.",
    example: "Near 60 % of full is -4.4 dB; at -1 dB and above this speaks.",
    cure: "Start near -4 dB, then set the single sounds against the engine at idle.",
    source: "practice row 29: start near 60 %; 20·log10(0.6) = -4.4 dB",
    check,
};

/// From here on it counts as full: 89 % of the amplitude.
const FULL_FROM_DECIBELS: f64 = -1.0;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(sheet) = job.decoder().filter(|sheet| sheet.amplifier.is_some()) else { return };
    let will_be_heard = job.order.voice.is_some() || job.order.planned_speakers().next().is_some();
    let Some(role) = sheet.role(RoleName::MasterLevel).filter(|_| will_be_heard) else { return };
    let wished = job.order.levels.as_ref().and_then(|levels| levels.master);
    let Some(level) = wished.or_else(|| on_delivery(&role)) else { return };
    if level.as_decibels() < FULL_FROM_DECIBELS {
        return;
    }
    let headline = if wished.is_some() {
        format!("the master level is wished at {level}, which is full")
    } else {
        "nobody has wished a master level, and the decoder is delivered at full".to_owned()
    };
    found.add(headline, |finding| {
        finding
            .at(Path::new("levels.master"))
            .because("a master at its maximum is the usual cause of distortion at every loud sound")
            .remedy("write `master = \"-4 dB\"` into `[levels]` and listen; 60 % of full is -4.4 dB")
    });
}

/// The level against full that a register is delivered with, by its law.
fn on_delivery(role: &Role) -> Option<Gain> {
    let (law, value) = (role.law.as_ref()?, f64::from(role.default?.get()));
    match law.kind {
        LawKind::Amplitude => Some(Gain::of_amplitudes(value, f64::from(law.full?.get()))),
        LawKind::Decibels => {
            Gain::from_decibels((value - f64::from(law.zero?.get())) * law.step?.as_decibels())
        }
        LawKind::Share | LawKind::Seconds => None,
    }
}
