//! `shop board`: what every order waits for.

use clap::Args;
use serde_json::json;
use shop::{BoardQuestion, BoardRow, Lane, ShopError, Store};

use crate::commands::{Outcome, Output};

/// Show what every order waits for
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Also show orders that are handed over
    #[arg(long)]
    all: bool,
}

pub(crate) fn run(arguments: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    // Lines that another program left to be computed are waited for, so that what is shown is so.
    store.settle();
    let all = |lane| BoardQuestion { lane, skip: 0, limit: usize::MAX };
    let mut rows = store.board(&all(None))?.rows;
    if arguments.all {
        rows.extend(store.board(&all(Some(Lane::HandedOver)))?.rows);
    }
    if out.is_json() {
        let orders: Vec<serde_json::Value> = rows.iter().map(as_json).collect();
        out.json(&json!({ "orders": orders }));
        return Ok(Outcome::Well);
    }
    if rows.is_empty() {
        out.talk("there is no order on the board");
    }
    let widest =
        |text: fn(&BoardRow) -> String| rows.iter().map(|row| text(row).chars().count()).max().unwrap_or(0);
    let (numbers, lanes) = (widest(|row| row.number.clone()), widest(|row| lane(row.lane)));
    for row in &rows {
        let [stops, reworks, opens, _] = row.n_findings;
        out.data(&format!(
            "{:<numbers$}  {:<lanes$}  {}  ({stops} stop, {reworks} rework, {opens} open)",
            row.number,
            lane(row.lane),
            row.model
        ));
    }
    Ok(Outcome::Well)
}

fn lane(lane: Lane) -> String {
    match lane {
        Lane::Waits(for_what) => format!("waits for {for_what}"),
        Lane::HandedOver => "handed over".to_owned(),
    }
}

fn as_json(row: &BoardRow) -> serde_json::Value {
    let [stops, reworks, opens, notes] = row.n_findings;
    json!({
        "order": row.number,
        "model": row.model,
        "waits-for": match row.lane {
            Lane::Waits(for_what) => Some(for_what.word()),
            Lane::HandedOver => None,
        },
        "handed-over": row.lane == Lane::HandedOver,
        "stops": stops,
        "reworks": reworks,
        "opens": opens,
        "notes": notes,
    })
}
