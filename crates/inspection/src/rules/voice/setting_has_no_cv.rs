//! A wish for which the decoder has no CV.

use std::cell::LazyCell;

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::one_of;
use crate::rules::voice::{decoder_name, fulfilling, gaps, other_decoders};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "setting-has-no-cv",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "Each wish about address, manners, levels and brightness must have a CV in the decoder.",
    matters: "The wish is left out of the programming list; the model comes back because it was promised.",
    example: "A level for the bell is wished; the decoder has one level for everything.",
    cure: "Leave the wish out, or choose another decoder.",
    source: "the decoder's sheet; S-9.2.2 Table 1",
    check,
};

/// A consist address without a CV is a matter of the train, and told there.
const CONSIST_ADDRESS: u16 = 19;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let others = LazyCell::new(|| other_decoders(job));
    for gap in gaps(answers) {
        let Gap::NoCv { wish, what, place } = gap else { continue };
        if place.is_some_and(|place| place.cv == CONSIST_ADDRESS) {
            continue;
        }
        let able = fulfilling(&others, wish);
        found.add(format!("{} has no CV for this: {what}", decoder_name(job)), |finding| {
            let finding = finding.at(wish.clone()).at(Path::new("plan.decoder")).because(match place {
                Some(place) => format!("the standard has {place} for it, but the sheet does not list it"),
                None => "the standard has none for it, and the sheet tells of no place of its own".to_owned(),
            });
            finding.remedy(if able.is_empty() {
                "leave the wish out, or look for a decoder that has it".to_owned()
            } else {
                format!("leave the wish out, or choose {}", one_of(&able))
            })
        });
    }
}
