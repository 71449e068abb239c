//! `sheets`: the part sheets at hand.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use shop::{Desk, ShopError};

use crate::commands::{Common, Outcome, Output};

/// List the part sheets at hand, or check sheets by file
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// A folder of documents, for its own sheets beside the standard ones
    #[arg(long, default_value = ".", value_name = "FOLDER")]
    folder: PathBuf,
    /// Sheets to read and check
    #[arg(value_name = "SHEET")]
    sheets: Vec<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments, common: &Common, out: &mut Output) -> Result<Outcome, ShopError> {
    if !arguments.sheets.is_empty() {
        for file in &arguments.sheets {
            let sheet = shop::read_sheet_file(file)?;
            let part = sheet.value.part();
            out.talk(&format!("{}: {} `{}` is sound", file.display(), part.kind, part.name));
        }
        return Ok(Outcome::Well);
    }
    let desk = Desk::open(&arguments.folder, &common.more_parts)?;
    if out.is_json() {
        let parts: Vec<serde_json::Value> = desk
            .shelf
            .parts()
            .map(|part| json!({ "name": part.name.as_str(), "kind": part.kind.word(), "title": part.title, "source": part.source }))
            .collect();
        out.json(&json!({ "parts": parts }));
    } else {
        let widest = desk.shelf.parts().map(|part| part.name.as_str().chars().count()).max().unwrap_or(0);
        let lines: Vec<String> = desk
            .shelf
            .parts()
            .map(|part| format!("{:<11} {:<widest$}  {}", part.kind.word(), part.name.as_str(), part.title))
            .collect();
        out.data(&lines.join("\n"));
    }
    Ok(Outcome::Well)
}
