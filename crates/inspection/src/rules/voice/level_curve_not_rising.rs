//! Start, middle and top level in the wrong order.

use finding::{Path, Severity};
use quantities::Percent;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "level-curve-not-rising",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "The motor's start level must be below its middle level, and that below its top level.",
    matters: "A curve that falls makes the model slower as the throttle is turned up; one that is flat makes steps without effect.",
    example: "Start 8 %, middle 60 %, top 45 %: from the middle step on it slows down.",
    cure: "Middle near half of the top level, start just where the model creeps.",
    source: "S-9.2.2 CV2, CV5, CV6; practice section 3 (middle = half of the top)",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(manners) = &job.order.manners else { return };
    let levels: Vec<(&str, Percent)> = [
        ("start-level", manners.start_level),
        ("middle-level", manners.middle_level),
        ("top-level", manners.top_level),
    ]
    .into_iter()
    .filter_map(|(key, level)| Some((key, level?)))
    .collect();
    for pair in levels.windows(2) {
        let [(lower_key, lower), (upper_key, upper)] = pair else { continue };
        if lower < upper {
            continue;
        }
        found.add(format!("the {} of {upper} is not above the {} of {lower}", spoken(upper_key), spoken(lower_key)), |finding| {
            finding
                .at(Path::new(format!("manners.{upper_key}")))
                .at(Path::new(format!("manners.{lower_key}")))
                .because("the speed does not rise between the two while the throttle does")
                .remedy("put them in rising order; the middle level near half of the top level is a good start")
        });
    }
}

fn spoken(key: &str) -> String {
    key.replace('-', " ")
}
