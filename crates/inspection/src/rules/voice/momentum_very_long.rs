//! So much momentum that the model is hard to stop.

use finding::{Path, Severity};
use quantities::{Duration, Length};
use workorder::Scale;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "momentum-very-long",
    stage: Stage::VoiceAndManners,
    severity: Severity::Note,
    rows: &[],
    checks: "Times of more than 30 s from stop to full speed or back are told with the way that the model runs meanwhile.",
    matters: "With long deceleration it rolls into the end of the track while the throttle stands at zero; visitors take it for a runaway.",
    example: "60 s from 100 km/h in HO: 0.32 m/s at first, 9.6 m until it stands.",
    cure: "Shorter times, or a brake key for the stop.",
    source: "practice section 2.7: 30 s to full is right for some and too much for others; way = speed times half the time (uniform deceleration)",
    check,
};

const LONG_ABOVE_SECONDS: f64 = 30.0;
/// A passenger train on the main line, to tell the way with (100 km/h).
const PROTOTYPE_METRES_PER_SECOND: f64 = 100.0 / 3.6;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(manners) = &job.order.manners else { return };
    let is_long = |time: &Duration| time.as_seconds() > LONG_ABOVE_SECONDS;
    if let Some(time) = manners.acceleration.filter(is_long) {
        found.add(format!("it takes {time} to full speed"), |finding| {
            finding
                .at(Path::new("manners.acceleration"))
                .because("30 s are right for some and too much for others")
                .remedy("try it on the layout that it will run on before it is handed over")
        });
    }
    if let Some(time) = manners.deceleration.filter(is_long) {
        let way = way(job.order.order.scale, time);
        found.add(format!("it rolls for {time} after the throttle is at zero"), |finding| {
            let finding = finding.at(Path::new("manners.deceleration"));
            let finding = match way {
                Some(way) => finding.because(format!("from 100 km/h that is {way} of track")),
                None => finding,
            };
            finding
                .because("the layout may be shorter than that")
                .remedy("a shorter time, or a brake key (`brake`) where the decoder has one")
        });
    }
}

fn way(scale: Scale, time: Duration) -> Option<Length> {
    let speed = PROTOTYPE_METRES_PER_SECOND / ratio(scale);
    // To the centimetre: the speed is an example.
    Length::from_metres((speed * time.as_seconds() / 2.0 * 100.0).round() / 100.0)
}

/// How many times smaller the model is (NEM 010; HO and O by NMRA).
fn ratio(scale: Scale) -> f64 {
    match scale {
        Scale::Z => 220.0,
        Scale::N => 160.0,
        Scale::TT => 120.0,
        Scale::H0 => 87.0,
        Scale::HO => 87.09,
        Scale::S => 64.0,
        Scale::O => 48.0,
        Scale::Zero => 45.0,
        Scale::One => 32.0,
        Scale::Two => 22.5,
    }
}
