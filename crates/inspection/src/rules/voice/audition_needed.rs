//! Several recordings that fit equally well.

use cvplan::Audition;
use datasheets::VoicePart;
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "audition-needed",
    stage: Stage::VoiceAndManners,
    severity: Severity::Open,
    rows: &[],
    checks: "Where several recordings fit a wish equally well, somebody must listen and choose.",
    matters: "Recordings of one kind differ in age, distance and tiredness of the engine; no sheet tells which one is right.",
    example: "Two recordings of a 16-cylinder two-stroke with turbo, or of a five-chime horn.",
    cure: "Play each through the finished speaker with the shell on, beside a recording of the prototype.",
    source: "common practice; practice stage 14",
    check,
};

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for audition in answers.settlement.iter().flat_map(|settlement| &settlement.auditions) {
        let told: Vec<String> = audition
            .choices
            .iter()
            .map(|choice| {
                let note = choice.note.as_ref().map_or_else(String::new, |note| format!(" ({note})"));
                format!("{}{note}", choice.value.get())
            })
            .collect();
        let part = audition.part.word().replace('-', " ");
        let kind = audition.choices.first().map_or_else(String::new, |choice| choice.is.to_string());
        found.add(
            format!("{} recordings of the {part} fit equally well", audition.choices.len()),
            |finding| {
                finding
                .at(audition.wish.clone())
                .because(format!("the values {} all are {kind}", listed(&told)))
                .because("until somebody decides, the first of them is taken")
                .remedy(format!(
                    "play each through the finished speaker, shell on, beside a recording of the prototype{}",
                    how_to_decide(audition)
                ))
            },
        );
    }
}

/// What was chosen is written down by the remark on the sheet; the notes of a horn decide by themselves.
fn how_to_decide(audition: &Audition) -> String {
    let notes = if audition.part == VoicePart::Horn { ", or its `notes` where they are known" } else { "" };
    let example = audition.choices.iter().rev().find_map(|choice| choice.note.as_deref());
    example.map_or_else(String::new, |note| {
        format!("; write the one that was chosen (`recording = \"{note}\"`){notes}")
    })
}
