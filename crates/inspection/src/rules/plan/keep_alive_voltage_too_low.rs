//! A keep-alive that does not stand the voltage.

use finding::{Path, Severity};
use workorder::Scale;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "keep-alive-voltage-too-low",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[13],
    checks: "The keep-alive must stand the track voltage with its noise, 25 V where the track is in the teens, 35 V above; 24 V (N) or 27 V for the standard's sake.",
    matters: "A capacitor above its voltage swells or pops, next to a plastic shell.",
    example: "A 16 V capacitor on a 15 V track: stop, any overshoot is too much. 25 V: sound at home. 35 V: wherever the model travels.",
    cure: "A part with a higher working voltage, polarity marked.",
    source: "practice row 13: at least 25 V where the track is in the teens, 35 V for full compliance; decoders are to stand 24 V (N) to 27 V (RCN-210 section 4.2); noise of a quarter peak to peak: S-9.1 Table 2",
    check,
};

/// What practice asks while the track is in the teens, and above.
const TEENS_VOLTS: f64 = 25.0;
const ABOVE_VOLTS: f64 = 35.0;

/// Small scales run below the teens; then this share of the track's voltage is asked (own limit: the same as 25 V to 19 V,
/// rounded down).
const MARGIN: f64 = 1.3;

/// Noise on the signal may reach a quarter of it, peak to peak, so an eighth above it (S-9.1 Table 2, NEM 670, RCN-210;
/// dcc digest section 1.3). Below that the part is above its voltage already.
const WITH_NOISE: f64 = 1.125;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(keep_alive) = job.keep_alive() else { return };
    let track = job.track_voltage().as_volts();
    let stands = keep_alive.keep_alive.voltage;
    let asked = if track < 13.0 {
        track * MARGIN
    } else if track < 20.0 {
        TEENS_VOLTS
    } else {
        ABOVE_VOLTS
    };
    let compliant = match job.order.order.scale {
        Scale::Z | Scale::N => 24.0,
        _ => 27.0,
    };
    let at = Path::new("plan.keep-alive");
    let name = &keep_alive.part.name;
    if stands.as_volts() < asked {
        let severity = if stands.as_volts() < track * WITH_NOISE { Severity::Stop } else { Severity::Rework };
        found.add_as(
            severity,
            format!(
                "the keep-alive {name} stands {stands}; {} V are needed",
                quantities::significant(asked, 3)
            ),
            |finding| {
                finding
                    .at(at)
                    .because(format!(
                        "the track has {}, and noise on the signal may reach an eighth more",
                        job.track_voltage()
                    ))
                    .because("a capacitor above its voltage swells or pops")
                    .remedy("choose one with a higher working voltage")
            },
        );
    } else if stands.as_volts() < compliant {
        found.add_as(
            Severity::Note,
            format!("the keep-alive {name} stands {stands}, the standard asks {compliant} V of a decoder"),
            |finding| {
                finding
                    .at(at)
                    .because(format!(
                        "at {} it is sound; another layout may have up to 22 V",
                        job.track_voltage()
                    ))
                    .remedy("take a 35 V part if the model travels, else tell the owner")
            },
        );
    }
}
