//! A cone that has to travel further than it can, although its coil stands the power.

use finding::{Path, Severity};
use quantities::Gain;

use crate::answers::{Answers, SoundAnswer};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::speakers::{Wiring, master_level};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "cone-travels-too-far",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[29],
    checks: "No cone may travel beyond its linear range at the amplifier's full level, from 150 Hz up; a planned master level that ensures it turns the finding into a note.",
    matters: "Beyond its linear travel a cone distorts every loud sound, and one that strikes its basket dies though its coil stays cool.",
    example: "A 28 mm part that stands 0.6 mm reaches 0.75 mm at 180 Hz and full level: the master level must be 2 dB below full.",
    cure: "A smaller box (it holds the cone), speakers in series, or the master level that the finding names.",
    source: "digest section 2.5: excursion x = Bl·I/(ω·|Zm|) against xmax; 150 Hz as the lowest sound made for small speakers: own choice",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    if job.decoder().is_none_or(|sheet| sheet.amplifier.is_none()) {
        return;
    }
    let master = master_level(job);
    for wiring in Wiring::all(job, answers) {
        let Some(sound) = wiring.sound(answers) else { continue };
        for (index, answer) in sound.sounding.speakers.iter().enumerate() {
            let Some((travel, at)) = answer.most_travel.filter(|(travel, _)| *travel > answer.linear_travel)
            else {
                continue;
            };
            let needed = Gain::of_amplitudes(answer.linear_travel.as_metres(), travel.as_metres());
            let is_tamed = !wiring.will_change && master.is_some_and(|master| master <= needed);
            let severity = if is_tamed { Severity::Note } else { Severity::Rework };
            let lead = wiring.lead();
            let headline = if is_tamed {
                format!("{lead}only the master level keeps the cone of {} within its travel", answer.name)
            } else {
                format!(
                    "{lead}the cone of {} must travel {travel} at {at}; it stands {}",
                    answer.name, answer.linear_travel
                )
            };
            found.add_as(wiring.severity(severity), headline, |finding| {
                let finding = finding
                    .at(sound.wiring.speakers[index].path.join("part"))
                    .at(Path::new("plan.decoder"))
                    .because(format!(
                        "at full level it gets {} at 1 kHz; {needed} below that it stays within its travel",
                        answer.voltage
                    ));
                let finding =
                    assumed(sound, index).into_iter().fold(finding, |finding, words| finding.because(words));
                finding.remedy(
                    wiring.remedy("a smaller box, speakers in series, or a master level that far below full"),
                )
            });
        }
    }
}

/// What of a speaker's sheet is assumed, when the answer rests on it.
fn assumed(sound: &SoundAnswer, index: usize) -> Option<String> {
    let speaker = &sound.wiring.speakers[index];
    let told: Vec<String> =
        speaker.assumed.iter().map(|assumed| format!("{} {}", assumed.what, assumed.taken)).collect();
    (!told.is_empty()).then(|| format!("its sheet tells too little; assumed: {}", told.join(", ")))
}
