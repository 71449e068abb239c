//! A decoder set to 14 speed steps.

use finding::{Path, Severity};
use workorder::SpeedSteps;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{configuration_on_delivery, path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "fourteen-steps",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[45],
    checks: "CV29 bit 1 must be 1 (28 or 128 speed steps) unless 14 steps are wished.",
    matters: "With 14 steps in the decoder and 28 in the throttle, the bit that carries a speed step is taken for the headlight: it blinks with every step.",
    example: "CV29 = 4 has bit 1 clear: the lamp is on at even steps and off at odd ones.",
    cure: "Write `speed-steps = \"128\"` into the order's manners; the programming list sets the bit.",
    source: "S-9.2.2 CV29 bit 1; S-9.2.1 section C; practice row 45",
    check,
};

const MANY_STEPS: u8 = 2;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let wished = job.order.manners.as_ref().and_then(|manners| manners.speed_steps);
    match wished {
        Some(SpeedSteps::Fourteen) => {
            found.add_as(Severity::Note, "14 speed steps: every throttle must send 14 too", |finding| {
                finding
                    .at(Path::new("manners.speed-steps"))
                    .because("a throttle that sends 28 steps makes the headlight blink with every step")
                    .remedy("set 14 steps for this address in each command station it will meet, or wish 128")
            })
        }
        Some(_) => {}
        None => {
            let is_clear = |configuration: &u8| configuration & MANY_STEPS == 0;
            let remedy = "write `speed-steps = \"128\"` into `[manners]`; 28 sets the same bit";
            match (reading(job, 29), configuration_on_delivery(job).filter(is_clear)) {
                (Some(configuration), _) if is_clear(&configuration) => {
                    found.add(format!("it is set to 14 speed steps: CV29 is {configuration}"), |finding| {
                        finding
                            .at(path(29))
                            .because("bit 1 is clear; throttles send 28 or 128 steps, and the headlight then blinks with every step")
                            .remedy(remedy)
                    });
                }
                (None, Some(configuration)) => {
                    found.add_as(
                        Severity::Open,
                        "nobody has said how many speed steps it shall have",
                        |finding| {
                            finding
                                .at(Path::new("manners.speed-steps"))
                                .at(Path::new("plan.decoder"))
                                .because(format!("as delivered, CV29 is {configuration}: 14 steps"))
                                .remedy(remedy)
                        },
                    );
                }
                _ => {}
            }
        }
    }
}
