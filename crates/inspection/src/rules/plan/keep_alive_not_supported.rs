//! A keep-alive at a decoder that has no place for one.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "keep-alive-not-supported",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "A keep-alive may be planned only where the decoder's sheet says that one can be joined.",
    matters: "Without its connection a capacitor hangs where it keeps nothing alive, or hides the acknowledgement.",
    example: "`keep-alive = true` on the decoder's sheet: plus and minus are brought out for it.",
    cure: "A decoder that takes one, or better pickups.",
    source: "acoustics and electrics digest, section 6.3; common practice",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let (Some(decoder), Some(keep_alive)) = (job.decoder(), job.keep_alive()) else { return };
    let at = Path::new("plan.keep-alive");
    let name = &keep_alive.part.name;
    match decoder.decoder.keep_alive {
        Some(true) => {}
        Some(false) => found.add(format!("the decoder has no place for the keep-alive {name}"), |finding| {
            finding
                .at(at)
                .at(Path::new("plan.decoder"))
                .because("its sheet says that none can be joined")
                .remedy("choose a decoder that takes one, or leave it out and mend the pickups")
        }),
        None => found.add_as(
            Severity::Open,
            format!("nobody knows whether the decoder takes the keep-alive {name}"),
            |finding| {
                finding
                    .at(at)
                    .at(Path::new("plan.decoder"))
                    .because("the decoder's sheet does not tell")
                    .remedy("look for plus and minus behind the rectifier in its instructions, and put `keep-alive` into its sheet")
            },
        ),
    }
}
