//! An empty socket that nobody metered.

use datasheets::{PinSignal, SocketSheet};
use finding::{Path, Severity};
use quantities::MeterReading;

use crate::answers::{Answers, Connection};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "socket-not-metered",
    stage: Stage::Survey,
    severity: Severity::Open,
    rows: &[5, 6, 7],
    checks: "Whether the empty socket was metered pin by pin against its standard before a decoder goes in.",
    matters: "The blanking plug hides wiring faults, harness colours lie, plugs go in turned or shifted; the new decoder pays for it.",
    example: "21 pins: motor between 18 and 19 reads 12 to 50 ohm, pickups at 21 and 22 read 0 ohm to the wheels, no other two pins below 10 ohm.",
    cure: "Blanking plug out, meter the pins by the list of the finding, then note `socket-metered = true`.",
    source: "practice rows 5 to 7: motor 12 to 50 ohm, any other two pins below 10 ohm are suspect; pins by the socket's sheet",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(survey), Some(socket)) = (&job.order.survey, job.socket()) else { return };
    let will_be_used = answers.connection.as_ref().is_some_and(Connection::is_plugged);
    if !will_be_used || survey.socket_metered == Some(true) {
        return;
    }
    found.add(format!("nobody has metered the empty {} socket", socket.part.name), |finding| {
        let finding = expectations(socket, survey.motor_resistance).into_iter().fold(
            finding.at(Path::new("survey.socket-metered")).at(Path::new("survey.socket")),
            |finding, expected| finding.because(expected),
        );
        finding.remedy(
            "blanking plug and decoder out; meter these pins; where all agree, note `socket-metered = true`",
        )
    });
}

/// What the meter must show at the pins that hurt most.
fn expectations(socket: &SocketSheet, motor: Option<MeterReading>) -> Vec<String> {
    let pin = |signal: PinSignal| socket.pin(signal).map(|pin| pin.number.get());
    let mut expected = Vec::new();
    if let (Some(plus), Some(minus)) = (pin(PinSignal::MotorPlus), pin(PinSignal::MotorMinus)) {
        let reading =
            motor.map_or_else(|| "12 to 50 ohm".to_owned(), |reading| format!("the motor's {reading}"));
        expected.push(format!("pins {plus} and {minus}: {reading}"));
    }
    if let (Some(right), Some(left)) = (pin(PinSignal::PickupRight), pin(PinSignal::PickupLeft)) {
        expected.push(format!("pin {right} to the right wheels and pin {left} to the left ones: 0 ohm"));
    }
    if let Some(index) = pin(PinSignal::Index) {
        expected.push(format!("pin {index} is closed: the plug goes in one way round only"));
    }
    expected.push("any other two pins: above 10 ohm".to_owned());
    expected
}
