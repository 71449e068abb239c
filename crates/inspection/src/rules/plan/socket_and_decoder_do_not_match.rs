//! A decoder that does not go into the socket.

use datasheets::DecoderSheet;
use finding::{Path, Severity};

use crate::answers::{Answers, Connection};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "socket-and-decoder-do-not-match",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "One of the decoder's plugs must go into the socket found, or its free leads must suit a model without one; sound needs speaker pins or two wires.",
    matters: "A plug that does not belong is forced, turned or shifted, or the decoder comes back unopened.",
    example: "A 21-pin decoder for an eight-pin socket does not go in; a PluX16 plug goes into a PluX22 socket.",
    cure: "Another decoder, an adapter board, or free leads soldered in place of the socket.",
    source: "NEM 651, 652, 654, 658, 660, 662 by their sheets; smaller plugs in larger sockets: NEM 658 section 2.1",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(survey), Some(decoder)) = (&job.order.survey, job.decoder()) else { return };
    let at = Path::new("plan.decoder");
    let Some(socket_name) = &survey.socket else {
        found.add_as(Severity::Open, "nobody has noted which socket the model has", |finding| {
            finding
                .at(Path::new("survey.socket"))
                .because(format!("the decoder comes with {}", plugs(decoder)))
                .remedy("count the pins and compare with the socket sheets; write `socket = \"none\"` where wires must be soldered")
        });
        return;
    };
    match &answers.connection {
        Some(Connection::None) if socket_name.as_str() == "none" => {
            found.add("the model has no socket and the decoder has no free leads", |finding| {
                finding
                    .at(at)
                    .at(Path::new("survey.socket"))
                    .because(format!("the decoder comes with {}", plugs(decoder)))
                    .remedy("choose a decoder with free leads, or fit a socket board first")
            });
        }
        Some(Connection::None) => {
            found.add(format!("the decoder does not go into the {socket_name} socket"), |finding| {
                finding
                    .at(at)
                    .at(Path::new("survey.socket"))
                    .because(format!("the decoder comes with {}", plugs(decoder)))
                    .remedy("choose a decoder with that plug, or an adapter board that leaves room for it")
            });
        }
        Some(Connection::SolderedPastSocket) => {
            found.add_as(
                Severity::Note,
                format!("the {socket_name} socket stays empty: the decoder must be soldered"),
                |finding| {
                    finding
                        .at(at)
                        .at(Path::new("survey.socket"))
                        .because(format!("the decoder comes with {}", plugs(decoder)))
                        .remedy("take the blanking plug out and solder the free leads by their colours, or choose a decoder with that plug")
                },
            );
        }
        Some(Connection::PlugsIn { .. }) => speaker_pins(job, found),
        Some(Connection::Soldered) | None => {}
    }
}

/// Sound through a socket that has no pins for it.
fn speaker_pins(job: &Job<'_>, found: &mut Found<'_>) {
    let (Some(socket), Some(decoder)) = (job.socket(), job.decoder()) else { return };
    let has_sound = decoder.amplifier.is_some() && job.order.planned_speakers().next().is_some();
    if has_sound && !socket.has_speaker_pins() {
        found.add_as(
            Severity::Note,
            format!("the {} socket has no speaker pins", socket.part.name),
            |finding| {
                finding
                    .at(Path::new("survey.socket"))
                    .because("the speaker hangs on two wires of the decoder's own, past the socket")
                    .remedy("lead both wires insulated to the speaker or its pads; neither may touch any other pin")
            },
        );
    }
}

fn plugs(decoder: &DecoderSheet) -> String {
    let plugs: Vec<String> =
        decoder
            .decoder
            .sockets
            .iter()
            .map(|socket| {
                if socket.as_str() == "wires" { "free leads".to_owned() } else { format!("a {socket} plug") }
            })
            .collect();
    if plugs.is_empty() { "no plug that its sheet tells".to_owned() } else { plugs.join(" or ") }
}
