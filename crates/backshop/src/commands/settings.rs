//! `settings`: the CVs that fulfil the wishes of a work order.

use std::path::PathBuf;

use clap::Args;
use cvplan::Image;
use serde_json::json;
use shop::{Desk, ShopError, setting_rows};

use crate::commands::{Common, Outcome, Output};
use crate::render;

/// List the settings that fulfil the wishes of a work order, with the reason for each
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let Some(settlement) = &checked.inspection.answers.settlement else {
        if out.is_json() {
            out.json(&json!({ "settings": null, "reason": "the order names no decoder" }));
        } else {
            out.talk("the order names no decoder: add `decoder = \"…\"` to [plan]");
        }
        return Ok(Outcome::ToMend);
    };
    let rows = setting_rows(settlement, &Image::new());
    if out.is_json() {
        out.json(&json!({ "settings": rows.iter().map(render::json::setting).collect::<Vec<_>>() }));
    } else {
        out.data(&render::terminal::settings(&rows));
    }
    Ok(if settlement.gaps.is_empty() { Outcome::Well } else { Outcome::ToMend })
}
