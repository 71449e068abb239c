//! A speaker without a box.

use finding::Severity;
use workorder::Facing;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-without-enclosure",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[23],
    checks: "Each speaker should sit in a box, or use the shell as one on purpose (cone inside, `faces = \"in\"`).",
    matters: "The wave from the rear comes round and cancels the front: tinny, most of all in a horn's low notes.",
    example: "A bare 20 mm speaker 6 mm deep: the rear wave's detour is 26 mm, the loss at 500 Hz 12.5 dB.",
    cure: "A closed box, printed or cut from tube; or the shell sealed all round as one.",
    source: "acoustics and electrics digest, section 2.11; practice row 23",
    check,
};

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for back in answers.backs.iter().filter(|back| back.enclosure.is_none()) {
        let name = &back.name;
        let loss = back.loss_without_box.map_or_else(
            || "the rear wave comes round and cancels the front".to_owned(),
            |loss| format!("the rear wave comes round: {loss} at 500 Hz against its front alone"),
        );
        if back.faces == Facing::In {
            found.add_as(
                Severity::Note,
                format!("speaker {name} plays into the shell, which must serve as its box"),
                |finding| {
                    finding.at(back.path.clone()).because(loss).remedy(
                        "seal the shell all round or leave one opening on purpose; listen with the shell on",
                    )
                },
            );
        } else {
            found.add(format!("speaker {name} has no box"), |finding| {
                finding
                    .at(back.path.clone())
                    .because(loss)
                    .remedy("give it a closed box (`enclosure = \"…\"`); cover its rear with a finger: louder means that it needs one")
            });
        }
    }
}
