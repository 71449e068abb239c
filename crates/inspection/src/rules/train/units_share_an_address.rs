//! Two units with one own address.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;
use crate::rules::train::other_orders;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "units-share-an-address",
    stage: Stage::Train,
    severity: Severity::Note,
    rows: &[],
    checks: "Each unit of a train should have an own address of its own.",
    matters: "With one address for two, nothing can be set or listened to in one of them alone on the layout, and a write on the main changes both.",
    example: "Both diesels on long address 7001.",
    cure: "The road number of each.",
    source: "common practice; S-9.2.1 section C: operations-mode writes go to an address",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(address) = &job.order.address else { return };
    let same: Vec<_> = other_orders(job)
        .filter(|other| {
            other
                .address
                .as_ref()
                .is_some_and(|other| other.form == address.form && other.number == address.number)
        })
        .map(|other| &other.order.number)
        .collect();
    if same.is_empty() {
        return;
    }
    found.add(format!("this unit has the same own address as {}", listed(&same)), |finding| {
        finding
            .at(Path::new("address.number"))
            .because(format!(
                "{} address {} moves, sounds and is written in all of them at once",
                address.form,
                address.number.get()
            ))
            .remedy("give each its own, or mean it and program one at a time on the programming track")
    });
}
