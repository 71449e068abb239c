//! `program`, `prove`, `undo`: a decoder is read, written and proven.

use std::path::PathBuf;

use clap::Args;
use indicatif::{ProgressBar, ProgressStyle};
use shop::{CheckedOrder, Desk, PaperSize, Place, RunOutcome, ShopError, Task};
use track::{Event, Part, Progress, Verdict};

use crate::commands::{Common, Outcome, Output};
use crate::render;

/// What the three commands take.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
    /// The locomotive on the virtual bench; `bench/ORDER.toml` of the order's folder when left out
    #[arg(long, value_name = "TRUTH")]
    bench: Option<PathBuf>,
    /// Where journals and the virtual decoder's memory are kept; `runs` of the order's folder when left out
    #[arg(long, value_name = "FOLDER")]
    runs: Option<PathBuf>,
    /// Also write the card, with the proof
    #[arg(long, value_name = "FILE")]
    card: Option<PathBuf>,
}

pub(crate) fn run(
    arguments: &Arguments,
    task: Task,
    common: &Common,
    out: &mut Output,
) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let usual = Place::usual(&desk, &checked);
    let place = Place {
        truth: arguments.bench.clone().unwrap_or(usual.truth),
        runs: arguments.runs.clone().unwrap_or(usual.runs),
    };
    let outcome = with_progress(&desk, &checked, task, &place)?;
    if let Some(file) = &arguments.card {
        shop::write_card(&desk, &checked, Some(&outcome.proof_facts(&now())), PaperSize::AsPrinter, file)?;
        out.talk(&format!("the card is {}", file.display()));
    }
    if out.is_json() {
        out.json(&render::run::report_json(&outcome));
    } else {
        out.data(&render::run::report(&outcome));
    }
    let is_proven = outcome.report.is_fulfilled()
        || (task == Task::Prove
            && outcome.report.targets.iter().all(|target| target.verdict == Verdict::Met));
    Ok(if is_proven { Outcome::Well } else { Outcome::ToMend })
}

/// Runs a task with a bar on standard error, where that is a terminal.
pub(crate) fn with_progress(
    desk: &Desk,
    checked: &CheckedOrder,
    task: Task,
    place: &Place,
) -> Result<RunOutcome, ShopError> {
    let bar = ProgressBar::new(0);
    if let Ok(style) = ProgressStyle::with_template("{prefix:<8} [{bar:30}] {pos}/{len} {msg}") {
        bar.set_style(style.progress_chars("=> "));
    }
    let outcome =
        shop::run_on_bench(desk, checked, task, place, |event, progress| show(&bar, event, progress));
    bar.finish_and_clear();
    outcome
}

fn show(bar: &ProgressBar, event: &Event, progress: Progress) {
    bar.set_prefix(match progress.part {
        Part::Reading => "reading",
        Part::Writing => "writing",
        Part::Proving => "proving",
        Part::Closing | Part::Over => "closing",
    });
    bar.set_length(progress.n_all as u64);
    bar.set_position(progress.n_done as u64);
    if let Event::CvRead { place, .. } | Event::CvWritten { place, .. } | Event::CvProved { place, .. } =
        event
    {
        bar.set_message(place.to_string());
    }
}

/// The time as people write it.
pub(crate) fn now() -> String {
    jiff::ZonedDateTime::now().strftime("%Y-%m-%d %H:%M").to_string()
}
