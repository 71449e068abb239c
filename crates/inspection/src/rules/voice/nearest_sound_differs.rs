//! A recording that comes near, but differs.

use std::cell::LazyCell;

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::one_of;
use crate::rules::voice::{decoder_name, fulfilling, gaps, other_decoders};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "nearest-sound-differs",
    stage: Stage::VoiceAndManners,
    severity: Severity::Note,
    rows: &[],
    checks: "Where no recording is as wished, the nearest one is taken, and this tells in what it differs.",
    matters: "The owner should hear it from the fitter before hearing it from the model.",
    example: "Wished: 16-cylinder four-stroke with turbo. On board: 12-cylinder four-stroke with turbo; 12 cylinders instead of 16.",
    cure: "Tell the owner, or take a decoder that has it.",
    source: "the decoder's sheet; the order of what is heard first is our own judgement",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let others = LazyCell::new(|| other_decoders(job));
    for gap in gaps(answers) {
        let Gap::NearestSound { wish, part, wanted, nearest, differences } = gap else { continue };
        let able = fulfilling(&others, wish);
        let part = part.word().replace('-', " ");
        found.add(format!("the nearest {part} on board is {nearest}; wished is {wanted}"), |finding| {
            let finding = differences
                .iter()
                .fold(finding.at(wish.clone()).at(Path::new("plan.decoder")), |finding, difference| {
                    finding.because(difference.clone())
                });
            finding.remedy(if able.is_empty() {
                format!("tell the owner; no other decoder on the shelf has exactly this {part}")
            } else {
                format!("tell the owner, or choose {} instead of {}", one_of(&able), decoder_name(job))
            })
        });
    }
}
