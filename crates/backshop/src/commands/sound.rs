//! `sound`: what the speakers of a work order will do, and how to get there.

use std::path::PathBuf;

use clap::Args;
use shop::{Desk, ShopError};

use crate::commands::{Common, Outcome, Output};
use crate::render;

/// Compute the speakers of a work order: load, power, travel, level, the best wiring and what the meter must read
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let report = shop::sound_report(&desk, &checked);
    if out.is_json() {
        out.json(&render::sound_json::report(&report));
    } else {
        out.data(&render::sound::report(&report));
    }
    let is_computed = |wiring: &Option<Result<shop::WiringReport, _>>| {
        wiring.as_ref().is_none_or(|report: &Result<shop::WiringReport, _>| {
            report.as_ref().is_ok_and(|report| report.sounding.is_ok())
        })
    };
    Ok(if is_computed(&report.planned) { Outcome::Well } else { Outcome::ToMend })
}
