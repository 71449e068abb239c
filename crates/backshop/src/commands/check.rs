//! `check`: what is wrong or open with work orders.

use std::path::PathBuf;

use clap::Args;
use finding::Severity;
use serde_json::json;
use shop::{CheckedOrder, Desk, ShopError};

use crate::commands::{Common, Outcome, Output};
use crate::render;

/// Read work orders and say what is wrong or open with each
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Work orders
    #[arg(required = true, value_name = "ORDER")]
    orders: Vec<PathBuf>,
    /// Leave out notes
    #[arg(long)]
    grave: bool,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let mut checked = Vec::new();
    for file in &arguments.orders {
        let desk = Desk::around(file, &common.more_parts)?;
        checked.push(desk.check(file)?);
    }
    if arguments.grave {
        for order in &mut checked {
            order.inspection.findings.retain(|finding| finding.severity != Severity::Note);
        }
    }
    if out.is_json() {
        let orders: Vec<serde_json::Value> = checked.iter().map(render::json::checked_order).collect();
        out.json(&json!({ "orders": orders }));
    } else {
        for order in &checked {
            let text = render::terminal::checked_order(order, out.style());
            out.data(&text);
        }
    }
    Ok(if checked.iter().any(has_something_to_mend) { Outcome::ToMend } else { Outcome::Well })
}

fn has_something_to_mend(order: &CheckedOrder) -> bool {
    order
        .inspection
        .findings
        .iter()
        .any(|finding| matches!(finding.severity, Severity::Stop | Severity::Rework))
}
