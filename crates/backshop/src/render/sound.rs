//! What the speakers will do, for people.

use electrics::{Condition, LoadVerdict};
use shop::{SoundReport, WiringReport};
use speakers::{MeterRow, Proposals, Sounding, WiringError};

/// The whole report: both wirings, the best one, the way there, the meter card.
pub(crate) fn report(report: &SoundReport) -> String {
    let mut parts = Vec::new();
    if let Some(found) = &report.found {
        parts.push(format!("AS FOUND\n{}", wiring(found)));
    }
    if let Some(planned) = &report.planned {
        parts.push(format!("AS PLANNED\n{}", wiring(planned)));
    }
    if let Some(proposals) = report.proposals.as_ref().filter(|proposals| proposals.ranked.len() > 1) {
        parts.push(format!("WIRINGS OF THE SPEAKERS AT HAND, BEST FIRST\n{}", ranked(proposals)));
    }
    if let Some(rework) = &report.to_plan {
        parts.push(format!("FROM WHAT WAS FOUND TO THE PLAN\n{}", steps(rework)));
    }
    if !report.meter.is_empty() {
        parts.push(format!("METER CARD, DECODER OUT\n{}", meter(&report.meter)));
    }
    if parts.is_empty() { "the order has no speakers".to_owned() } else { parts.join("\n\n") }
}

fn wiring(report: &Result<WiringReport, WiringError>) -> String {
    let report = match report {
        Ok(report) => report,
        Err(error) => return format!("  cannot be computed: {error}"),
    };
    let sounding = match &report.sounding {
        Ok(sounding) => sounding,
        Err(reason) => return format!("  {reason}"),
    };
    let mut lines = vec![format!("  load        {}", load(sounding))];
    lines.extend(speakers(sounding));
    if let Some(safe) = &sounding.safe {
        lines.push(format!(
            "  safe level  {} ({} against full): {}",
            safe.voltage, safe.below_full, safe.limit
        ));
    }
    lines.extend(report.wiring.speakers.iter().map(boxed));
    lines.push(format!("  cones       {}", cones(report, sounding)));
    lines.extend(bands(sounding));
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    for (names, assumed) in &report.assumed {
        let (names, words) = (names.join(", "), format!("{} {}", assumed.what, assumed.taken));
        match told.iter_mut().find(|(known, _)| *known == names) {
            Some((_, list)) => list.push(words),
            None => told.push((names, vec![words])),
        }
    }
    for (names, words) in told {
        lines.push(format!("  assumed     for {names}: {}", words.join(", ")));
    }
    lines.join("\n")
}

fn load(sounding: &Sounding) -> String {
    let Some(nominal) = sounding.nominal else { return "nothing is connected".to_owned() };
    let least = sounding
        .least
        .as_ref()
        .map_or_else(String::new, |least| format!(", least {} at {}", least.modulus, least.at));
    let verdict = match &sounding.verdict {
        Some(LoadVerdict::Fits) => "; the amplifier stands it".to_owned(),
        Some(LoadVerdict::NominalTooLow { least, .. }) => format!("; the amplifier wants {least} at least"),
        Some(LoadVerdict::DipsTooLow { least, .. }) => format!("; it dips below {least}"),
        None => String::new(),
    };
    format!("{nominal} nominal{least}{verdict}")
}

fn speakers(sounding: &Sounding) -> Vec<String> {
    sounding
        .speakers
        .iter()
        .map(|speaker| {
            let told = match speaker.condition {
                Condition::Driven => {
                    let travel = speaker.most_travel.map_or_else(String::new, |(travel, at)| {
                        format!(", travels {travel} at {at} (stands {})", speaker.linear_travel)
                    });
                    format!(
                        "{} at 1 kHz, {} mean (rated {}){travel}",
                        speaker.voltage, speaker.power, speaker.rating
                    )
                }
                Condition::OpenEnded => "silent: one end leads nowhere".to_owned(),
                Condition::NotConnected => "silent: not connected".to_owned(),
                Condition::ShortCircuited => "silent: its leads are joined".to_owned(),
            };
            format!("  {:<11} {told}", speaker.name)
        })
        .collect()
}

/// What the box does: resonance, Q and -3 dB point, or what is wrong with it.
fn boxed(speaker: &speakers::Placed) -> String {
    let told = match (&speaker.box_facts, speaker.system.alignment()) {
        (None, _) => "no box: the rear wave cancels the bass".to_owned(),
        (Some(facts), Some(alignment)) => format!(
            "{} of {}: resonance {}, Qtc {:.2}, -3 dB at {}",
            facts.name,
            facts.volume,
            alignment.resonance(),
            alignment.total_q(),
            alignment.cutoff()
        ),
        (Some(facts), None) => {
            let leak = facts.leak.map_or_else(String::new, |leak| format!(" of {leak}"));
            format!("{} of {}: an opening{leak} makes it leak", facts.name, facts.volume)
        }
    };
    format!("  box of {:<4} {told}", speaker.name)
}

fn cones(report: &WiringReport, sounding: &Sounding) -> String {
    let name = |id: &electrics::ElementId| {
        let place = report.wiring.elements.iter().position(|element| element == id);
        place.map_or_else(String::new, |place| report.wiring.speakers[place].name.clone())
    };
    let fights: Vec<String> = sounding
        .opposed
        .iter()
        .map(|pair| format!("{} fights {}, {} apart", pair.one, pair.other, pair.spacing))
        .collect();
    let unknown: Vec<String> = sounding.polarity.unknown.iter().map(name).collect();
    let mut told =
        if fights.is_empty() { vec!["all that are known move together".to_owned()] } else { fights };
    if !unknown.is_empty() {
        told.push(format!("polarity of {} unknown", unknown.join(", ")));
    }
    told.join("; ")
}

/// Level by octave, and what opposition costs.
fn bands(sounding: &Sounding) -> Vec<String> {
    let row = |head: &str, cells: Vec<String>| {
        format!("  {head:<11} {}", cells.iter().map(|cell| format!("{cell:>8}")).collect::<String>())
    };
    let mut rows = vec![
        row("octave", sounding.bands.iter().map(|band| band.band.nominal().to_string()).collect()),
        row(
            "level dB",
            sounding
                .bands
                .iter()
                .map(|band| format!("{:.1}", band.level.as_decibels_re_20_micropascal()))
                .collect(),
        ),
    ];
    if sounding.speakers.len() > 1 {
        let cells = sounding.bands.iter().map(|band| {
            band.against_one.map_or_else(String::new, |gain| format!("{:+.1}", gain.as_decibels()))
        });
        rows.push(row("to one dB", cells.collect()));
    }
    for pair in &sounding.opposed {
        let cells = pair.losses.iter().map(|loss| format!("{:+.1}", loss.against_in_phase.as_decibels()));
        rows.push(row(&format!("{}–{} costs", pair.one, pair.other), cells.collect()));
    }
    rows
}

fn ranked(proposals: &Proposals) -> String {
    const SHOWN: usize = 5;
    let lines = proposals.ranked.iter().take(SHOWN).enumerate().map(|(index, one)| {
        let verdict = match one.verdict {
            LoadVerdict::Fits if !one.is_within_ratings() => "overloads a speaker",
            LoadVerdict::Fits if !one.is_even => "one speaker drowns another",
            LoadVerdict::Fits => "fits",
            _ => "too low for the amplifier",
        };
        format!(
            "  {}. {:<24} {:>9}  {:>9} at 1 m  {verdict}",
            index + 1,
            proposals.in_signs(one),
            one.nominal.to_string(),
            one.level.to_string()
        )
    });
    let mut lines: Vec<String> = lines.collect();
    if proposals.ranked.len() > SHOWN {
        lines.push(format!("  and {} more", proposals.ranked.len() - SHOWN));
    }
    lines.join("\n")
}

fn steps(rework: &electrics::Rework) -> String {
    if rework.steps.is_empty() {
        return "  nothing to change".to_owned();
    }
    let told = speakers::told(rework);
    let mut lines: Vec<String> =
        told.iter().enumerate().map(|(index, step)| format!("  {}. {step}", index + 1)).collect();
    let least = if rework.is_least {
        "no way takes fewer"
    } else {
        "the search was cut short; a shorter way may exist"
    };
    lines.push(format!("  {} joints; {least}", rework.n_joints));
    lines.join("\n")
}

fn meter(rows: &[MeterRow]) -> String {
    let lines = rows.iter().map(|row| {
        let wrong: Vec<String> =
            row.wrong.iter().map(|(reading, meaning)| format!("      {reading}: {meaning}")).collect();
        let head = format!("  {} to {}: must read {}", row.from, row.to.join(", "), row.expect);
        if wrong.is_empty() { head } else { format!("{head}\n{}", wrong.join("\n")) }
    });
    lines.collect::<Vec<_>>().join("\n")
}
