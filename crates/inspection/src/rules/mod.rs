//! The rules, one a file, by the stage of the work.

mod contact;
mod plan;
mod speakers;
mod survey;
mod train;
mod voice;

use crate::rule::Rule;

/// Every rule, in the order of the work.
pub fn rules() -> impl Iterator<Item = &'static Rule> + Clone {
    [survey::RULES, plan::RULES, speakers::RULES, contact::RULES, voice::RULES, train::RULES]
        .into_iter()
        .flatten()
        .copied()
}
