//! Several recordings that fit equally well.

use finding::{Path, Severity};

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
        // Only the notes of a horn can tell recordings of one kind apart in words.
        let is_horn = audition.wish == Path::new("voice.horn");
        found.add(format!("{} recordings of the {part} fit equally well", audition.choices.len()), |finding| {
            finding
                .at(audition.wish.clone())
                .because(format!("the values {} all are {}", listed(&told), audition.choices.first().map_or_else(String::new, |choice| choice.is.to_string())))
                .because("until somebody decides, the first of them is taken")
                .remedy(if is_horn {
                    "play each through the finished speaker beside a recording of the prototype; if the notes are known, write `notes` and they decide"
                } else {
                    "play each through the finished speaker, shell on, beside a recording of the prototype, and note which one was chosen"
                })
        });
    }
}
