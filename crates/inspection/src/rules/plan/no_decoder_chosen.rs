//! A plan without a decoder.

use finding::Path;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "no-decoder-chosen",
    stage: Stage::Plan,
    severity: finding::Severity::Open,
    rows: &[],
    checks: "Whether the order says which decoder goes in.",
    matters: "Currents, socket, room, amplifier load and settings can only be judged against a decoder's sheet; without one most rules are silent.",
    example: "`[plan]` with lamps but without `decoder = \"…\"`: nothing is known of what the outputs stand.",
    cure: "Choose a decoder by stall current, room, socket and sounds, and name its sheet in `plan.decoder`.",
    source: "practice stage 7: decoder by current, outputs, size, sound set",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    if job.decoder().is_some() {
        return;
    }
    let stall = job.order.survey.as_ref().and_then(|survey| survey.stall_current);
    found.add("no decoder is chosen yet", |finding| {
        let finding = finding
            .at(Path::new("plan.decoder"))
            .because("without it nothing about currents, room, load or settings can be judged");
        let finding = match stall {
            Some(stall) => {
                finding.because(format!("its motor output must stand the stall current of {stall}"))
            }
            None => finding,
        };
        finding.remedy("name a decoder sheet in `plan.decoder`; `backshop sheets` lists those at hand")
    });
}
