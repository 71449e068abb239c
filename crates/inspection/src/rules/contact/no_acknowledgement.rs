//! A decoder that does not acknowledge, and what fits the other facts.

use finding::{Finding, Path, Severity};
use quantities::{Current, MeterReading};
use workorder::Contact;

use datasheets::StandardReading;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "no-acknowledgement",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[36, 37, 38],
    checks: "The decoder must acknowledge on the programming track. Where it does not, the other facts are gone through for what fits: idle current, motor, keep-alive, lock.",
    matters: "Without an acknowledgement nothing can be read, and nothing that is written can be trusted.",
    example: "No acknowledgement, idle current 45 mA, motor reads OL: the motor lead is open, so the decoder has no load for its 60 mA pulse.",
    cure: "First a unit known to be good on the same track, then idle current, then motor ohms with the decoder out.",
    source: "S-9.2.3 section D: at least 60 mA for 6 ms; practice rows 36 to 38 and section 2.6",
    check,
};

/// The load of an acknowledgement (S-9.2.3 section D).
const PULSE_AMPERES: f64 = 0.06;
/// A decoder at rest draws no more (S-9.2.3 section E).
const SWAMPED_ABOVE_AMPERES: f64 = 0.1;
/// Less is no current (from memory: a bench meter's last digit).
const NONE_BELOW_AMPERES: f64 = 0.001;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(contact) = &job.order.contact else { return };
    let at = Path::new("contact.acknowledged");
    match contact.acknowledged {
        Some(true) => {}
        // Readings are acknowledgements in themselves.
        None if !contact.cv.0.is_empty() => {}
        None => found.add_as(Severity::Open, "nobody has noted whether the decoder acknowledges", |finding| {
            finding
                .at(at)
                .because("without an acknowledgement nothing can be read and no write can be trusted")
                .remedy("read CV8 on the programming track, twice, and note `acknowledged = true` or `false`")
        }),
        Some(false) => found.add("the decoder does not acknowledge", |finding| {
            let finding = finding.at(at).because("an acknowledgement is 60 mA more for 6 ms, made with the motor as the load");
            let finding = told_by_current(finding, contact.idle_current);
            let finding = told_by_motor(job, finding);
            let finding = told_by_plan(job, finding);
            told_by_readings(finding, contact).remedy(
                "put a unit that is known to be good on the same track; if that answers, read the idle current, then decoder out and \
                 measure the motor at the decoder's end of its leads: 12 to 50 ohm",
            )
        }),
    }
}

fn told_by_current(finding: Finding, idle: Option<Current>) -> Finding {
    let Some(idle) = idle else { return finding };
    let finding = finding.at(Path::new("contact.idle-current"));
    if idle.as_amperes() < NONE_BELOW_AMPERES {
        finding.because("no current flows: wheels, pickups, or a track output that is not wired")
    } else if idle.as_amperes() > SWAMPED_ABOVE_AMPERES {
        finding.because(format!("with {idle} flowing already, the pulse is easily missed"))
    } else {
        finding.because(format!("{idle} flow at rest, so the rails do reach the decoder"))
    }
}

fn told_by_motor(job: &Job<'_>, finding: Finding) -> Finding {
    let Some(survey) = &job.order.survey else { return finding };
    let at = Path::new("survey.motor-resistance");
    match survey.motor_resistance {
        Some(reading) if is_too_little_load(job, reading) => finding.at(at).because(format!(
            "the motor reads {reading}: at {} it draws less than the pulse needs, so a motor lead or brush is open",
            job.track_voltage()
        )),
        Some(reading) => finding.at(at).because(format!("the motor reads {reading}, which is load enough if its leads still reach the decoder")),
        None if survey.stall_current.is_some() => {
            finding.because("nobody has measured the motor's resistance, so an open motor lead is not ruled out")
        }
        None => finding.because("no motor is noted: a vehicle without one needs a lamp or a resistor on an output as the load"),
    }
}

/// Whether even the least resistance that a reading allows draws less than the pulse (Ohm's law).
fn is_too_little_load(job: &Job<'_>, reading: MeterReading) -> bool {
    let greatest_for_a_pulse = job.track_voltage().as_volts() / PULSE_AMPERES;
    reading.least().is_none_or(|least| least.as_ohms() > greatest_for_a_pulse)
}

fn told_by_plan(job: &Job<'_>, finding: Finding) -> Finding {
    let has_keep_alive = job.order.plan.as_ref().is_some_and(|plan| plan.keep_alive.is_some());
    let finding = if has_keep_alive {
        finding
            .at(Path::new("plan.keep-alive"))
            .because("a keep-alive that charges hides the pulse: wait until it is full or switch it off")
    } else {
        finding
    };
    let is_lock_silent = job
        .decoder()
        .is_some_and(|sheet| sheet.decoder.lock && sheet.decoder.reading == StandardReading::Rcn);
    if is_lock_silent {
        finding.because("by RCN-225 a locked decoder does not answer to reading either: try writing CV15 = 255, which opens every lock")
    } else {
        finding
    }
}

fn told_by_readings(finding: Finding, contact: &Contact) -> Finding {
    if contact.cv.0.is_empty() {
        return finding;
    }
    finding
        .at(Path::new("contact.cv"))
        .because("the values noted all the same are what the programmer shows for an error")
}
