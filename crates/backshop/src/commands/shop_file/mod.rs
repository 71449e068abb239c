//! `shop`: the shop's file from the command line.

mod archive;
mod backup;
mod board;
mod export;
mod find;
mod import;
mod restore;
mod unpack;
mod verify;

use std::path::PathBuf;

use clap::{Args, Subcommand};
use shop::{ShopError, Store};

use crate::commands::{Outcome, Output};

/// Work with the shop's file: the board, a search, documents in and out, archive and backup
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The shop's file; the one in your data folder when left out
    #[arg(long, global = true, value_name = "FILE")]
    shop: Option<PathBuf>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Board(board::Arguments),
    Find(find::Arguments),
    Export(export::Arguments),
    Import(import::Arguments),
    Archive(archive::Arguments),
    Unpack(unpack::Arguments),
    Backup(backup::Arguments),
    Restore(restore::Arguments),
    Verify(verify::Arguments),
}

/// Who changes the shop from here.
const BY: &str = "command line";

pub(crate) fn run(arguments: &Arguments, out: &mut Output) -> Result<Outcome, ShopError> {
    let file = match &arguments.shop {
        Some(file) => file.clone(),
        None => shop::usual_path()?,
    };
    match &arguments.command {
        Command::Board(arguments) => board::run(arguments, &Store::open(&file)?, out),
        Command::Find(arguments) => find::run(arguments, &Store::open(&file)?, out),
        Command::Export(arguments) => export::run(arguments, &Store::open(&file)?, out),
        Command::Import(arguments) => import::run(arguments, &Store::open(&file)?, out),
        Command::Archive(arguments) => archive::run(arguments, &Store::open(&file)?, out),
        Command::Backup(arguments) => backup::run(arguments, &Store::open(&file)?, out),
        Command::Verify(arguments) => verify::run(arguments, &Store::open(&file)?, out),
        Command::Unpack(arguments) => unpack::run(arguments, &file, out),
        Command::Restore(arguments) => restore::run(arguments, &file, out),
    }
}

/// Tells what a command made: the file on a line of its own, for whoever reads it with a program.
fn tell_file(what: &str, file: &std::path::Path, out: &mut Output) {
    if out.is_json() {
        out.json(&serde_json::json!({ what: file.display().to_string() }));
    } else {
        out.data(&file.display().to_string());
    }
}
