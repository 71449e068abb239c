//! `shop unpack`: a shop from an archive.

use std::path::{Path, PathBuf};

use clap::Args;
use shop::{ShopError, Store};

use super::tell_file;
use crate::commands::{Outcome, Output};

/// Make a new shop from an archive: name its file with `--shop`
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The archive
    #[arg(value_name = "ARCHIVE")]
    archive: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, new_shop: &Path, out: &mut Output) -> Result<Outcome, ShopError> {
    let store = Store::from_archive(&arguments.archive, new_shop)?;
    store.settle();
    tell_file("shop", new_shop, out);
    Ok(Outcome::Well)
}
