//! A train of which nobody says who supplies it.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;
use crate::rules::train::own;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "nobody-powers-the-train",
    stage: Stage::Train,
    severity: Severity::Open,
    rows: &[55],
    checks: "Where units can supply the train with electricity, the train must say which one does.",
    matters: "Left open, every one of them roars for the train when the head-end key is pressed.",
    example: "Two passenger diesels with head-end power from the main engine, and no `powers-train`.",
    cure: "The second unit where there are two or more; the only one else.",
    source: "practice row 55 and stage 19: the second unit feeds the train, the lead cab stays quiet",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(place), Some(own)) = (&job.train, own(job, answers)) else { return };
    if place.train.unit.iter().any(|unit| unit.powers_train == Some(true)) || !own.can_supply {
        return;
    }
    let able: Vec<_> =
        answers.train.iter().flatten().filter(|unit| unit.can_supply).map(|unit| &unit.number).collect();
    found.add("nobody has said which unit powers the train", |finding| {
        finding
            .at(Path::new("voice.head-end-power"))
            .because(format!("{} could", listed(&able)))
            .remedy("write `powers-train = true` beside one unit in the train's document: the second where two or more can")
    });
}
