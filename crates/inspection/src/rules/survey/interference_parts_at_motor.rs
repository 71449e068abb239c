//! Parts of the DC days at the motor.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "interference-parts-at-motor",
    stage: Stage::Survey,
    severity: Severity::Note,
    rows: &[8],
    checks: "Whether a capacitor or chokes against interference still sit at the motor.",
    matters: "They blur the motor voltage that back-EMF control measures: jerks at crawl, a jump at the stop, poor acknowledgement.",
    example: "100 nF across the brushes and jerks at step 1: take it out and try again. One owner found the opposite, so try and record.",
    cure: "Take out the capacitor across the brushes where the decoder uses back-EMF; keep what you took out, and note which ran better.",
    source: "practice row 8 and section 2.7: the trade contradicts itself here",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(survey) = &job.order.survey else { return };
    if survey.interference_parts == Some(true) {
        found.add("parts against interference sit at the motor", |finding| {
            finding
                .at(Path::new("survey.interference-parts"))
                .because(
                    "a capacitor of about 100 nF across the brushes blurs what back-EMF control measures",
                )
                .because("owners report both: smoother without them, and in one case smoother with them")
                .remedy("try the crawl with and without; leave in what runs better, and write it down here")
        });
    }
}
