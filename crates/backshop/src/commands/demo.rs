//! `demo`: the whole job on the Vesper Lake scenario.

use std::path::{Path, PathBuf};

use clap::Args;
use finding::Severity;
use serde_json::json;
use shop::{CheckedOrder, Desk, Pace, PaperSize, Place, RunOutcome, ShopError, Store, Task};

use crate::commands::program::{now, with_progress};
use crate::commands::serve::{Door, serve};
use crate::commands::{Outcome, Output};

/// Do the whole job on the demo: check every work order, program and prove each on the virtual bench, write the cards; then open
/// the demo's shop in the browser
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Where the demo's documents and cards go
    #[arg(long, default_value = "demo-shop", value_name = "FOLDER")]
    to: PathBuf,
    /// End after the run; without it the demo's shop is opened in the browser
    #[arg(long)]
    no_serve: bool,
    #[command(flatten)]
    door: Door,
}

/// What became of one order.
struct Done {
    checked: CheckedOrder,
    run: Option<RunOutcome>,
    card: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, out: &mut Output) -> Result<Outcome, ShopError> {
    let laid_out = shop::lay_out_demo(&arguments.to)?;
    let folder = &arguments.to;
    if !out.is_json() {
        out.data(&format!(
            "The Vesper Lake Railway and its night mail, all invented, laid out in {}",
            folder.display()
        ));
        for kept in &laid_out.kept {
            out.data(&format!("  {} was changed since; left as it is", kept.display()));
        }
        out.data("");
    }
    let desk = Desk::open(folder, &[])?;
    let mut all = Vec::new();
    for file in desk.order_files()? {
        let done = one(&desk, &file, folder)?;
        if !out.is_json() {
            out.data(&told(&done));
        }
        all.push(done);
    }
    let is_well = all.iter().all(|done| done.run.as_ref().is_none_or(|run| run.report.is_fulfilled()));
    if out.is_json() {
        let orders: Vec<serde_json::Value> = all.iter().map(as_json).collect();
        out.json(&json!({ "folder": folder.display().to_string(), "orders": orders }));
    } else {
        out.data(&format!(
            "\nThe cards are in {}: open them in a browser and print them.",
            folder.join("cards").display()
        ));
        out.data(&format!(
            "Try next: backshop sound {}",
            folder.join("orders").join("V-0031.toml").display()
        ));
    }
    // A script that wants one document has no use for a page.
    if !arguments.no_serve && !out.is_json() {
        out.data("");
        return Ok(serve(demo_shop(folder)?, arguments.door, out));
    }
    Ok(if is_well { Outcome::Well } else { Outcome::ToMend })
}

/// The demo's shop, beside its documents. A new one is filled, and each order that nothing holds is programmed and proven in it.
fn demo_shop(folder: &Path) -> Result<Store, ShopError> {
    const BY: &str = "the demo";
    let store = Store::open(&folder.join("demo.backshop"))?;
    if !store.is_empty()? {
        return Ok(store);
    }
    store.fill_demo(BY)?;
    let everything = shop::BoardQuestion { lane: None, skip: 0, limit: usize::from(u16::MAX) };
    for row in store.board(&everything)?.rows {
        let view = store.order(&row.number)?;
        if view.checked.is_some_and(|checked| checked.stops().is_empty()) {
            let run = store.start_run(&row.number, Task::Program, Pace::Unpaced, BY)?;
            store.wait_for_run(run)?;
        }
    }
    Ok(store)
}

fn one(desk: &Desk, file: &Path, folder: &Path) -> Result<Done, ShopError> {
    let checked = desk.check(file)?;
    let run = if checked.stops().is_empty() {
        Some(with_progress(desk, &checked, Task::Program, &Place::usual(desk, &checked))?)
    } else {
        None
    };
    let card = folder.join("cards").join(format!("{}.html", checked.document.value.order.number));
    let facts = run.as_ref().map(|run| run.proof_facts(&now()));
    shop::write_card(desk, &checked, facts.as_ref(), PaperSize::AsPrinter, &card)?;
    Ok(Done { checked, run, card })
}

fn told(done: &Done) -> String {
    let head = &done.checked.document.value.order;
    let count = |severity| {
        done.checked.inspection.findings.iter().filter(|finding| finding.severity == severity).count()
    };
    let counts: Vec<String> = Severity::ALL
        .iter()
        .filter(|severity| count(**severity) > 0)
        .map(|severity| format!("{} {severity}", count(*severity)))
        .collect();
    let findings = if counts.is_empty() { "nothing to mend".to_owned() } else { counts.join(", ") };
    let rest = match &done.run {
        None => {
            let stops: Vec<String> = done
                .checked
                .stops()
                .iter()
                .map(|stop| format!("           held: {} [{}]", stop.headline, stop.rule))
                .collect();
            stops.join("\n")
        }
        Some(run) => {
            let report = &run.report;
            let n_met = report.targets.iter().filter(|target| target.verdict == track::Verdict::Met).count();
            let proof = if report.is_fulfilled() { "proven" } else { "NOT PROVEN" };
            format!(
                "           {n_met} of {} settings {proof}; {}",
                report.targets.len(),
                shop::rail_time(report)
            )
        }
    };
    format!(
        "{:<10} {}: {findings}\n{rest}\n           card {}",
        head.number.to_string(),
        head.model,
        done.card.display()
    )
}

fn as_json(done: &Done) -> serde_json::Value {
    json!({
        "order": done.checked.document.value.order.number.as_str(),
        "held": done.run.is_none(),
        "run": done.run.as_ref().map(crate::render::run::report_json),
        "card": done.card.display().to_string(),
    })
}
