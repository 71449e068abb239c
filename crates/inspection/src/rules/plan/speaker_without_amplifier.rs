//! Speakers at a decoder without sound.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-without-amplifier",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "Speakers need a decoder with an amplifier.",
    matters: "The speakers stay silent, and somebody will look for a fault that is not there.",
    example: "Two speakers left in a car that gets a plain decoder: silent.",
    cure: "A sound decoder, or the speakers taken out and noted in `plan.remove`.",
    source: "common practice: no amplifier, no sound",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(decoder) = job.decoder() else { return };
    if decoder.amplifier.is_some() {
        return;
    }
    let speakers: Vec<(Path, String)> =
        job.order.planned_speakers().map(|(path, speaker)| (path, speaker.name.to_string())).collect();
    if speakers.is_empty() {
        return;
    }
    let names: Vec<&str> = speakers.iter().map(|(_, name)| name.as_str()).collect();
    let severity = if job.order.voice.is_some() { Severity::Rework } else { Severity::Note };
    found.add_as(
        severity,
        format!("the decoder {} has no amplifier for speaker {}", decoder.part.name, names.join(", ")),
        |finding| {
            speakers
                .iter()
                .fold(finding.at(Path::new("plan.decoder")), |finding, (path, _)| finding.at(path.clone()))
                .because("its sheet tells of no sound amplifier")
                .remedy("choose a sound decoder, or note the speakers in `plan.remove`")
        },
    );
}
