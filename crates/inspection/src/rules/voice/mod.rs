//! Address, sounds, levels, keys, momentum.

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[];
