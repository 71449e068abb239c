//! Units that read the speed packets of their train differently.

use finding::{Path, Severity};
use workorder::SpeedSteps;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;
use crate::rules::train::other_orders;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speed-steps-differ",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[45],
    checks: "All units of a train must be set to 14 speed steps, or all to 28 and 128.",
    matters: "All hear the same packets: a unit set to 14 steps blinks its headlight with the speed of the train.",
    example: "128 steps in the first unit, 14 in the second.",
    cure: "128 in all of them.",
    source: "S-9.2.2 CV29 bit 1; S-9.2.1 section C; practice row 45",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let steps = |order: &workorder::WorkOrder| order.manners.as_ref().and_then(|manners| manners.speed_steps);
    let Some(own) = steps(job.order) else { return };
    let is_fourteen = own == SpeedSteps::Fourteen;
    let differing: Vec<_> = other_orders(job)
        .filter(|other| steps(other).is_some_and(|other| (other == SpeedSteps::Fourteen) != is_fourteen))
        .map(|other| &other.order.number)
        .collect();
    if differing.is_empty() {
        return;
    }
    found.add(format!("{own} speed steps here, another number in {}", listed(&differing)), |finding| {
        finding
            .at(Path::new("manners.speed-steps"))
            .because("all units hear the same speed packets, and 14 steps read their bits otherwise than 28 and 128")
            .remedy("write `speed-steps = \"128\"` in each order of the train")
    });
}
