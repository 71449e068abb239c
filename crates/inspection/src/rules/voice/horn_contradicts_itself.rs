//! A horn whose notes do not fit its chimes.

use finding::{Path, Severity};
use workorder::HornWish;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "horn-contradicts-itself",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "A horn must have as many notes as chimes, written from low to high.",
    matters: "The recording is chosen by chimes and notes; a wrong note finds the wrong horn.",
    example: "Five chimes with the notes D#4, F#4, G#4, B4: one is missing. D#5 before B4: a slip in the octave.",
    cure: "Listen to a recording again, or leave the notes out.",
    source: "each bell sounds one note: practice section 5 (chime, chord); order from low to high as the work order asks for",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(horn) = job.order.voice.as_ref().and_then(|voice| voice.horn.as_ref()) else { return };
    check_order(horn, found);
    let n_notes = horn.notes.len();
    if let Some(chimes) = horn.chimes.map(|chimes| usize::from(chimes.get()))
        && n_notes > 0
        && n_notes != chimes
    {
        found.add(format!("{chimes} chimes, but {n_notes} notes"), |finding| {
            finding
                .at(Path::new("voice.horn.notes"))
                .at(Path::new("voice.horn.chimes"))
                .because("each bell or chamber sounds one note")
                .remedy("correct one of the two, or leave the notes out")
        });
    }
}

fn check_order(horn: &HornWish, found: &mut Found<'_>) {
    if let Some((index, _)) = horn.notes.windows(2).enumerate().find(|(_, pair)| pair[1] <= pair[0]) {
        let (note, before) = (&horn.notes[index + 1], &horn.notes[index]);
        found.add_as(Severity::Note, format!("{note} stands after {before}, but is not higher"), |finding| {
            finding
                .at(Path::new(format!("voice.horn.notes.{}", index + 2)))
                .because("notes are written from low to high; a slip in the octave is the usual cause")
                .remedy("put the notes in rising order, and check the octaves")
        });
    }
}
