//! More voltage between the rails than the decoder stands.

use finding::{Path, Severity};
use quantities::Voltage;
use workorder::Scale;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "track-voltage-too-high",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[],
    checks: "The track voltage must not exceed what the decoder stands, nor the 22 V that the standards allow at most.",
    matters: "Too high a voltage breaks down rectifier and outputs at once; coreless motors overheat above 18 V.",
    example: "A 22 V decoder on a 24 V large-scale station: stop. A sheet without a figure: 24 V by the standard in N and below, 27 V above.",
    cure: "Set the station to the scale's voltage, or choose a decoder that stands more.",
    source: "RCN-210 sections 4.2 and 5, NEM 670 section 4.2, S-9.1 note 8 (dcc digest section 1.4)",
    check,
};

/// Absolute maximum at the track (RCN-210 section 4.2 b).
const MOST_TRACK_VOLTS: f64 = 22.0;

/// What a decoder must stand, and the highest voltage that is recommended for its scale (RCN-210 sections 4.2 and 5).
fn of_scale(scale: Scale) -> (f64, f64) {
    match scale {
        Scale::Z => (24.0, 12.0),
        Scale::N => (24.0, 16.0),
        Scale::TT => (27.0, 16.0),
        Scale::H0 | Scale::HO | Scale::S | Scale::O | Scale::Zero => (27.0, 18.0),
        Scale::One | Scale::Two => (27.0, 22.0),
    }
}

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(stated) = job.order.plan.as_ref().and_then(|plan| plan.track_voltage) else { return };
    let Some(decoder) = job.decoder() else { return };
    let scale = job.order.order.scale;
    let (standard, recommended) = of_scale(scale);
    let told = decoder.decoder.most_voltage;
    let stands = told.map_or(standard, Voltage::as_volts);
    let at = Path::new("plan.track-voltage");
    if stated.as_volts() > stands {
        found.add(format!("{stated} between the rails; the decoder stands {stands} V"), |finding| {
            finding
                .at(at)
                .at(Path::new("plan.decoder"))
                .because(if told.is_some() {
                    "so its sheet says".to_owned()
                } else {
                    format!("its sheet tells no figure; the standard asks {standard} V of a decoder in scale {scale}")
                })
                .remedy("set the station lower, or choose a decoder that stands more")
        });
    } else if stated.as_volts() > MOST_TRACK_VOLTS {
        found.add_as(
            Severity::Rework,
            format!("{stated} between the rails is more than the standards allow"),
            |finding| {
                finding.at(at).because("at most 22 V may stand at the track").remedy("set the station lower")
            },
        );
    } else if stated.as_volts() > recommended {
        found.add_as(Severity::Note, format!("{stated} is high for scale {scale}"), |finding| {
            finding
                .at(at)
                .because(format!(
                    "up to {recommended} V are recommended; motor, lamps and resistors run hotter"
                ))
                .remedy("set the station to the scale's voltage if nothing else needs it")
        });
    }
}
