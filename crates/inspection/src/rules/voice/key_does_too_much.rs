//! A key with several deeds on a decoder whose keys do one thing each.

use cvplan::Gap;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{decoder_name, gaps};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "key-does-too-much",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "A decoder with one CV for each key does one thing a key.",
    matters: "Only the first deed is written; the others stay without a key, and nobody is told by the decoder.",
    example: "F2 = [\"horn\", \"bell\"] on a decoder with a key table: F2 blows the horn and does not ring the bell.",
    cure: "A key of its own for each deed, or a decoder with the standard's matrix.",
    source: "the decoder's sheet; practice stage 16",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::TooManyDeeds { wish, key, n_deeds } = gap else { continue };
        let deeds = job.order.keys.0.iter().find(|(wished, _)| wished == key).map(|(_, deeds)| &deeds.0);
        let first = deeds
            .and_then(|deeds| deeds.first())
            .map_or_else(|| "the first".to_owned(), |deed| format!("\"{deed}\""));
        found.add(
            format!("{key} shall do {n_deeds} things; the keys of {} do one each", decoder_name(job)),
            |finding| {
                finding
                    .at(wish.clone())
                    .at(Path::new("plan.decoder"))
                    .because(format!("only {first} is written"))
                    .remedy("give each its own key, or join the lamps on one output")
            },
        );
    }
}
