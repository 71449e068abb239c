//! A speed table that falls.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speed-table-not-rising",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "No entry of the speed table may be below the one before it, and the last must be above the first.",
    matters: "A falling entry makes the model slower as the throttle is turned up; it is mostly a slip of the pen.",
    example: "… 90, 99, 18, 117 …: step 12 was meant to be 108.",
    cure: "Correct the entry; whole tables are best made from three measured speeds.",
    source: "S-9.2.2 CV67 to CV94: levels for steps 1 to 28; rising order: common practice",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(manners) = &job.order.manners else { return };
    let entries: Vec<u16> = manners.speed_table.iter().map(|entry| entry.get()).collect();
    let (Some(first), Some(last)) = (entries.first(), entries.last()) else { return };
    let falling: Vec<(usize, u16, u16)> = entries
        .windows(2)
        .zip(2..)
        .filter(|(pair, _)| pair[1] < pair[0])
        .map(|(pair, step)| (step, pair[0], pair[1]))
        .collect();
    for (step, before, entry) in &falling {
        found.add(format!("the speed table falls at step {step}: {before}, then {entry}"), |finding| {
            finding
                .at(Path::new(format!("manners.speed-table.{step}")))
                .because("the model slows down there while the throttle is turned up")
                .remedy(format!("write {before} or more for step {step}"))
        });
    }
    if falling.is_empty() && last == first {
        found.add(format!("every step of the speed table is {first}"), |finding| {
            finding
                .at(Path::new("manners.speed-table"))
                .because("the model has one speed at all 28 steps")
                .remedy(
                    "write 28 rising numbers, or leave the table out and wish start, middle and top level",
                )
        });
    }
}
