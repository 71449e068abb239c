//! A speaker whose coil is broken or shorted.

use finding::Severity;
use quantities::{MeterReading, Resistance};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::survey::{is_above, is_below};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-coil-open-or-shorted",
    stage: Stage::Survey,
    severity: Severity::Stop,
    rows: &[19, 21, 30],
    checks: "The meter across each speaker must show a coil: neither a break (OL, above 100 ohm) nor a short (below 0.5 ohm).",
    matters: "An open speaker is silent and silences every other in series with it; a shorted one overloads the amplifier.",
    example: "7.0 ohm: an 8-ohm part. OL: burnt or torn, so that a series pair is silent. 0.3 ohm: do not power.",
    cure: "A new speaker; measure it before and after soldering, iron on for at most two seconds.",
    source: "practice rows 19, 21 and 30; acoustics and electrics digest, section 1.5",
    check,
};

/// From this on a coil counts as open, unless its nominal impedance is itself that high.
const OPEN_OHMS: f64 = 100.0;
/// Below this it counts as shorted.
const SHORTED_OHMS: f64 = 0.5;

/// What a coil usually reads, as a share of its nominal impedance.
const USUAL_SHARE: f64 = 0.88;

/// Whether a reading says that the coil is open.
pub(super) fn is_open(reading: MeterReading, nominal: Option<Resistance>) -> bool {
    let limit = nominal.map_or(OPEN_OHMS, |nominal| OPEN_OHMS.max(2.0 * nominal.as_ohms()));
    is_above(reading, limit)
}

/// Whether a reading says that the coil is shorted.
pub(super) fn is_shorted(reading: MeterReading) -> bool {
    is_below(reading, SHORTED_OHMS)
}

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    for (path, speaker) in job.order.planned_speakers() {
        let Some(reading) = speaker.dc_resistance else { continue };
        let name = &speaker.name;
        let expected = job.impedance(speaker).map_or_else(
            || "a sound coil reads 3 to 34 ohm".to_owned(),
            |nominal| format!("a sound part of {nominal} reads about {}", nominal * USUAL_SHARE),
        );
        if is_shorted(reading) {
            found.add(format!("speaker {name} is shorted: the meter shows {reading}"), |finding| {
                finding
                    .at(path.join("dc-resistance"))
                    .because(expected)
                    .because("below 0.5 ohm the amplifier works into a short")
                    .remedy("zero the meter's leads, unsolder the speaker and measure it alone; replace it if it stays")
            });
        } else if is_open(reading, job.impedance(speaker)) {
            found.add_as(
                Severity::Rework,
                format!("speaker {name} is open: the meter shows {reading}"),
                |finding| {
                    finding
                        .at(path.join("dc-resistance"))
                        .because(expected)
                        .because("no current passes it, nor any speaker in series with it")
                        .remedy("look for a torn lead at the terminals; if the coil itself is open, replace the speaker")
                },
            );
        }
    }
}
