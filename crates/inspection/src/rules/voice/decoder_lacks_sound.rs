//! A part of the voice that the decoder does not have.

use std::cell::LazyCell;

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::one_of;
use crate::rules::voice::{decoder_name, fulfilling, gaps, other_decoders};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "decoder-lacks-sound",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "Each wished part of the voice must have a recording of its kind in the decoder.",
    matters: "It shows only when the shell is back on: the wished sound is not there at all.",
    example: "Head-end power from the main engine is wished; the decoder knows a generator set only.",
    cure: "Another decoder, another set of recordings, or another wish.",
    source: "the decoder's sheet; practice stage 7",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let others = LazyCell::new(|| other_decoders(job));
    for gap in gaps(answers) {
        let Gap::NoSound { wish, part, wanted } = gap else { continue };
        let able = fulfilling(&others, wish);
        let has_no_sound_at_all = job.decoder().is_some_and(|sheet| sheet.amplifier.is_none());
        found.add(
            format!("{} has no such {}: {wanted}", decoder_name(job), part.word().replace('-', " ")),
            |finding| {
                let finding =
                    finding.at(wish.clone()).at(Path::new("plan.decoder")).because(if has_no_sound_at_all {
                        "its sheet tells of no amplifier: it has no sound at all"
                    } else {
                        "its sheet tells of no recording of that kind"
                    });
                finding.remedy(if able.is_empty() {
                    "no decoder on the shelf has it: look for another sheet, or leave the wish out".to_owned()
                } else {
                    format!("choose {}, or leave the wish out", one_of(&able))
                })
            },
        );
    }
}
