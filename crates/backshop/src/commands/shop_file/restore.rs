//! `shop restore`: a shop from a backup.

use std::path::{Path, PathBuf};

use clap::Args;
use shop::{ShopError, Store};

use super::tell_file;
use crate::commands::{Outcome, Output};

/// Make a new shop from a backup: name its file with `--shop`
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The backup
    #[arg(value_name = "BACKUP")]
    backup: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, new_shop: &Path, out: &mut Output) -> Result<Outcome, ShopError> {
    Store::restore_backup(&arguments.backup, new_shop)?;
    out.talk("the shop was read back and is sound");
    tell_file("shop", new_shop, out);
    Ok(Outcome::Well)
}
