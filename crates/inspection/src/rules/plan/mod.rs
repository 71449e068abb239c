//! Decoder, lamps, supply and fit as planned.

mod no_decoder_chosen;

mod decoder_does_not_fit;
mod socket_and_decoder_do_not_match;
mod socket_contact_overloaded;
mod stall_current_above_rating;
mod total_current_exceeded;
mod track_voltage_too_high;

mod bulb_inrush_too_high;
mod lamp_current_too_high;
mod lamp_not_measured;
mod lamp_resistor_too_hot;
mod lamp_without_resistor;
mod lamps_on_one_output_differ;
mod logic_output_drives_lamp;
mod output_not_at_socket;
mod output_overloaded;

mod keep_alive_inrush;
mod keep_alive_not_supported;
mod keep_alive_voltage_too_low;

mod sound_without_speaker;
mod speaker_without_amplifier;

use finding::{Finding, Path};

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[
    &no_decoder_chosen::RULE,
    &socket_and_decoder_do_not_match::RULE,
    &decoder_does_not_fit::RULE,
    &track_voltage_too_high::RULE,
    &stall_current_above_rating::RULE,
    &total_current_exceeded::RULE,
    &socket_contact_overloaded::RULE,
    &lamp_not_measured::RULE,
    &lamp_without_resistor::RULE,
    &lamp_current_too_high::RULE,
    &lamp_resistor_too_hot::RULE,
    &output_overloaded::RULE,
    &bulb_inrush_too_high::RULE,
    &logic_output_drives_lamp::RULE,
    &output_not_at_socket::RULE,
    &lamps_on_one_output_differ::RULE,
    &keep_alive_not_supported::RULE,
    &keep_alive_voltage_too_low::RULE,
    &keep_alive_inrush::RULE,
    &sound_without_speaker::RULE,
    &speaker_without_amplifier::RULE,
];

/// The names at the ends of paths: `front, tail`.
fn names(paths: &[Path]) -> String {
    let names: Vec<&str> =
        paths.iter().map(|path| path.as_str().rsplit('.').next().unwrap_or_default()).collect();
    names.join(", ")
}

/// Adds every path with one more step as a place.
fn at_each(finding: Finding, paths: &[Path], step: &str) -> Finding {
    paths.iter().fold(finding, |finding, path| finding.at(path.join(step)))
}
