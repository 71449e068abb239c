//! The same deed on two keys.

use datasheets::{Deed, Key, KeyMapMethod};
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{decoder_name, key_path};
use crate::rules::{listed, one_of};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "deed-on-two-keys",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "A deed should be on one key. Where the decoder has one CV a deed, it can be on one only.",
    matters: "With two keys for one lamp, one of them is found left on. With one CV a deed, only the last key is written.",
    example: "F2 and F9 both blow the horn: a note. On a decoder with one CV a deed: F9 only.",
    cure: "Keep one of them.",
    source: "S-9.2.2 Table 2: outputs are switched by any of their keys; the decoder's sheet; common practice",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let is_deed_table = job.decoder().is_some_and(|sheet| sheet.key_map.method == KeyMapMethod::DeedTable);
    for deed in Deed::ALL {
        let keys: Vec<Key> = job
            .order
            .keys
            .0
            .iter()
            .filter(|(_, deeds)| deeds.0.contains(deed))
            .map(|(key, _)| *key)
            .collect();
        let [others @ .., last] = keys.as_slice() else { continue };
        if others.is_empty() {
            continue;
        }
        let severity = if is_deed_table { Severity::Rework } else { Severity::Note };
        found.add_as(severity, format!("\"{deed}\" is on {}", listed(&keys)), |finding| {
            let finding =
                others.iter().fold(finding.at(key_path(*last)), |finding, key| finding.at(key_path(*key)));
            let finding = if is_deed_table {
                finding.because(format!(
                    "{} has one CV for each deed: only {last} is written",
                    decoder_name(job)
                ))
            } else {
                finding
                    .because("it is on as long as either of them is; one left on by mistake is hard to find")
            };
            finding.remedy(format!("keep one of them: {}", one_of(&keys)))
        });
    }
}
