//! Two units that both power the train.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;
use crate::rules::train::{others, own};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "head-end-power-from-two-units",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[55],
    checks: "Only one unit of a train may supply it with electricity.",
    matters: "Two alternators that are not in step cannot feed one line, and two engines that hold the same speed sound like one very loud one.",
    example: "`powers-train = true` beside both diesels.",
    cure: "Leave it with the second unit.",
    source: "practice row 55 and stage 19: one unit answers the head-end key",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(own) = own(job, answers).filter(|own| own.supplies) else { return };
    let also: Vec<_> =
        others(job, answers).filter(|other| other.supplies).map(|other| &other.number).collect();
    if also.is_empty() {
        return;
    }
    found.add(format!("{} powers the train, and {} does too", own.number, listed(&also)), |finding| {
        finding
            .at(Path::new("voice.head-end-power"))
            .because("the train's document has `powers-train = true` beside each of them; one line is fed by one source")
            .remedy("keep it beside one unit in the train's document, the second where there are two or more")
    });
}
