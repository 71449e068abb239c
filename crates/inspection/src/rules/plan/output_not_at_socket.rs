//! A lamp whose output does not come through the socket as the decoder gives it.

use datasheets::{OutputKind, PinSignal};
use finding::{Path, Severity};

use crate::answers::{Answers, Connection};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "output-not-at-socket",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[59],
    checks: "The socket must have a pin for each output that lamps hang on, and pin and decoder must agree whether it is amplified.",
    matters: "Without a pin the lamp stays dark; an amplified output on a board that expects a logic signal, or the reverse, is on always or never.",
    example: "NEM 652 ends at AUX1: a lamp on AUX2 needs a wire of its own. AUX3 is amplified in one edition of the 21-pin socket, logic in another.",
    cure: "Another output, or a wire from the decoder past the socket.",
    source: "NEM 651, 652, 658, 660 and 662 by their sheets; practice section 2.7: editions contradict each other",
    check,
};

/// The pin that an output of the standard's matrix comes out at (S-9.2.2 numbers its outputs from front light to AUX).
fn signal(output_number: u16) -> Option<PinSignal> {
    Some(match output_number {
        1 => PinSignal::FrontLight,
        2 => PinSignal::RearLight,
        3 => PinSignal::Aux1,
        4 => PinSignal::Aux2,
        5 => PinSignal::Aux3,
        6 => PinSignal::Aux4,
        7 => PinSignal::Aux5,
        8 => PinSignal::Aux6,
        9 => PinSignal::Aux7,
        _ => return None,
    })
}

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(decoder), Some(socket)) = (job.decoder(), job.socket()) else { return };
    if !answers.connection.as_ref().is_some_and(Connection::is_plugged) {
        return;
    }
    for (path, lamp) in job.lamps() {
        let Some(output) = decoder.output.iter().find(|output| output.name == lamp.output) else { continue };
        if output.kind == OutputKind::Internal {
            continue;
        }
        let (name, place) = (&lamp.name, path.join("output"));
        let pin = signal(output.number.get()).and_then(|signal| socket.pin(signal));
        match pin {
            None => found.add_as(
                Severity::Note,
                format!("output {} of lamp {name} has no pin in the {} socket", output.name, socket.part.name),
                |finding| {
                    finding
                        .at(place)
                        .at(Path::new("survey.socket"))
                        .because("what has no pin needs a wire from the decoder past the socket")
                        .remedy("use an output that the socket has, or solder that wire and note it in the plan")
                },
            ),
            Some(pin) if pin.logic == Some(true) && output.kind == OutputKind::Amplified => found.add(
                format!("output {} is amplified, but pin {} of the socket is a logic signal", output.name, pin.number.get()),
                |finding| {
                    finding
                        .at(place)
                        .at(Path::new("survey.socket"))
                        .because(format!("the board behind a {} socket expects 0.5 mA and switches lamp {name} itself", socket.part.name))
                        .because("editions of the standard differ; an amplified output switches to minus and never gives the 2.4 V")
                        .remedy("use a light output, AUX1 or AUX2, or set the decoder's output to logic level where it can be")
                },
            ),
            Some(_) => {}
        }
    }
}
