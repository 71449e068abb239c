//! What was found and measured.

mod motor_not_isolated;

mod motor_open_or_shorted;

mod rails_bridged;

mod interference_parts_at_motor;
mod old_lighting_board;
mod socket_not_metered;

mod speaker_coil_open_or_shorted;
mod speaker_lead_to_frame;
mod speaker_reading_does_not_match;

use quantities::{MeterReading, Resistance};
use workorder::Survey;

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[
    &motor_not_isolated::RULE,
    &motor_open_or_shorted::RULE,
    &rails_bridged::RULE,
    &interference_parts_at_motor::RULE,
    &old_lighting_board::RULE,
    &socket_not_metered::RULE,
    &speaker_coil_open_or_shorted::RULE,
    &speaker_reading_does_not_match::RULE,
    &speaker_lead_to_frame::RULE,
];

/// Whether the model has a motor: somebody measured something at one.
fn has_motor(survey: &Survey) -> bool {
    survey.stall_current.is_some()
        || survey.running_current.is_some()
        || survey.motor_resistance.is_some()
        || survey.motor_to_frame.is_some()
        || survey.motor_to_rail.is_some()
}

/// Whether a reading says that the resistance is below a limit. "More than 100 ohm" does not say that it is below 1 kohm.
fn is_below(reading: MeterReading, limit_ohms: f64) -> bool {
    reading.greatest().is_some_and(|greatest: Resistance| greatest.as_ohms() < limit_ohms)
}

/// Whether a reading says that the resistance is above a limit, or that there is no connection.
fn is_above(reading: MeterReading, limit_ohms: f64) -> bool {
    match reading {
        MeterReading::Exactly(value) => value.as_ohms() > limit_ohms,
        MeterReading::Above(value) => value.as_ohms() >= limit_ohms,
        MeterReading::Below(_) => false,
        MeterReading::Open => true,
    }
}
