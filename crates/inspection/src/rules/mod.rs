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

/// Things in a row as people say them: "V-0033, V-0034 and V-0037".
fn listed<T: ToString>(things: &[T]) -> String {
    joined(things, "and")
}

/// Things to choose from as people say them: "F1, F2 or F3".
fn one_of<T: ToString>(things: &[T]) -> String {
    joined(things, "or")
}

fn joined<T: ToString>(things: &[T], last_joint: &str) -> String {
    let words: Vec<String> = things.iter().map(ToString::to_string).collect();
    match words.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} {last_joint} {last}", others.join(", ")),
        None => String::new(),
    }
}
