//! More speakers than are computed over frequency.

use finding::{Path, Severity};

use crate::answers::{Answers, MOST_SPEAKERS};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "more-speakers-than-computed",
    stage: Stage::Plan,
    severity: Severity::Note,
    rows: &[],
    checks: "Whether a model has more speakers than Backshop computes over frequency: 24.",
    matters: "Load, power, travel and level over frequency are then not answered; the nominal arithmetic and the rules about wires still hold.",
    example: "A display case with forty speakers: its nominal load is told, its response is not.",
    cure: "Describe it as several orders, each with the speakers of one amplifier.",
    source: "own limit, so that answers come after every keystroke; an amplifier of a decoder drives a dozen at most (common practice)",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let n_found = job.order.survey.as_ref().map_or(0, |survey| survey.speaker.len());
    let n_planned = job.order.planned_speakers().count();
    let n_most = n_found.max(n_planned);
    if n_most > MOST_SPEAKERS {
        found.add(format!("{n_most} speakers are more than are computed over frequency"), |finding| {
            finding
                .at(Path::new(if n_planned >= n_found && job.order.plan.is_some() {
                    "plan.speaker"
                } else {
                    "survey.speaker"
                }))
                .because(format!(
                    "up to {MOST_SPEAKERS} are; their load, power and level over frequency are not answered"
                ))
                .remedy("describe the speakers of each amplifier in an order of its own")
        });
    }
}
