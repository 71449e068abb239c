//! `card`: the printed sheet of a work order.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use shop::{Desk, ShopError};

use crate::commands::{Common, Outcome, Output};

/// Write the card of a work order: a page that prints on A4 and Letter
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
    /// The file; named after the order when left out
    #[arg(long, value_name = "FILE")]
    to: Option<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let file = arguments
        .to
        .clone()
        .unwrap_or_else(|| PathBuf::from(format!("{}.html", checked.document.value.order.number)));
    shop::write_card(&desk, &checked, None, &file)?;
    if out.is_json() {
        out.json(&json!({ "card": file.display().to_string() }));
    } else {
        out.data(&file.display().to_string());
    }
    Ok(Outcome::Well)
}
