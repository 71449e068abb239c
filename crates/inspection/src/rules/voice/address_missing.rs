//! A decoder without a wished address.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "address-missing",
    stage: Stage::VoiceAndManners,
    severity: Severity::Open,
    rows: &[],
    checks: "An order that plans a decoder must say which address it shall answer to.",
    matters: "Left as delivered it answers to 3, as every new decoder does: two such models on one layout move together.",
    example: "Road number 4031: long address 4031. Owners whose system knows two digits only: short address 31.",
    cure: "Ask which addresses the owner's system takes, then write number and form.",
    source: "S-9.2.2 CV1 (3 on delivery); practice stages 1 and 13",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    if job.decoder().is_none() || job.order.address.is_some() {
        return;
    }
    found.add("nobody has said which address it shall answer to", |finding| {
        finding
            .at(Path::new("address"))
            .because("left as delivered it answers to 3, together with every other new decoder")
            .remedy("ask which addresses the owner's system takes (some know 1 to 10 or two digits only), then write `[address]` with `form` and `number`")
    });
}
