//! A wish beyond what a register takes.

use cvplan::Gap;
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::gaps;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "wish-beyond-limit",
    stage: Stage::VoiceAndManners,
    severity: Severity::Note,
    rows: &[],
    checks: "A number beyond what its register takes is brought to the nearest that it does take, and this tells which.",
    matters: "What is written is not what was wished.",
    example: "Acceleration in 300 s; CV3 ends at 228 s in counts of 0.896 s.",
    cure: "Wish what the decoder can do, or nothing.",
    source: "the decoder's sheet; S-9.2.2 CV3, CV4 (255 counts of 0.896 s)",
    check,
};

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::BeyondLimit { wish, wanted, nearest } = gap else { continue };
        found.add(format!("wished: {wanted}; the decoder goes to {nearest}"), |finding| {
            finding
                .at(wish.clone())
                .because("the register ends there, and that is what will be written")
                .remedy("wish what the register can hold, or choose a decoder with a wider one")
        });
    }
}
