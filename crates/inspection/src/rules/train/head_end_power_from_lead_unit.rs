//! A lead unit that powers the train while another could.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;
use crate::rules::train::{others, own};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "head-end-power-from-lead-unit",
    stage: Stage::Train,
    severity: Severity::Note,
    rows: &[],
    checks: "Where two or more units can supply the train, the second one should, not the leading one.",
    matters: "An engine that holds a fixed speed for the train drowns the cab; crews let the second unit do it.",
    example: "`powers-train` beside the first of two diesels.",
    cure: "Move it to the second unit, unless a photograph shows otherwise.",
    source: "practice stage 19: the second unit feeds the train, the lead cab stays quiet (common practice)",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let is_lead = job.train.is_some_and(|place| place.index == 0);
    let Some(own) = own(job, answers).filter(|own| is_lead && own.supplies) else { return };
    let able: Vec<_> =
        others(job, answers).filter(|other| other.can_supply).map(|other| &other.number).collect();
    if able.is_empty() {
        return;
    }
    found.add(format!("the leading unit {} powers the train", own.number), |finding| {
        finding
            .at(Path::new("voice.head-end-power"))
            .because(format!("{} could, and the leading cab would stay quiet", listed(&able)))
            .remedy("move `powers-train` to the second unit in the train's document, unless the prototype did otherwise")
    });
}
