//! Readings that are an error shown as a value.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{ERROR_AS_VALUE, is_255_everywhere, path};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "readings-all-255",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[40],
    checks: "Readings must not all be 255, and CV8 must not be: no maker has that number.",
    matters: "Many programmers show an error as 255. Who takes it for a value stores nonsense as the decoder's copy and writes it back later.",
    example: "CV1, CV7, CV8 and CV29 all read 255: nothing was read. CV8 alone reads 255: a reset has not finished.",
    cure: "One decoder on the track, read CV8 and CV7 twice; go on when both repeat.",
    source: "practice row 40; S-9.2.3 section E: CV8 reads 255 until a reset has finished",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(contact) = &job.order.contact else { return };
    if is_255_everywhere(contact) {
        found.add(format!("all {} readings are 255: nothing was read", contact.cv.0.len()), |finding| {
            finding
                .at(Path::new("contact.cv"))
                .because("255 everywhere is an error shown as a value, or two decoders that answer together")
                .remedy("take every other vehicle off the track, clean the wheels, read CV8 and CV7 twice; strike out these readings")
        });
    } else if contact.cv(8) == Some(ERROR_AS_VALUE) {
        found.add("CV8 reads 255, which is no maker's number", |finding| {
            finding
                .at(path(8))
                .because("CV8 reads 255 as long as a reset has not finished")
                .remedy("switch the track off and on again, wait until a keep-alive is empty in between, and read CV8 twice")
        });
    }
}
