//! `shop archive`: the whole shop in one file.

use std::path::PathBuf;

use clap::Args;
use shop::{ShopError, Store};

use super::tell_file;
use crate::commands::{Outcome, Output};

/// Write the whole shop, with every revision, run, snapshot and photo, into one archive
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The archive, a new file
    #[arg(value_name = "ARCHIVE")]
    archive: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    let counts = store.write_archive(&arguments.archive)?;
    out.talk(&format!(
        "{} documents in {} revisions, {} runs, {} snapshots, {} photos",
        counts.documents, counts.revisions, counts.runs, counts.snapshots, counts.photos
    ));
    tell_file("archive", &arguments.archive, out);
    Ok(Outcome::Well)
}
