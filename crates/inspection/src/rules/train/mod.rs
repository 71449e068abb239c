//! Running with others.

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[];
