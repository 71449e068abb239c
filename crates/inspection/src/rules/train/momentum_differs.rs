//! Units that start and stop in different times.

use finding::{Path, Severity};
use quantities::Duration;

use crate::answers::{Answers, UnitAnswer};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::train::{others, own};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "momentum-differs",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[54],
    checks: "Units with a motor must take the same time from stop to full speed and back, within 0.3 s, as their registers will hold it.",
    matters: "The train starts in jerks and its units buck through the couplers; the slower one is dragged.",
    example: "20 s in one order and 14 s in another: after 10 s one runs at 50 %, the other at 71 %.",
    cure: "The same times in all orders; then equal start delays and matched speeds, which need a stopwatch.",
    source: "practice row 54 (0.3 s: own estimate there); S-9.2.2 CV3, CV4: counts of 0.896 s where the sheet says nothing else",
    check,
};

const EQUAL_WITHIN_SECONDS: f64 = 0.3;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(own) = own(job, answers).filter(|own| own.has_motor) else { return };
    compare(job, answers, found, own, "acceleration", |unit| unit.acceleration);
    compare(job, answers, found, own, "deceleration", |unit| unit.deceleration);
}

fn compare(
    job: &Job<'_>,
    answers: &Answers,
    found: &mut Found<'_>,
    own: &UnitAnswer,
    key: &str,
    pick: fn(&UnitAnswer) -> Option<Duration>,
) {
    let told: Vec<(&UnitAnswer, Duration)> = others(job, answers)
        .filter(|unit| unit.has_motor)
        .filter_map(|unit| Some((unit, pick(unit)?)))
        .collect();
    let at = Path::new(format!("manners.{key}"));
    let Some(time) = pick(own) else {
        if let Some((other, time)) = told.first() {
            found.add_as(Severity::Open, format!("nobody has wished the {key} of this unit"), |finding| {
                finding
                    .at(at)
                    .because(format!(
                        "{} takes {time}; units that differ by more than 0.3 s buck",
                        other.number
                    ))
                    .remedy(format!("write `{key} = \"{time}\"` into `[manners]`"))
            });
        }
        return;
    };
    let differing: Vec<_> = told
        .iter()
        .filter(|(_, other)| (other.as_seconds() - time.as_seconds()).abs() > EQUAL_WITHIN_SECONDS)
        .collect();
    if differing.is_empty() {
        return;
    }
    found.add(format!("{key} of this unit takes {time}; others of the train differ"), |finding| {
        let finding = differing
            .iter()
            .fold(finding.at(at), |finding, (other, time)| finding.because(format!("{} takes {time}", other.number)));
        finding.remedy(format!("write the same `{key}` into the order of each unit; these are the times that the registers will hold"))
    });
}
