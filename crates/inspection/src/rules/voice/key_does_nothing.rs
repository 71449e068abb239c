//! A key whose deed nothing in the model does.

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{decoder_name, gaps};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "key-does-nothing",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "What a key shall do must be done by a planned lamp, by a sound of the decoder or by one of its running functions.",
    matters: "A key on the owner's list that does nothing comes back as a complaint.",
    example: "F5 = \"firebox\", but no lamp with `does = \"firebox\"` is planned.",
    cure: "Plan the lamp, choose a decoder with the sound, or free the key.",
    source: "the decoder's sheet and the planned lamps; practice stage 16",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::NoDeed { wish, key, deed } = gap else { continue };
        found.add(format!("{key} shall do \"{deed}\", but nothing does that"), |finding| {
            let finding = finding.at(wish.clone());
            if !deed.is_lamp() {
                return finding
                    .at(Path::new("plan.decoder"))
                    .because(format!("the sheet of {} tells of no \"{deed}\" on a key", decoder_name(job)))
                    .remedy("choose a decoder that has it, or free the key");
            }
            let has_lamp = job.order.plan.iter().flat_map(|plan| &plan.lamp).any(|lamp| lamp.does == *deed);
            if has_lamp {
                finding
                    .at(Path::new("plan.decoder"))
                    .because(format!(
                        "a lamp is planned for it, but no key of {} can switch that lamp's output",
                        decoder_name(job)
                    ))
                    .remedy("put the lamp on an output that keys can switch")
            } else {
                finding
                    .because("no planned lamp is for that")
                    .remedy(format!("plan a lamp with `does = \"{deed}\"`, or free the key"))
            }
        });
    }
}
