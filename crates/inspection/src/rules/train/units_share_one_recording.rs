//! Units that sound like one.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::listed;
use crate::rules::train::{others, own};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "units-share-one-recording",
    stage: Stage::Train,
    severity: Severity::Note,
    rows: &[55],
    checks: "Units of a train with the same decoder should not play the same recording of an engine.",
    matters: "In step, three engines sound like one; nearly in step, they beat and comb.",
    example: "Both diesels play recording 1 of the 16-cylinder two-stroke.",
    cure: "Another recording for each where there are several, or a pitch that differs by 2 %.",
    source: "practice row 55: recordings offset by 2 % in pitch",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some((own, recording)) = own(job, answers).and_then(|own| Some((own, own.recording.as_ref()?)))
    else {
        return;
    };
    let same: Vec<_> = others(job, answers)
        .filter(|other| other.recording.as_ref() == Some(recording))
        .map(|other| &other.number)
        .collect();
    if same.is_empty() {
        return;
    }
    let audition = answers
        .settlement
        .iter()
        .flat_map(|settlement| &settlement.auditions)
        .find(|audition| audition.wish == Path::new("voice.prime-mover"));
    found.add(format!("{} and {} play the same recording of an engine", own.number, listed(&same)), |finding| {
        let finding = finding
            .at(Path::new("voice.prime-mover"))
            .because(format!("both take recording {} of `{}`", recording.1, recording.0));
        finding.remedy(match audition {
            Some(audition) => format!("{} recordings fit this engine: take another one in each unit", audition.choices.len()),
            None => "where the decoder can, set one of them 2 % higher in pitch; else start them some seconds apart".to_owned(),
        })
    });
}
