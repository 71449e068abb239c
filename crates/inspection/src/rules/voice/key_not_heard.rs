//! A key above the highest that the decoder hears.

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{decoder_name, gaps};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "key-not-heard",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "Every wished key must be one that the decoder hears.",
    matters: "The throttle sends it, and nothing happens.",
    example: "F14 is wished; the standard's matrix ends at F12.",
    cure: "A lower key, or a decoder that hears more.",
    source: "the decoder's sheet; S-9.2.2 Table 2 (F0 to F12)",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::NoKey { wish, key, highest } = gap else { continue };
        found.add(format!("{} does not hear {key}", decoder_name(job)), |finding| {
            finding
                .at(wish.clone())
                .at(Path::new("plan.decoder"))
                .because(format!("it hears F0 to F{highest}"))
                .remedy(format!("put it on a free key up to F{highest}"))
        });
    }
}
