//! Speaker networks as found and as planned.

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[];
