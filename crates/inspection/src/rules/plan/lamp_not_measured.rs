//! A lamp of which nobody knows what it draws.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamp-not-measured",
    stage: Stage::Plan,
    severity: Severity::Open,
    rows: &[10, 57],
    checks: "Each planned lamp must have a part sheet, or a lamp of the survey with voltage and current.",
    matters: "A 1.5 V bulb on a 12 V output flashes once; an unknown one may draw more than its output stands.",
    example: "A bulb found in the model: full brightness on one 1.5 V cell says 1.5 V; the meter in series says 15 mA.",
    cure: "Stack 1.5 V cells until it is bright, with the meter in series; an LED: 9 V and 470 ohm, voltage across it.",
    source: "practice rows 10, 56 and 57, and section 3",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    for (path, lamp) in job.lamps() {
        if job.lamp_facts(lamp).is_some() {
            continue;
        }
        let name = &lamp.name;
        let (place, reason) = match &lamp.found {
            Some(found) => (
                Path::new(format!("survey.lamp.{found}")),
                format!("the survey does not tell both voltage and current of `{found}`"),
            ),
            None => (path, "neither a part sheet nor a lamp of the survey is named".to_owned()),
        };
        found.add(format!("nobody knows what lamp {name} draws"), |finding| {
            finding
                .at(place)
                .because(reason)
                .because("its output and resistor cannot be judged")
                .remedy("bulb: stack 1.5 V cells until it is bright, meter in series; LED: 9 V through 470 ohm, read the voltage across it; or name its part sheet")
        });
    }
}
