//! `choose`: which speaker and box suit a work order.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use shop::{Desk, ShopError};

use crate::commands::{Common, Outcome, Output};

/// Rank the speakers and boxes at hand for the decoder and the room of a work order
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let rows = shop::part_choice(&desk, &checked);
    if out.is_json() {
        let rows: Vec<serde_json::Value> = rows
            .iter()
            .map(|row| {
                json!({
                    "speaker": row.speaker,
                    "enclosure": row.enclosure,
                    "usable": row.row.is_usable,
                    "assumed": row.is_assumed,
                    "low-end-hz": row.row.low_end.map(|at| at.as_hertz()),
                    "level-db-a": row.row.level.as_decibels_re_20_micropascal(),
                    "reasons": row.row.reasons.iter().map(ToString::to_string).collect::<Vec<_>>(),
                })
            })
            .collect();
        out.json(&json!({ "choices": rows }));
        return Ok(Outcome::Well);
    }
    if rows.is_empty() {
        out.talk(
            "no speaker of the shelf goes with a box into the room that the survey gives (`speaker-space`)",
        );
        return Ok(Outcome::ToMend);
    }
    let widest = rows.iter().map(|row| row.speaker.len() + row.enclosure.len() + 4).max().unwrap_or(0);
    for (index, row) in rows.iter().enumerate() {
        let pair = format!("{} in {}", row.speaker, row.enclosure);
        let low_end = row.row.low_end.map_or_else(|| "no bass".to_owned(), |at| format!("down to {at}"));
        let assumed = if row.is_assumed { ", usual values assumed" } else { "" };
        let place = if row.row.is_usable { format!("{}.", index + 1) } else { "no".to_owned() };
        out.data(&format!("{place:<3} {pair:<widest$}  {low_end:<15} {} at most{assumed}", row.row.level));
        for reason in &row.row.reasons {
            out.data(&format!("      {reason}"));
        }
    }
    Ok(Outcome::Well)
}
