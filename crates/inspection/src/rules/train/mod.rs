//! Running with others.
//!
//! A train is a document of its own; findings point at the order of the unit that is looked at, and tell in their reasons
//! what the train and the other orders say.

mod consist_address_differs;
mod consist_address_taken;
mod consist_direction_differs;
mod consist_functions_not_set;
mod decoder_has_no_consist_address;
mod head_end_power_from_lead_unit;
mod head_end_power_from_two_units;
mod head_end_power_while_another_supplies;
mod key_beyond_consist_mask;
mod key_means_two_things;
mod momentum_differs;
mod nobody_powers_the_train;
mod speed_steps_differ;
mod train_power_without_source;
mod units_share_an_address;
mod units_share_one_recording;

use workorder::{Unit, WorkOrder};

use crate::answers::{Answers, UnitAnswer};
use crate::job::{Job, TrainPlace};
use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[
    &decoder_has_no_consist_address::RULE,
    &consist_address_differs::RULE,
    &consist_direction_differs::RULE,
    &consist_address_taken::RULE,
    &units_share_an_address::RULE,
    &speed_steps_differ::RULE,
    &momentum_differs::RULE,
    &nobody_powers_the_train::RULE,
    &train_power_without_source::RULE,
    &head_end_power_from_two_units::RULE,
    &head_end_power_from_lead_unit::RULE,
    &head_end_power_while_another_supplies::RULE,
    &consist_functions_not_set::RULE,
    &key_beyond_consist_mask::RULE,
    &key_means_two_things::RULE,
    &units_share_one_recording::RULE,
];

/// The unit that the job's order is for.
fn own_unit<'a>(place: &TrainPlace<'a>) -> Option<&'a Unit> {
    place.train.unit.get(place.index)
}

/// The answers for the job's own unit.
fn own<'a>(job: &Job<'_>, answers: &'a Answers) -> Option<&'a UnitAnswer> {
    answers.train.get(job.train?.index)?.as_ref()
}

/// The answers for the other units of the train whose orders are at hand.
fn others<'a>(job: &Job<'_>, answers: &'a Answers) -> impl Iterator<Item = &'a UnitAnswer> {
    let own = job.train.map(|place| place.index);
    answers
        .train
        .iter()
        .enumerate()
        .filter(move |(index, _)| Some(*index) != own)
        .filter_map(|(_, unit)| unit.as_ref())
}

/// The orders of the other units that are at hand.
fn other_orders<'a>(job: &Job<'a>) -> impl Iterator<Item = &'a WorkOrder> {
    let place = job.train;
    let own = place.map(|place| place.index);
    place
        .into_iter()
        .flat_map(|place| place.orders)
        .enumerate()
        .filter(move |(index, _)| Some(*index) != own)
        .filter_map(|(_, order)| *order)
}
