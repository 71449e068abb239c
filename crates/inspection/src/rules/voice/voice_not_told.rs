//! A sound decoder of which nobody says what it shall sound like.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "voice-not-told",
    stage: Stage::VoiceAndManners,
    severity: Severity::Open,
    rows: &[],
    checks: "An order that plans a sound decoder must say what the prototype sounds like.",
    matters: "Left as delivered, a six-cylinder shunter may sound like a main-line engine, and the same class carried different horns by year.",
    example: "Engine, horn, bell and head-end power, from photographs, fleet lists and recordings.",
    cure: "Write the facts of the prototype into `[voice]`; what is left out stays as delivered.",
    source: "practice stages 2 and 14",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(sheet) = job.decoder() else { return };
    if sheet.amplifier.is_none() || job.order.voice.is_some() {
        return;
    }
    found.add("nobody has said what it shall sound like", |finding| {
        finding
            .at(Path::new("voice"))
            .because(format!("`{}` has sounds on board; it plays what it is delivered with", sheet.part.name))
            .remedy(
                "look up engine, horn and bell of the prototype in its year, and write them into `[voice]`",
            )
    });
}
