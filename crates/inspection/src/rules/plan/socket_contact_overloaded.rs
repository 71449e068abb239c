//! More current through one contact than the socket's standard allows.

use datasheets::PinSignal;
use finding::{Path, Severity};

use crate::answers::{Answers, Connection};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "socket-contact-overloaded",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "What the running model draws must not exceed what the socket's pickup contacts carry for ever.",
    matters: "An overloaded contact warms, its spring goes soft, and one day the model stutters for no visible reason.",
    example: "NEM 651 carries 0.5 A: 0.45 A of motor and 0.18 A of sound are too much for it.",
    cure: "Solder the pickups past the socket, or choose a decoder with another plug.",
    source: "contact currents of NEM 651, 652, 658, 660 and 662 by their sheets (dcc digest section 8); doubled contacts by NEM 662",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(socket), Some(budget)) = (job.socket(), &answers.budget) else { return };
    if !answers.connection.as_ref().is_some_and(Connection::is_plugged) {
        return;
    }
    let (Some(contact), Some(running)) = (socket.socket.contact_current, budget.running()) else { return };
    let n_contacts = [PinSignal::PickupRight, PinSignal::PickupLeft]
        .map(|pickup| socket.socket.pin.iter().filter(|pin| pin.signal == pickup).fold(0.0, |n, _| n + 1.0))
        .into_iter()
        .fold(f64::INFINITY, f64::min);
    let carries = contact * n_contacts;
    if running > carries {
        found.add(
            format!("the running model draws {running}; the socket's pickup contacts carry {carries}"),
            |finding| {
                finding
                    .at(Path::new("survey.socket"))
                    .at(Path::new("survey.running-current"))
                    .because(format!(
                        "one contact of {} carries {contact} for ever, each rail has {n_contacts}",
                        socket.part.name
                    ))
                    .because(format!(
                        "lamps take {}, the amplifier at full output {}, the motor the rest",
                        budget.lamps, budget.amplifier
                    ))
                    .remedy("solder both pickups past the socket, or spare current")
            },
        );
    }
}
