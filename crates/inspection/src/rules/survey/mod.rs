//! What was found and measured.

mod motor_not_isolated;

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[&motor_not_isolated::RULE];
