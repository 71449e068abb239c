//! A box that makes a peak which is heard as a honk.

use electrics::Condition;
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "box-honks",
    stage: Stage::Plan,
    severity: Severity::Note,
    rows: &[25],
    checks: "The peak that a driver and its box make at their resonance, by the closed-box alignment; told from 6 dB up.",
    matters: "A peak of 6 dB and more at 400 to 1000 Hz is heard as a honk and makes a horn harsh; the driver is not at fault, the box is small.",
    example: "A 32 mm driver in 2 cm³: Qtc 2.5, a peak of 8 dB at 850 Hz. In 20 cm³ the same driver peaks by 2 dB.",
    cure: "A larger box, fill that does not touch the cone, or a cut of that band in the decoder's equaliser.",
    source: "Small 1972 (closed boxes), digest section 2.4: |G|max = Qtc²/sqrt(Qtc² - 0.25); 6 dB as what is plain to hear: own choice",
    check,
};

/// From here a peak is told.
const TOLD_FROM_DECIBELS: f64 = 6.0;

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(sound) = &answers.planned_sound else { return };
    for (speaker, answer) in sound.wiring.speakers.iter().zip(&sound.sounding.speakers) {
        let (Some(box_facts), Some(alignment)) = (&speaker.box_facts, speaker.system.alignment()) else {
            continue;
        };
        let (Some(at), peak) = (alignment.peak_frequency(), alignment.peak()) else { continue };
        if answer.condition != Condition::Driven || peak.as_decibels() < TOLD_FROM_DECIBELS {
            continue;
        }
        let headline =
            format!("speaker {} in {} peaks by {peak} at {at}: a honk", speaker.name, box_facts.name);
        found.add(headline, |finding| {
            let finding = finding.at(speaker.path.join("enclosure")).because(format!(
                "its resonance in {} is {} with Qtc {:.2}",
                box_facts.volume,
                alignment.resonance(),
                alignment.total_q()
            ));
            let finding = if speaker.assumed.is_empty() {
                finding
            } else {
                finding.because("its sheet tells no parameters; usual values are assumed")
            };
            finding.remedy("a larger box or one with some fill; else cut that band in the decoder, if it can")
        });
    }
}
