//! `shop export`: every document as a file.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use shop::{ShopError, Store};

use crate::commands::{Outcome, Output};

/// Write every document as a file: orders, trains, parts, dossiers and the virtual bench
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The folder; files of the same name are replaced
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    let written = store.export_folder(&arguments.folder)?;
    let files: Vec<String> = written.iter().map(|file| file.display().to_string()).collect();
    if out.is_json() {
        out.json(&json!({ "written": files }));
    } else {
        for file in &files {
            out.data(file);
        }
    }
    Ok(Outcome::Well)
}
