//! How a run ended, for people and for machines.

use serde_json::{Value, json};
use shop::RunOutcome;
use track::{Standing, Verdict};

/// A line for each target that is not as wanted, then the sum.
pub(crate) fn report(outcome: &RunOutcome) -> String {
    let report = &outcome.report;
    let mut lines: Vec<String> = report
        .targets
        .iter()
        .filter(|target| target.verdict != Verdict::Met)
        .map(|target| {
            let words: Vec<&str> = target.because.iter().map(|(_, words)| words.as_str()).collect();
            let read = target
                .after
                .as_ref()
                .or(target.before.as_ref())
                .map_or_else(|| "not read".to_owned(), ToString::to_string);
            format!(
                "{}: wanted {}, {read}: {}",
                target.place,
                wanted(target.mask, target.value),
                words.join("; ")
            )
        })
        .collect();
    for disturbed in &report.disturbed {
        lines.push(format!(
            "{} held {} and now {}, though nobody wanted it changed",
            disturbed.place, disturbed.before, disturbed.after
        ));
    }
    let n_met = report.targets.iter().filter(|target| target.verdict == Verdict::Met).count();
    let standing = match &report.standing {
        Standing::Proved => "proven".to_owned(),
        Standing::Underway(_) => "not over; run it again to go on".to_owned(),
        Standing::Cancelled { reason } => format!("cancelled: {reason}"),
        Standing::Undone { reason } => format!("undone: {reason}"),
    };
    lines.push(format!("{}: {n_met} of {} settings as wanted; {standing}", report.job, report.targets.len()));
    lines.push(shop::rail_time(report));
    if outcome.n_taken_up > 0 {
        lines.push(format!("it was cut off and taken up again ({})", outcome.n_taken_up));
    }
    lines.push(format!("journal: {}", outcome.journal));
    lines.join("\n")
}

fn wanted(mask: u8, value: u8) -> String {
    if mask == u8::MAX { value.to_string() } else { format!("{value} in bits {mask:08b}") }
}

/// The whole report.
pub(crate) fn report_json(outcome: &RunOutcome) -> Value {
    let report = &outcome.report;
    let targets: Vec<Value> = report
        .targets
        .iter()
        .map(|target| {
            json!({
                "cv": target.place.cv,
                "page": target.place.page.map(|(high, low)| json!({ "CV31": high, "CV32": low })),
                "mask": target.mask,
                "value": target.value,
                "before": target.before.as_ref().and_then(track::Content::value),
                "after": target.after.as_ref().and_then(track::Content::value),
                "verdict": match target.verdict {
                    Verdict::Met => "met",
                    Verdict::NotMet => "not met",
                    Verdict::Unknown { .. } => "unknown",
                },
                "because": target.because.iter().map(|(wish, words)| json!({ "wish": wish, "words": words })).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "order": report.job,
        "decoder": report.decoder,
        "fulfilled": report.is_fulfilled(),
        "targets": targets,
        "rail-microseconds": report.rail_times.total().as_micros(),
        "readings-microseconds": report.rail_times.readings.as_micros(),
        "readings-bit-by-bit-microseconds": report.rail_times.readings_plain.as_micros(),
        "taken-up": outcome.n_taken_up,
        "journal": outcome.journal,
    })
}
