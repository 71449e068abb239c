//! A lamp that shall follow the direction of travel on a key that cannot.

use cvplan::Gap;
use datasheets::KeyMapMethod;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{decoder_name, gaps, is_on_a_key};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "direction-not-possible",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "A lamp that shall be on in one direction only must be on a key that the decoder ties to a direction; by the standard's matrix only F0 is.",
    matters: "White and red burn at both ends at once.",
    example: "A tail lamp with `when = \"reverse\"` on F3: the matrix has one CV for F3, for both directions.",
    cure: "Put the lamp on F0, or leave `when` out.",
    source: "S-9.2.2 Table 2: CV33 and CV34 for F0, one CV for each other key; the decoder's sheet",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::NoDirection { wish, key, lamp } = gap else { continue };
        found.add(format!("{key} cannot tie the lamp {lamp} to a direction of travel"), |finding| {
            finding
                .at(Path::new(format!("plan.lamp.{lamp}.when")))
                .at(wish.clone())
                .because(format!(
                    "{} ties F0 alone to a direction; on {key} the lamp is on both ways",
                    decoder_name(job)
                ))
                .remedy("put what the lamp is for on F0, or leave `when` out")
        });
    }
    let Some(sheet) = job.decoder().filter(|sheet| sheet.key_map.method != KeyMapMethod::Matrix) else {
        return;
    };
    // Other ways of tying keys have no place for a direction; the decoder may do it by itself, as for its headlights.
    for (path, lamp) in job.lamps() {
        let Some(travel) = lamp.when.filter(|_| is_on_a_key(job, lamp.does)) else { continue };
        found.add_as(Severity::Open, format!("nobody knows whether the lamp {} is on in {travel} only", lamp.name), |finding| {
            finding
                .at(path.join("when"))
                .at(Path::new("plan.decoder"))
                .because(format!("the sheet of `{}` does not tell how its outputs follow the direction of travel", sheet.part.name))
                .remedy("try it on the track both ways, or look it up in the decoder's manual; then leave `when` out or move the lamp")
        });
    }
}
