//! A key that does one thing in one unit and another in the next.

use datasheets::Deed;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::train::{others, own};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "key-means-two-things",
    stage: Stage::Train,
    severity: Severity::Note,
    rows: &[],
    checks: "A key that several units answer to at the consist address should do the same in all of them.",
    matters: "Who rings the bell switches the coach lamps of the other car.",
    example: "F1 is the bell in the front car and the coach lamps in the rear car.",
    cure: "One key list for the train, or clear the key's bit in one of them.",
    source: "S-9.2.2 CV21, CV22: function packets go to the consist address once for all; common practice",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(own), Some(place)) = (own(job, answers), &job.train) else { return };
    for (key, deeds) in job.order.keys.0.iter().filter(|(key, _)| own.keys.wanted.contains(key)) {
        for other in others(job, answers).filter(|other| other.keys.wanted.contains(key)) {
            let order = place.orders.iter().flatten().find(|order| order.order.number == other.number);
            let theirs = order
                .and_then(|order| order.keys.0.iter().find(|(wished, _)| wished == key))
                .map(|(_, deeds)| &deeds.0);
            let Some(theirs) = theirs.filter(|theirs| is_another_thing(&deeds.0, theirs)) else { continue };
            found.add(format!("{key} does {} here and {} in {}", quoted(&deeds.0), quoted(theirs), other.number), |finding| {
                finding
                    .at(Path::new(format!("keys.{key}")))
                    .because("at the consist address both units hear the same key")
                    .remedy("put one of them on another key, or leave the key's bit out of CV21 or CV22 in one unit")
            });
        }
    }
}

/// Whether two units do nothing in common on a key; different lamps on one key are usual.
fn is_another_thing(ours: &[Deed], theirs: &[Deed]) -> bool {
    let are_lamps = |deeds: &[Deed]| deeds.iter().all(|deed| deed.is_lamp());
    let has_one_in_common = ours.iter().any(|deed| theirs.contains(deed));
    let are_all_lamps = are_lamps(ours) && are_lamps(theirs);
    !has_one_in_common && !are_all_lamps
}

fn quoted(deeds: &[Deed]) -> String {
    let words: Vec<String> = deeds.iter().map(|deed| format!("\"{deed}\"")).collect();
    words.join(" and ")
}
