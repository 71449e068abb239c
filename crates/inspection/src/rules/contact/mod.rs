//! What first contact showed.

use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[];
