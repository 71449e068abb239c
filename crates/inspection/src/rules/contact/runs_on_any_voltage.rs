//! A decoder that may take a distorted signal for plain DC.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{configuration_on_delivery, path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "runs-on-any-voltage",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[16],
    checks: "CV29 bit 2 lets the decoder run on plain DC; it must be 0 unless the order wishes that.",
    matters: "A distorted signal, a stretched zero or a programming track left on can look like DC: the model takes off at full speed.",
    example: "CV29 = 6 is bit 1 and bit 2: runs on DC too. CV29 = 2: digital only.",
    cure: "Write `analog = false` into the order's manners; the programming list clears the bit.",
    source: "S-9.2.2 CV29 bit 2; S-9.2.4 section B; practice row 16",
    check,
};

const ANALOG: u8 = 4;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    if job.order.manners.as_ref().is_some_and(|manners| manners.analog.is_some()) {
        return;
    }
    let is_set = |configuration: &u8| configuration & ANALOG != 0;
    let remedy = "write `analog = false` into `[manners]`, or `analog = true` if it shall run on a layout with plain DC";
    match (reading(job, 29), configuration_on_delivery(job).filter(is_set)) {
        (Some(configuration), _) if is_set(&configuration) => {
            found.add(format!("it may run on plain DC: CV29 is {configuration}, and nobody wishes that"), |finding| {
                finding
                    .at(path(29))
                    .because("with bit 2 set a distorted signal can be taken for DC, and the model takes off at full speed")
                    .remedy(remedy)
            });
        }
        (None, Some(configuration)) => {
            found.add_as(Severity::Open, "nobody has said whether it may run on plain DC", |finding| {
                finding
                    .at(Path::new("manners.analog"))
                    .at(Path::new("plan.decoder"))
                    .because(format!("as delivered, CV29 is {configuration}: bit 2 is set, and a distorted signal can be taken for DC"))
                    .remedy(remedy)
            });
        }
        _ => {}
    }
}
