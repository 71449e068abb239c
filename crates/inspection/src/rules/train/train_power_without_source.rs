//! A unit that shall power the train and has nothing to do it with.

use datasheets::HeadEndPower;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::train::own;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "train-power-without-source",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[],
    checks: "A unit with `powers-train` must have head-end power in its order's voice.",
    matters: "The coaches are lit, and no engine is heard that lights them.",
    example: "`powers-train = true` for a unit with `head-end-power = \"none\"`.",
    cure: "Write where its electricity comes from, or let another unit supply.",
    source: "practice stage 19; common practice",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(own) = own(job, answers).filter(|own| own.supplies && !own.can_supply) else { return };
    let at = Path::new("voice.head-end-power");
    let remedy = "write \"main engine\", \"generator set\" or \"standby\", as the prototype had it, or mark another unit with `powers-train`";
    let told = job.order.voice.as_ref().and_then(|voice| voice.head_end_power);
    match told {
        Some(HeadEndPower::None) => {
            found.add(
                format!("{} shall power the train, but its order has no head-end power", own.number),
                |finding| {
                    finding
                        .at(at)
                        .because("the train's document has `powers-train = true` beside this unit")
                        .remedy(remedy)
                },
            );
        }
        _ => found.add_as(
            Severity::Open,
            format!("{} shall power the train, and nobody has said with what", own.number),
            |finding| {
                finding
                    .at(at)
                    .because("the train's document has `powers-train = true` beside this unit")
                    .remedy(remedy)
            },
        ),
    }
}
