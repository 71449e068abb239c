//! A decoder about to be written of which nothing has been read.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "stored-copy-missing",
    stage: Stage::FirstContact,
    severity: Severity::Open,
    rows: &[46, 48],
    checks: "Once a decoder acknowledges, what it holds must be read before anything is written or reset.",
    matters: "A reset loses what the factory fitted beyond the defaults; and a CV whose bits mean separate things can only be changed in one of them when the others are known.",
    example: "CV29 shall get its long-address bit. Unread, the write would also decide about direction, DC and speed steps.",
    cure: "Read every CV that will be written, and all others where there is time, before the first write and before any reset.",
    source: "practice rows 46 and 48; S-9.2.2: bit-coded CVs",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(contact) = &job.order.contact else { return };
    let Some(settlement) = &answers.settlement else { return };
    if contact.acknowledged != Some(true) || !contact.cv.0.is_empty() || settlement.targets.is_empty() {
        return;
    }
    let n_targets = settlement.targets.len();
    let n_merged = settlement.targets.iter().filter(|target| target.mask != u8::MAX).count();
    found.add("the decoder answers, and nothing has been read from it yet", |finding| {
        finding
            .at(Path::new("contact.acknowledged"))
            .because(format!(
                "the programming list wants {n_targets} CVs, {n_merged} of them only in some of their bits"
            ))
            .remedy("read and store what it holds before the first write and before any reset")
    });
}
