//! A sound decoder that nobody will hear.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "sound-without-speaker",
    stage: Stage::Plan,
    severity: Severity::Open,
    rows: &[],
    checks: "A sound decoder needs a speaker, found or planned.",
    matters: "Room, box, wiring and level all follow from the speaker; found missing when the shell is back on, it starts over.",
    example: "A wanted horn and a sound decoder, but no `[[survey.speaker]]` and no `[[plan.speaker]]`.",
    cure: "The largest speaker that goes in, with its box; or a decoder without sound.",
    source: "practice stage 7: speaker by size and ohms, the largest that goes in wins",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(decoder) = job.decoder() else { return };
    if decoder.amplifier.is_none() || job.order.planned_speakers().next().is_some() {
        return;
    }
    let at = Path::new("plan");
    let name = &decoder.part.name;
    if job.order.voice.is_some() {
        found.add("sound is wanted, but there is no speaker yet", |finding| {
            let finding =
                finding.at(at).because(format!("the decoder {name} has an amplifier, nothing hangs on it"));
            let space = job.order.survey.as_ref().and_then(|survey| survey.speaker_space.as_ref());
            match space {
                Some(space) => finding.because(format!("free room for speaker and box: {space}")),
                None => finding.because("nobody has measured the room for it (`survey.speaker-space`)"),
            }
            .remedy("choose the largest speaker that goes in with its box, and add it as `[[plan.speaker]]`")
        });
    } else {
        found.add_as(
            Severity::Note,
            format!("the decoder {name} has sound, but no speaker is planned and no voice is wished for"),
            |finding| {
                finding
                    .at(at)
                    .because("its amplifier stays unused")
                    .remedy("nothing to do if it shall stay silent; insulate both speaker leads")
            },
        );
    }
}
