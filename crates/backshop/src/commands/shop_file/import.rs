//! `shop import`: documents from files.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;
use shop::{DocumentKey, ShopError, Store};

use super::BY;
use crate::commands::{Outcome, Output};

/// Take the documents of a folder into the shop; what is there already gets a new revision
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The folder, with `orders`, `trains`, `parts`, `dossiers` and `bench` in it
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    let imported = store.import_folder(&arguments.folder, BY)?;
    store.settle();
    let names = |keys: &[DocumentKey]| -> Vec<String> {
        keys.iter().map(|key| format!("{} {}", key.kind, key.name)).collect()
    };
    let left_out: Vec<(String, &String)> =
        imported.left_out.iter().map(|(file, why)| (file.display().to_string(), why)).collect();
    if out.is_json() {
        let left_out: Vec<serde_json::Value> =
            left_out.iter().map(|(file, why)| json!({ "file": file, "why": why })).collect();
        out.json(&json!({
            "begun": names(&imported.begun),
            "changed": names(&imported.changed),
            "same": names(&imported.same),
            "left-out": left_out,
        }));
    } else {
        for (what, keys) in
            [("new", &imported.begun), ("changed", &imported.changed), ("same", &imported.same)]
        {
            for name in names(keys) {
                out.data(&format!("{what:<8} {name}"));
            }
        }
        for (file, why) in &left_out {
            out.talk(&format!("left out {file}: {why}"));
        }
    }
    Ok(if left_out.is_empty() { Outcome::Well } else { Outcome::ToMend })
}
