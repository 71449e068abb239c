//! A motor that does not read like one.

use finding::{Path, Severity};
use quantities::{MeterReading, Resistance};
use workorder::{Scale, Survey};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::survey::{has_motor, is_above, is_below};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "motor-open-or-shorted",
    stage: Stage::Survey,
    severity: Severity::Stop,
    rows: &[36],
    checks: "The meter across the motor, decoder out, must show a winding: neither a break nor a short, and about what the stall current says.",
    matters: "Without a motor there is no load for the acknowledgement pulse and nothing moves; a shorted one kills the output transistors.",
    example: "24 ohm: sound for HO. OL: a brush or a lead is open, no acknowledgement can come. 0.6 ohm: a short, do not power.",
    cure: "Turn the shaft and take the lowest steady reading; clean commutator and brushes, mend the lead, replace a shorted armature.",
    source: "practice rows 5 and 36: 12 to 50 ohm across the motor; limits for open and shorted, and the wider window of the large scales, from memory",
    check,
};

/// Above this the motor is open: no armature of a model has as much.
const OPEN_OHMS: f64 = 1e3;

/// What a motor reads, and below what it counts as a short.
struct Window {
    short_ohms: f64,
    least_ohms: f64,
    most_ohms: f64,
}

/// Practice tells 12 to 50 ohm and has HO in mind; the motors of the large scales draw several amperes.
fn window(scale: Scale) -> Window {
    match scale {
        Scale::Z | Scale::N | Scale::TT | Scale::H0 | Scale::HO | Scale::S => {
            Window { short_ohms: 2.0, least_ohms: 12.0, most_ohms: 50.0 }
        }
        Scale::O | Scale::Zero | Scale::One | Scale::Two => {
            Window { short_ohms: 1.0, least_ohms: 3.0, most_ohms: 50.0 }
        }
    }
}

/// The stall current and the reading may differ by this factor before they are told to disagree: a brush moves the
/// reading by as much from one segment to the next (own estimate).
const AGREEMENT: f64 = 2.0;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(survey) = &job.order.survey else { return };
    let Some(reading) = survey.motor_resistance else {
        if has_motor(survey) {
            found.add_as(Severity::Open, "nobody has measured across the motor", |finding| {
                finding
                    .at(Path::new("survey.motor-resistance"))
                    .because("an open motor gives no acknowledgement, a shorted one destroys the decoder")
                    .remedy("decoder out; meter across both brushes; turn the shaft and note the lowest steady reading")
            });
        }
        return;
    };
    let window = window(job.order.order.scale);
    let by_stall = by_stall(survey);
    if is_above(reading, OPEN_OHMS) {
        found.add_as(Severity::Rework, format!("the motor is open: the meter shows {reading}"), |finding| {
            finding
                .at(Path::new("survey.motor-resistance"))
                .because(
                    "above 1 kohm hardly any current flows; the decoder cannot acknowledge and the model cannot move",
                )
                .remedy(
                    "look for a lifted brush, a broken lead or choke; measure again with the shaft turned",
                )
        });
    } else if is_below(reading, window.short_ohms) && !by_stall.is_some_and(|stall| agrees(reading, stall)) {
        found.add(format!("the motor is shorted: the meter shows {reading}"), |finding| {
            finding
                .at(Path::new("survey.motor-resistance"))
                .because(format!(
                    "a motor of scale {} reads {} to {} ohm; this would draw {} at {}",
                    job.order.order.scale,
                    window.least_ohms,
                    window.most_ohms,
                    reading.greatest().map_or_else(String::new, |ohms| (job.track_voltage() / ohms).to_string()),
                    job.track_voltage()
                ))
                .remedy("zero the meter's leads and measure again; if it stays, change the motor or clear the short before any decoder goes in")
        });
    } else if let Some(stall) = by_stall {
        if !agrees(reading, stall) {
            disagreement(reading, stall, survey, found);
        }
    } else if is_below(reading, window.least_ohms) || is_above(reading, window.most_ohms) {
        found.add_as(Severity::Note, format!("{reading} across the motor is out of the usual"), |finding| {
            finding
                .at(Path::new("survey.motor-resistance"))
                .because(format!(
                    "usual are {} to {} ohm in scale {}, and no stall current was measured to compare with",
                    window.least_ohms, window.most_ohms, job.order.order.scale
                ))
                .remedy("turn the shaft for the lowest steady reading, and measure the stall current")
        });
    }
}

/// What the held motor's voltage and current say of its resistance.
fn by_stall(survey: &Survey) -> Option<Resistance> {
    let current = survey.stall_current.filter(|current| current.as_amperes() > 0.0)?;
    Some(survey.stall_voltage? / current)
}

fn agrees(reading: MeterReading, stall: Resistance) -> bool {
    !is_above(reading, stall.as_ohms() * AGREEMENT) && !is_below(reading, stall.as_ohms() / AGREEMENT)
}

fn disagreement(reading: MeterReading, stall: Resistance, survey: &Survey, found: &mut Found<'_>) {
    found.add_as(
        Severity::Note,
        format!("the meter shows {reading} across the motor, its stall current says {stall}"),
        |finding| {
            let measured = survey.stall_current.zip(survey.stall_voltage);
            finding
                .at(Path::new("survey.motor-resistance"))
                .at(Path::new("survey.stall-current"))
                .because(measured.map_or_else(String::new, |(current, voltage)| {
                    format!("{voltage} at {current} is {stall}; the two should agree within a factor of 2")
                }))
                .remedy("measure both again: shaft turned for the lowest steady reading, wheels held fast for less than two seconds")
        },
    );
}
