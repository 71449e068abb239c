//! A circuit of the DC days that would hang on the decoder.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "old-lighting-board",
    stage: Stage::Survey,
    severity: Severity::Rework,
    rows: &[10],
    checks: "Whether a board for constant lighting, or another circuit of the DC days, is still in.",
    matters: "Behind a decoder output such a board can draw many times what the output stands; one drew over 600 mA.",
    example: "A lamp output that stands 100 mA, an old board that takes 600 mA: the output is gone with smoke.",
    cure: "Take the board out and give each lamp its own resistor, or measure the whole lamp circuit first.",
    source: "practice row 10: one board drew over 600 mA; outputs commonly stand 100 mA (from memory)",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(survey) = &job.order.survey else { return };
    let at = Path::new("survey.old-lighting-board");
    let is_hard_wired = survey.socket.as_ref().is_some_and(|socket| socket.as_str() == "none");
    match survey.old_lighting_board {
        Some(true) => found.add("a lighting board of the DC days is still in", |finding| {
            finding
                .at(at)
                .because("such boards draw up to 600 mA; a decoder output commonly stands 100 mA")
                .remedy("take it out and feed each lamp through its own resistor; then write `old-lighting-board = false`")
        }),
        None if is_hard_wired && !survey.lamp.is_empty() => {
            found.add_as(
                Severity::Open,
                "nobody has looked for a lighting board of the DC days",
                |finding| {
                    finding
                        .at(at)
                        .because("the model has lamps and no socket, so it was built for DC")
                        .remedy("follow the lamp wires: note `old-lighting-board = true` if they come from a board with diodes or transistors, else `false`")
                },
            );
        }
        Some(false) | None => {}
    }
}
