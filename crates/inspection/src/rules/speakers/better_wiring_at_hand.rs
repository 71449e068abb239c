//! A planned wiring that cannot be used as it is, while the same speakers have one that can.

use electrics::LoadVerdict;
use finding::{Path, Severity};
use speakers::{Proposals, rework_to};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "better-wiring-at-hand",
    stage: Stage::Plan,
    severity: Severity::Note,
    rows: &[18, 19, 20],
    checks: "Where the planned wiring is too low for the amplifier, overloads a speaker or sets cones against each other: whether another arrangement of the same speakers is sound.",
    matters: "Often no part needs to be bought: two joints turn a wiring that burns into one that plays.",
    example: "Two 8-ohm parts of 1 W in parallel on a 2 W amplifier get 2 W each; in series 0.5 W each, and nothing else changes.",
    cure: "The arrangement that the finding names; `sound` lists the joints to change, and no way takes fewer.",
    source: "every series and parallel arrangement compared: load, ratings, evenness, then level; digest sections 1.1 and 1.4",
    check,
};

/// Above this many speakers the arrangements are too many to go through after every keystroke.
const MOST_SPEAKERS: usize = 5;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(sound) = &answers.planned_sound else { return };
    let n_speakers = sound.wiring.speakers.len();
    if job.decoder().is_none_or(|sheet| sheet.amplifier.is_none())
        || !(2..=MOST_SPEAKERS).contains(&n_speakers)
    {
        return;
    }
    let is_refused = sound.sounding.verdict.as_ref().is_some_and(|verdict| *verdict != LoadVerdict::Fits);
    let is_overloaded = sound.sounding.speakers.iter().any(|speaker| speaker.power > speaker.rating);
    if !is_refused && !is_overloaded && !sound.sounding.is_opposed() {
        return;
    }
    let Ok(proposals) = Proposals::of(&sound.wiring) else { return };
    let Some(best) =
        proposals.best().filter(|best| best.verdict == LoadVerdict::Fits && best.is_within_ratings())
    else {
        return;
    };
    let signs = proposals.in_signs(best);
    let joints = rework_to(answers.found_sound.as_ref().map(|found| &found.wiring), &sound.wiring, best)
        .map_or_else(|_| String::new(), |rework| format!("; {} joints from what was found", rework.n_joints));
    found.add(format!("the same speakers as {signs} are sound: {} nominal", best.nominal), |finding| {
        finding
            .at(Path::new("plan.wire.1"))
            .because(format!("the amplifier stands it, no speaker gets more than its rating, the level is {} at 1 m{joints}", best.level))
            .remedy(format!("wire them as {signs} (+ in series, ∥ in parallel), plus towards plus"))
    });
}
