//! Decoder, lamps, supply and fit as planned.

mod stall_current_above_rating;

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[&stall_current_above_rating::RULE];
