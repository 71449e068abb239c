//! A speaker lead that touches the metal of the model.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::survey::is_below;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-lead-to-frame",
    stage: Stage::Survey,
    severity: Severity::Stop,
    rows: &[22],
    checks: "The meter from each speaker lead to the frame must show no connection.",
    matters: "Both leads of a bridge amplifier are live at half its supply; one that touches frame or rail shorts it, and there is no sound ever again.",
    example: "Lead to frame 2 ohm: stop. 300 kohm: a scratched basket or flux, clean it. OL: sound.",
    cure: "Sleeve the terminals, keep solder and basket off the metal, measure again with the speaker screwed down.",
    source: "acoustics and electrics digest, sections 1.4 and 1.5: below 1 kohm stops the job, above 1 Mohm is sound; practice row 22",
    check,
};

/// Below this the two are connected.
const CONNECTED_BELOW_OHMS: f64 = 1e3;
/// Above this they are not.
const SOUND_ABOVE_OHMS: f64 = 1e6;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    for (path, speaker) in job.order.planned_speakers() {
        let (name, at) = (&speaker.name, path.join("to-frame"));
        match speaker.to_frame {
            None => {
                found.add_as(
                    Severity::Open,
                    format!("nobody has measured speaker {name} against the frame"),
                    |finding| {
                        finding
                            .at(at)
                            .because("a lead on the frame shorts half the amplifier's supply at first power")
                            .remedy("speaker in place, decoder out: meter from each lead to the frame, note the lower reading")
                    },
                );
            }
            Some(reading) if is_below(reading, CONNECTED_BELOW_OHMS) => {
                found.add(
                    format!("a lead of speaker {name} touches the frame: the meter shows {reading}"),
                    |finding| {
                        finding
                            .at(at)
                            .because("below 1 kohm counts as a connection; either output of the amplifier would be shorted through it")
                            .remedy("sleeve both terminals, lift the basket off the metal, measure again and note the new reading")
                    },
                );
            }
            Some(reading) if is_below(reading, SOUND_ABOVE_OHMS) => {
                found.add_as(
                    Severity::Rework,
                    format!("speaker {name} is poorly insulated from the frame: {reading}"),
                    |finding| {
                        finding
                            .at(at)
                            .because("a sound speaker reads above 1 Mohm; this is flux, dirt or a scratched basket")
                            .remedy("clean around the terminals, sleeve them, measure again with the speaker screwed down")
                    },
                );
            }
            Some(_) => {}
        }
    }
}
