//! A key that the standard's matrix does not join with the wished output.

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::gaps;
use crate::rules::{listed, one_of};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "key-out-of-reach",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "By the standard's matrix each key reaches eight outputs only; the wished key must reach the output that does the deed.",
    matters: "CV33 to CV46 have no bit for it: the wish cannot be written, whatever is tried.",
    example: "F12 reaches outputs 7 to 14; AUX1 is output 3, which F0 to F3 reach.",
    cure: "One of the keys that reach it, or another output for the lamp.",
    source: "S-9.2.2 Table 2; RCN-225 CV33 to CV46",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::OutOfReach { wish, key, deed, output, reaching } = gap else { continue };
        let number = *output;
        let name = job
            .decoder()
            .and_then(|sheet| sheet.output(number))
            .map_or_else(|| number.to_string(), |output| format!("{number} ({})", output.name));
        let free: Vec<_> = reaching
            .iter()
            .filter(|key| !job.order.keys.0.iter().any(|(used, _)| used == *key))
            .copied()
            .collect();
        found.add(format!("{key} cannot reach output {name}, which does \"{deed}\""), |finding| {
            let finding = finding
                .at(wish.clone())
                .at(Path::new("plan.decoder"))
                .because(format!("{} reach it", listed(reaching)));
            finding.remedy(if free.is_empty() {
                "change places with one of these keys, or put the lamp on another output".to_owned()
            } else {
                format!("use {}, or put it on another output", one_of(&free))
            })
        });
    }
}
