//! A planned lamp that no key switches.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::is_on_a_key;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamp-without-key",
    stage: Stage::VoiceAndManners,
    severity: Severity::Open,
    rows: &[],
    checks: "What each planned lamp is for must be on a key.",
    matters: "The lamp is soldered in and stays dark, or hangs on whatever key its output has on delivery.",
    example: "A lamp with `does = \"cab lamp\"` on AUX2, and no key with \"cab lamp\".",
    cure: "A key that reaches its output.",
    source: "practice stage 16; S-9.2.2 Table 2 (keys on delivery)",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    if job.decoder().is_none() {
        return;
    }
    for (path, lamp) in job.lamps().filter(|(_, lamp)| !is_on_a_key(job, lamp.does)) {
        found.add(format!("no key is chosen for the lamp {}", lamp.name), |finding| {
            finding
                .at(path.join("does"))
                .because(format!(
                    "no key has \"{}\"; output {} stays on the key it has on delivery, if any",
                    lamp.does, lamp.output
                ))
                .remedy(format!(
                    "ask which key shall switch it, and write that key with \"{}\" into `[keys]`",
                    lamp.does
                ))
        });
    }
}
