//! A box with too little air.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "enclosure-too-small",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[25],
    checks: "A box must hold at least 0.5 cm³ of air for a speaker of 8 × 12 mm, 1 cm³ for one of 13 × 18 mm, and so on by its area.",
    matters: "Little air is a stiff spring: the resonance climbs into the horn's notes and honks.",
    example: "A 13 × 18 mm part in 0.6 cm³ honks; in 1.6 cm³ it does not.",
    cure: "A deeper box, or the smaller speaker that suits the room.",
    source: "practice row 25; between and beyond its two sizes by area: own rule",
    check,
};

/// A box that reaches the figure but for rounding is large enough.
const ROUNDING: f64 = 1e-9;

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for back in &answers.backs {
        let (Some(volume), Some(least), Some(enclosure)) = (back.volume, back.least_volume, &back.enclosure)
        else {
            continue;
        };
        if volume.as_cubic_metres() >= least.as_cubic_metres() * (1.0 - ROUNDING) {
            continue;
        }
        found.add(
            format!("the box of speaker {} holds {volume} of air; {least} are needed", back.name),
            |finding| {
                finding
                    .at(back.path.join("enclosure"))
                    .because(
                        "0.5 cm³ for 8 × 12 mm and 1 cm³ for 13 × 18 mm are the least that practice gives",
                    )
                    .remedy(format!("take a deeper box than {enclosure}, or a smaller speaker"))
            },
        );
    }
}
