//! Several recordings that fit equally well.

use cvplan::Audition;
use datasheets::{RoleName, VoicePart};
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

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
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
                    how_to_decide(job, audition)
                ))
            },
        );
    }
}

/// Only the notes of a horn can tell recordings of one kind apart in words; all else is written by its place.
fn how_to_decide(job: &Job<'_>, audition: &Audition) -> String {
    if audition.part == VoicePart::Horn {
        return "; where the notes are known, write `notes` and they decide".to_owned();
    }
    let role = job.decoder().and_then(|sheet| sheet.role(RoleName::Voice(audition.part)));
    role.map_or_else(String::new, |role| {
        let bits = role.bits.map_or_else(String::new, |bits| format!(", bits {bits}"));
        format!(
            "; if it is not the first, write the chosen value into {}{bits} after the programming list",
            role.place()
        )
    })
}
