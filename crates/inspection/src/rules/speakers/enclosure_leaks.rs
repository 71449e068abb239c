//! A box with a hole in it.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "enclosure-leaks",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[24],
    checks: "An opening of the box must be so narrow that friction chokes it; one of a millimetre is not.",
    matters: "The air in the hole swings against the air in the box: below that resonance the bass is gone, at the seam it hisses.",
    example: "1 mm through a 1.5 mm wall into 10 cm³: tuned to 325 Hz, ruined. 0.5 mm: choked, harmless.",
    cure: "Seal wire exit, screw holes and lid; glue off the cone.",
    source: "acoustics and electrics digest, section 2.7 (Helmholtz resonance, laminar flow); practice row 24",
    check,
};

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for back in &answers.backs {
        let (Some(leak), Some(volume), Some(enclosure)) = (back.leak, back.volume, &back.enclosure) else {
            continue;
        };
        if leak.is_choked {
            continue;
        }
        found.add(format!("the box of speaker {} has an open hole of {}", back.name, leak.diameter), |finding| {
            finding
                .at(back.path.join("enclosure"))
                .because(format!("it tunes {volume} to {}; below that the box no longer holds the air", leak.resonance))
                .remedy(format!("seal the wire exit and screw holes of {enclosure}, then put a sheet without `leak` in its place"))
        });
    }
}
