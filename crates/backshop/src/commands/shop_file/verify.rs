//! `shop verify`: whether the shop's file still holds what was written.

use clap::Args;
use serde_json::json;
use shop::{ShopError, Store};

use crate::commands::{Outcome, Output};

/// Read the whole shop and hold it against what was written
#[derive(Debug, Args)]
pub(crate) struct Arguments {}

pub(crate) fn run(_: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    let verification = store.verify()?;
    let damages: Vec<String> = verification.damages.iter().map(ToString::to_string).collect();
    if out.is_json() {
        out.json(&json!({ "sound": verification.is_sound(), "damages": damages }));
    } else if verification.is_sound() {
        out.data("everything is as it was written");
    } else {
        for damage in &damages {
            out.data(damage);
        }
        out.talk("copy the shop's file to a safe place, and restore the newest sound backup into a new file");
    }
    Ok(if verification.is_sound() { Outcome::Well } else { Outcome::ToMend })
}
