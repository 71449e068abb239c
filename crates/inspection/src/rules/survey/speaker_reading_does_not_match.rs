//! A speaker that reads like another one.

use finding::{Path, Severity};
use quantities::{MeterReading, Resistance};
use workorder::Speaker;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::survey::speaker_coil_open_or_shorted::{is_open, is_shorted};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-reading-does-not-match",
    stage: Stage::Survey,
    severity: Severity::Rework,
    rows: &[18, 30],
    checks: "The meter across each speaker must show 0.70 to 1.00 of its nominal impedance (to 1.05 for headphone types).",
    matters: "Every load and power is computed from the nominal impedance; a 4-ohm part taken for 8 ohm halves the load and heats the decoder.",
    example: "An 8-ohm part reads 5.6 to 8.0, usually 7.0. 3.5 ohm is a 4-ohm part, or two of 8 ohm still joined in parallel.",
    cure: "Unsolder one lead and measure the part alone; put the right part or impedance into the order.",
    source: "acoustics and electrics digest, section 1.5: windows derived from published sheets; practice row 18",
    check,
};

/// A coil's share of the nominal impedance.
const LEAST_SHARE: f64 = 0.70;
const USUAL_SHARE: f64 = 0.88;
const MOST_SHARE: f64 = 1.00;
/// Headphone types, 32 ohm and more, go a little higher.
const HEADPHONE_OHMS: f64 = 32.0;
const MOST_HEADPHONE_SHARE: f64 = 1.05;

/// Nominal impedances on the market.
const NOMINAL_OHMS: [f64; 5] = [4.0, 6.0, 8.0, 16.0, 32.0];

fn window(nominal_ohms: f64) -> (f64, f64) {
    let most_share = if nominal_ohms >= HEADPHONE_OHMS { MOST_HEADPHONE_SHARE } else { MOST_SHARE };
    (LEAST_SHARE * nominal_ohms, most_share * nominal_ohms)
}

/// Rounding of printed readings must not push a part out of its own window.
const ROUNDING: f64 = 1e-9;

fn is_within(reading: MeterReading, nominal_ohms: f64) -> bool {
    let (least, most) = window(nominal_ohms);
    let (least, most) = (least * (1.0 - ROUNDING), most * (1.0 + ROUNDING));
    match reading {
        MeterReading::Exactly(value) => (least..=most).contains(&value.as_ohms()),
        MeterReading::Above(value) => value.as_ohms() < most,
        MeterReading::Below(value) => value.as_ohms() > least,
        MeterReading::Open => false,
    }
}

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    for (path, speaker) in job.order.planned_speakers() {
        match speaker.dc_resistance {
            None => unmeasured(&path, speaker, job.impedance(speaker), found),
            Some(reading) => {
                if let Some(nominal) = job.impedance(speaker)
                    && !is_open(reading, Some(nominal))
                    && !is_shorted(reading)
                    && !is_within(reading, nominal.as_ohms())
                {
                    mismatch(&path, speaker, reading, nominal, found);
                }
            }
        }
    }
}

fn unmeasured(path: &Path, speaker: &Speaker, nominal: Option<Resistance>, found: &mut Found<'_>) {
    let name = &speaker.name;
    found.add_as(Severity::Open, format!("nobody has measured speaker {name}"), |finding| {
        finding
            .at(path.join("dc-resistance"))
            .because(nominal.map_or_else(
                || "every load is computed from its impedance".to_owned(),
                |nominal| {
                    let (least, most) = window(nominal.as_ohms());
                    format!("a part of {nominal} must read {} to {} ohm", digits(least), digits(most))
                },
            ))
            .remedy("meter zeroed, speaker unsoldered or alone on its wires: note the reading, before and after soldering")
    });
}

fn mismatch(
    path: &Path,
    speaker: &Speaker,
    reading: MeterReading,
    nominal: Resistance,
    found: &mut Found<'_>,
) {
    let name = &speaker.name;
    found.add(
        format!("speaker {name} reads {reading}; that is no {nominal} part"),
        |finding| {
            let (least, most) = window(nominal.as_ohms());
            let finding = finding
                .at(path.join("dc-resistance"))
                .at(path.join(if speaker.impedance.is_some() { "impedance" } else { "part" }))
                .because(format!(
                    "a part of {nominal} reads {} to {} ohm, usually {}",
                    digits(least),
                    digits(most),
                    digits(USUAL_SHARE * nominal.as_ohms())
                ));
            match suggestion(reading, nominal.as_ohms()) {
                Some(suggestion) => finding.because(suggestion),
                None => finding,
            }
                .remedy("unsolder one lead and measure the part alone; if it reads the same, put the right part or impedance into the order")
        },
    );
}

/// What the reading would be normal for; none where it is normal for nothing.
fn suggestion(reading: MeterReading, nominal_ohms: f64) -> Option<String> {
    let mut candidates: Vec<String> = NOMINAL_OHMS
        .iter()
        .filter(|ohms| is_within(reading, **ohms))
        .map(|ohms| format!("a {ohms}-ohm part"))
        .collect();
    for (factor, joined) in [(0.5, "in parallel"), (2.0, "in series")] {
        if is_within(reading, nominal_ohms * factor) {
            candidates.push(format!("two such parts still joined {joined}"));
        }
    }
    (!candidates.is_empty()).then(|| format!("the reading is that of {}", candidates.join(", or of ")))
}

fn digits(ohms: f64) -> String {
    quantities::significant(ohms, 3)
}
