//! A motor brush that touches the frame or a rail.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::survey::{has_motor, is_below};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "motor-not-isolated",
    stage: Stage::Survey,
    severity: Severity::Stop,
    rows: &[1, 3],
    checks: "The meter, with the decoder out, must show no connection from either motor brush to the frame and to either rail.",
    matters: "A decoder's motor output that meets a rail or a live frame is destroyed the moment power comes on.",
    example: "Brush to frame 0.8 ohm: stop. 40 kohm: dirt or a damaged insulator, look again. OL or above 1 Mohm: sound.",
    cure: "Insulate the brush or its spring, cut the strip that feeds it, wash out filings; measure again with the shell on.",
    source: "practice row 1: below 1 kohm stops the job, above 1 Mohm is sound",
    check,
};

/// Below this the two are connected.
const CONNECTED_BELOW_OHMS: f64 = 1e3;
/// Above this they are not.
const SOUND_ABOVE_OHMS: f64 = 1e6;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(survey) = &job.order.survey else { return };
    // A van without a motor has nothing to isolate.
    let has_motor = has_motor(survey);
    let readings = [
        ("frame", "survey.motor-to-frame", survey.motor_to_frame),
        ("rails", "survey.motor-to-rail", survey.motor_to_rail),
    ];
    let will_be_mended = job.order.plan.as_ref().and_then(|plan| plan.insulate_motor) == Some(true);
    for (what, path, reading) in readings {
        match reading {
            None if has_motor => found.add_as(
                Severity::Open,
                format!("nobody has measured the motor against the {what}"),
                |finding| {
                    finding
                        .at(Path::new(path))
                        .because("a brush on the frame or a rail destroys the decoder at first power")
                        .remedy(format!(
                            "decoder out; meter from each brush to the {what}; note the lower reading"
                        ))
                },
            ),
            None => {}
            Some(reading) if is_below(reading, CONNECTED_BELOW_OHMS) => {
                let severity = if will_be_mended { Severity::Note } else { Severity::Stop };
                found.add_as(severity, format!("a motor brush touches the {what}: the meter shows {reading}"), |finding| {
                    finding
                        .at(Path::new(path))
                        .because("below 1 kohm counts as a connection; the decoder's motor output would be shorted")
                        .remedy(if will_be_mended {
                            "insulate both brushes as planned, measure again and note the new reading before any power"
                        } else {
                            "insulate both brushes, measure again and note the new reading; or plan it with `insulate-motor = true`"
                        })
                });
            }
            Some(reading) if is_below(reading, SOUND_ABOVE_OHMS) => {
                found.add_as(Severity::Rework, format!("the motor is poorly insulated from the {what}: {reading}"), |finding| {
                    finding
                        .at(Path::new(path))
                        .because("a sound motor reads above 1 Mohm; this is dirt, brush dust or a damaged insulator")
                        .remedy("clean around the brushes, measure again with the shell on and pressed")
                });
            }
            Some(_) => {}
        }
    }
}
