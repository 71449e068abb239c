//! `card`: the printed sheet of a work order.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde_json::json;
use shop::{Desk, PaperSize, ShopError};

use crate::commands::{Common, Outcome, Output};

/// Write the card of a work order: a page that prints on A4 and Letter, or a PDF
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The work order
    #[arg(value_name = "ORDER")]
    order: PathBuf,
    /// The file; named after the order when left out
    #[arg(long, value_name = "FILE")]
    to: Option<PathBuf>,
    /// Write a PDF, printed by an installed browser of the Chromium family
    #[arg(long)]
    pdf: bool,
    /// The paper; the printer's own when left out, A4 for a PDF
    #[arg(long, value_enum)]
    paper: Option<Paper>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Paper {
    /// 210 × 297 mm
    A4,
    /// 8.5 × 11 in
    Letter,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    let desk = Desk::around(&arguments.order, &common.more_parts)?;
    let checked = desk.check(&arguments.order)?;
    let extension = if arguments.pdf { "pdf" } else { "html" };
    let file = arguments
        .to
        .clone()
        .unwrap_or_else(|| PathBuf::from(format!("{}.{extension}", checked.document.value.order.number)));
    let size = match arguments.paper {
        Some(Paper::A4) => PaperSize::A4,
        Some(Paper::Letter) => PaperSize::Letter,
        None if arguments.pdf => PaperSize::A4,
        None => PaperSize::AsPrinter,
    };
    if arguments.pdf {
        shop::write_card_pdf(&desk, &checked, None, size, &file)?;
    } else {
        shop::write_card(&desk, &checked, None, size, &file)?;
    }
    if out.is_json() {
        out.json(&json!({ "card": file.display().to_string() }));
    } else {
        out.data(&file.display().to_string());
    }
    Ok(Outcome::Well)
}
