//! Something in the model that joins the rails.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::survey::is_below;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "rails-bridged",
    stage: Stage::Survey,
    severity: Severity::Stop,
    rows: &[9],
    checks: "The meter from rail to rail, decoder out, must show more than 10 kohm: alone, coupled to the tender, and with the trucks swung both ways.",
    matters: "A turned tender truck, a drawbar or a handrail that bridges the rails shorts the track, often only in curves or when coupled.",
    example: "3 ohm: 5 A at 15 V, a short. 1.2 kohm: something else still feeds on the rails. OL: sound.",
    cure: "Turn the truck round, insulate drawbar and handrails, take out what feeds on the rails beside the decoder.",
    source: "practice row 9: above 10 kohm without decoder (from memory); a programming track ends at 250 mA (S-9.2.3, practice stage 12)",
    check,
};

/// Above this nothing worth mentioning joins the rails.
const SOUND_ABOVE_OHMS: f64 = 10e3;

/// More than this trips a programming track.
const PROGRAMMING_AMPERES: f64 = 0.25;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    const REMEDY: &str = "decoder out; part loco and tender, measure each; swing the trucks both ways; look for what joins the rails and insulate it";
    let Some(survey) = &job.order.survey else { return };
    let at = Path::new("survey.rail-to-rail");
    let Some(reading) = survey.rail_to_rail else {
        found.add_as(Severity::Open, "nobody has measured from rail to rail", |finding| {
            finding
                .at(at)
                .because("a model that joins the rails shorts the track at first power, or in the first curve")
                .remedy("decoder out; meter from rail to rail, coupled to its tender and apart, trucks swung both ways; note the lowest reading")
        });
        return;
    };
    let Some(greatest) = reading.greatest().filter(|_| is_below(reading, SOUND_ABOVE_OHMS)) else { return };
    let drawn = job.track_voltage() / greatest;
    if drawn.as_amperes() > PROGRAMMING_AMPERES {
        found.add(format!("the rails are joined inside the model: {reading}"), |finding| {
            finding
                .at(at)
                .because(format!(
                    "{drawn} would flow at {}; a programming track ends at 250 mA",
                    job.track_voltage()
                ))
                .remedy(REMEDY)
        });
    } else {
        found.add_as(
            Severity::Rework,
            format!("something in the model feeds on the rails: {reading}"),
            |finding| {
                finding
                    .at(at)
                    .because(format!(
                        "{drawn} flows past the decoder at {}; a sound model reads above 10 kohm",
                        job.track_voltage()
                    ))
                    .remedy(REMEDY)
            },
        );
    }
}
