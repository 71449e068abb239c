//! A key that no consist address carries.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::train::own;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "key-beyond-consist-mask",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[],
    checks: "Keys that a unit shall answer to in its train must be ones that CV21 and CV22 can carry: F0 to F12, by RCN-225 F28.",
    matters: "The horn on F14 sounds at the unit's own address and is dead at the consist address, with no bit to mend it.",
    example: "F14 = \"horn\" in the lead unit: CV22 has no bit for F14 by S-9.2.2; by RCN-225 bit 6 stands for F13 to F20 together.",
    cure: "Keys up to F12 for whatever the train needs.",
    source: "S-9.2.2 CV22 (F0, F9 to F12); RCN-225 CV22 bits 6 and 7",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(own) = own(job, answers).filter(|_| job.decoder().is_some()) else { return };
    for key in &own.keys.beyond {
        found.add(format!("no bit of CV21 and CV22 carries {key} to the consist address"), |finding| {
            finding
                .at(Path::new(format!("keys.{key}")))
                .because("by S-9.2.2 they carry F0 to F12; by RCN-225 F13 to F20 and F21 to F28 too, each eight together")
                .remedy("put it on a key up to F12, or drive this unit's functions by its own address")
        });
    }
}
