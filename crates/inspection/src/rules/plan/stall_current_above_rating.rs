//! A motor that can draw more than the decoder stands.

use finding::{Path, Severity};
use quantities::Voltage;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "stall-current-above-rating",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[4],
    checks: "The current of the held motor, brought to the track voltage, must not exceed what the decoder's motor output stands.",
    matters: "A jammed gear or a stop rail makes every motor draw its stall current; the output transistors then die within seconds.",
    example: "0.62 A measured at 12 V is 0.78 A at 15 V; a 0.7 A decoder is too small, a 1 A decoder stands it.",
    cure: "A decoder with a higher rating, a better motor, or stronger magnets in the old one.",
    source: "practice row 4: stall current at 12, 15 or 18 V at most the decoder rating; scaling I(V) = I·V/V_measured, practice section 3",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let (Some(survey), Some(decoder)) = (&job.order.survey, job.decoder()) else { return };
    let rating = decoder.decoder.motor_current;
    let at_track = job.track_voltage();
    let Some(stall) = survey.stall_current else {
        if survey.motor_resistance.is_some() || survey.motor_to_frame.is_some() {
            found.add_as(Severity::Open, "nobody has measured the stall current", |finding| {
                finding
                    .at(Path::new("survey.stall-current"))
                    .because(format!("the decoder stands {rating}"))
                    .remedy("decoder out, DC supply at track voltage, hold the wheels for less than two seconds, read the current")
            });
        }
        return;
    };
    let measured_at = survey.stall_voltage.unwrap_or(at_track);
    let scaled = stall * scale(at_track, measured_at);
    let peak = decoder.decoder.motor_peak.unwrap_or(rating);
    if scaled > peak {
        found.add(
            format!("the motor can draw {scaled}; the decoder stands {peak} for a moment"),
            |finding| {
                finding
                    .at(Path::new("survey.stall-current"))
                    .at(Path::new("plan.decoder"))
                    .because(format!(
                        "{stall} measured at {measured_at} is {scaled} at the track's {at_track}"
                    ))
                    .remedy("choose a decoder with a higher rating, or change the motor")
            },
        );
    } else if scaled > rating {
        found.add_as(Severity::Rework, format!("the motor can draw {scaled}; the decoder stands {rating} for ever"), |finding| {
            finding
                .at(Path::new("survey.stall-current"))
                .at(Path::new("plan.decoder"))
                .because(format!("{stall} measured at {measured_at} is {scaled} at the track's {at_track}"))
                .because(format!("its peak rating of {peak} covers a moment only"))
                .remedy("choose a decoder with a higher rating, or make sure that nothing can hold the wheels")
        });
    }
}

fn scale(at_track: Voltage, measured_at: Voltage) -> f64 {
    if measured_at.as_volts() > 0.0 { at_track.as_volts() / measured_at.as_volts() } else { 1.0 }
}
