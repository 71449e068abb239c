//! What a wiring of the speakers does: load, each speaker's share, the safe level, cones together or opposed.

use electrics::{Condition, LoadVerdict};
use maud::{Markup, html};
use quantities::Gain;
use shop::{SoundReport, WiringReport};
use speakers::{OpposedPair, Proposals, Sounding, SpeakerAnswer, WiringError};

use super::{list, nothing, told};
use crate::words::rounded;

/// The answers of one wiring.
pub(in crate::order) fn wiring(report: &Result<WiringReport, WiringError>) -> Markup {
    let report = match report {
        Ok(report) => report,
        Err(error) => return nothing(&format!("The speakers cannot be computed yet: {error}.")),
    };
    let sounding = match &report.sounding {
        Ok(sounding) => sounding,
        Err(reason) => return nothing(&format!("The speakers cannot be computed: {reason}.")),
    };
    let mut rows = vec![("Load", load(sounding))];
    if let Some(safe) = &sounding.safe {
        let rests_on =
            format!("{} against full level; first limit: {}", rounded(safe.below_full), safe.limit);
        rows.push(("Safe level", told(rounded(safe.voltage), rests_on)));
    }
    if sounding.speakers.len() > 1 {
        rows.push(("Cones", cones(report, sounding)));
    }
    html! {
        (list(&rows))
        (shares(&sounding.speakers))
        (assumed(report))
    }
}

fn load(sounding: &Sounding) -> Markup {
    let Some(nominal) = sounding.nominal else { return html! { "nothing is connected" } };
    let least = sounding.least.as_ref().map_or_else(String::new, |least| {
        format!("least {} at {}", rounded(least.modulus), rounded(least.at))
    });
    let verdict = match &sounding.verdict {
        Some(LoadVerdict::Fits) => "the amplifier stands it".to_owned(),
        Some(LoadVerdict::NominalTooLow { least, .. }) => format!("the amplifier wants {least} at least"),
        Some(LoadVerdict::DipsTooLow { least, .. }) => format!("it dips below {least}"),
        None => String::new(),
    };
    let rests_on: Vec<String> = [least, verdict].into_iter().filter(|words| !words.is_empty()).collect();
    told(rounded(nominal), rests_on.join("; "))
}

fn cones(report: &WiringReport, sounding: &Sounding) -> Markup {
    let name = |id: &electrics::ElementId| {
        let place = report.wiring.elements.iter().position(|element| element == id);
        place.map_or("", |place| report.wiring.speakers[place].name.as_str())
    };
    let unknown: Vec<&str> = sounding.polarity.unknown.iter().map(name).collect();
    html! {
        @if sounding.opposed.is_empty() { "all that are known move together" }
        @for (index, pair) in sounding.opposed.iter().enumerate() {
            @if index > 0 { "; " }
            b { (pair.one) " fights " (pair.other) } ", " (rounded(pair.spacing)) " apart"
            @if let Some(worst) = worst_loss(pair) {
                small { "up to " (rounded(worst)) " of radiated power" }
            }
        }
        @if !unknown.is_empty() { small { "polarity of " (unknown.join(", ")) " is unknown" } }
    }
}

/// The most that two opposed cones cost in any band.
fn worst_loss(pair: &OpposedPair) -> Option<Gain> {
    let losses = pair.losses.iter().map(|loss| loss.against_in_phase);
    losses.reduce(|worst, next| if next < worst { next } else { worst })
}

fn shares(speakers: &[SpeakerAnswer]) -> Markup {
    html! {
        table class="shares" {
            caption { "Each speaker at the amplifier's full level" }
            thead { tr {
                th scope="col" { "speaker" }
                th scope="col" { "power" }
                th scope="col" { "travel" }
            } }
            tbody {
                @for speaker in speakers {
                    tr {
                        th scope="row" { (speaker.name) }
                        @match silence(speaker.condition) {
                            Some(why) => { td colspan="2" { (why) } }
                            None => {
                                td { (rounded(speaker.power)) small { "rated " (speaker.rating) } }
                                td {
                                    @if let Some((travel, at)) = &speaker.most_travel {
                                        (rounded(travel)) " at " (rounded(at))
                                        small { "stands " (rounded(speaker.linear_travel)) }
                                    } @else { "–" }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Why a speaker is silent; none for one that sounds.
fn silence(condition: Condition) -> Option<&'static str> {
    match condition {
        Condition::Driven => None,
        Condition::OpenEnded => Some("silent: one end leads nowhere"),
        Condition::NotConnected => Some("silent: not connected"),
        Condition::ShortCircuited => Some("silent: its leads are joined"),
    }
}

fn assumed(report: &WiringReport) -> Markup {
    html! {
        @if !report.assumed.is_empty() {
            details class="assumed" {
                summary { "What had to be assumed" }
                ul class="plain" {
                    @for (names, assumption) in &report.assumed {
                        li {
                            (names.join(", ")) ": " (assumption.what) " " b { (assumption.taken) }
                            small { (assumption.rule) }
                        }
                    }
                }
            }
        }
    }
}

/// The joints to change from what was found to the plan, as steps of a manual.
pub(in crate::order) fn steps(report: &SoundReport) -> Markup {
    let Some(rework) = &report.to_plan else { return html! {} };
    html! {
        h4 { "From what was found to the plan" }
        @if rework.steps.is_empty() {
            p { "Nothing to change." }
        } @else {
            ol class="steps" { @for step in speakers::told(rework) { li { (step) } } }
            p class="soft" {
                (rework.n_joints) " joints; "
                @if rework.is_least {
                    "no way takes fewer."
                } @else {
                    "the search was cut short, a shorter way may exist."
                }
            }
        }
    }
}

/// The arrangements of the speakers at hand, best first.
pub(in crate::order) fn arrangements(proposals: &Proposals) -> Markup {
    const SHOWN: usize = 5;
    html! {
        details {
            summary { "Every way to wire these speakers, best first" }
            div class="wide" { table {
                thead { tr {
                    th scope="col" { "wiring" }
                    th scope="col" { "load" }
                    th scope="col" { "level at 1 m" }
                    th scope="col" { "verdict" }
                } }
                tbody {
                    @for one in proposals.ranked.iter().take(SHOWN) {
                        tr {
                            th scope="row" { (proposals.in_signs(one)) }
                            td { (rounded(one.nominal)) }
                            td { (rounded(one.level)) }
                            td { @match one.verdict {
                                LoadVerdict::Fits if !one.is_within_ratings() => "overloads a speaker",
                                LoadVerdict::Fits if !one.is_even => "one speaker drowns another",
                                LoadVerdict::Fits => "fits",
                                _ => "too low for the amplifier",
                            } }
                        }
                    }
                }
            } }
            @if proposals.ranked.len() > SHOWN {
                p class="soft" { "and " (proposals.ranked.len() - SHOWN) " more" }
            }
            p class="soft" { "+ is in series, ∥ is in parallel." }
        }
    }
}
