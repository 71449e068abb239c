//! CV29 with bits that a locomotive decoder never has.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "configuration-not-of-a-locomotive",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[],
    checks: "Bit 7 of CV29 must be 0: 1 is the mark of an accessory decoder. Bit 6 is reserved and must be 0.",
    matters: "An accessory decoder numbers its CVs differently, and a wrong reading of CV29 would be merged into what is written.",
    example: "CV29 = 134 is bit 7 with 6 below it: an accessory decoder, or a reading error.",
    cure: "Read CV29 again; if it stays, look which decoder is in the model.",
    source: "S-9.2.2 CV29 bits 6 and 7; RCN-225 CV29",
    check,
};

const ACCESSORY: u8 = 128;
const RESERVED: u8 = 64;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(configuration) = reading(job, 29) else { return };
    if configuration & ACCESSORY != 0 {
        found.add(format!("CV29 reads {configuration}: bit 7 marks an accessory decoder"), |finding| {
            finding.at(path(29)).because("a locomotive decoder has bit 7 at 0, so CV29 is at most 63").remedy(
                "read CV29 again; if it stays, look which decoder is in the model before anything is written",
            )
        });
    } else if configuration & RESERVED != 0 {
        found.add_as(Severity::Note, format!("CV29 reads {configuration}: its reserved bit 6 is set"), |finding| {
            finding
                .at(path(29))
                .because("the standards reserve bit 6; a decoder must not let a bit be set for a feature it lacks, so this is a maker's own meaning or a wrong reading")
                .remedy("read CV29 again; if it stays, look into the decoder's manual, and note it in its sheet")
        });
    }
}
