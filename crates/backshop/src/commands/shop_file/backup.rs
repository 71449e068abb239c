//! `shop backup`: a copy of the shop's file while it is in use.

use std::path::PathBuf;

use clap::Args;
use shop::{ShopError, Store};

use super::tell_file;
use crate::commands::{Outcome, Output};

/// Copy the shop's file while it is in use, and verify the copy
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The backup, a new file
    #[arg(value_name = "BACKUP")]
    backup: PathBuf,
}

pub(crate) fn run(arguments: &Arguments, store: &Store, out: &mut Output) -> Result<Outcome, ShopError> {
    // A copy that is not sound is an error, and is not kept.
    store.back_up(&arguments.backup)?;
    out.talk("the copy was read back and is sound");
    tell_file("backup", &arguments.backup, out);
    Ok(Outcome::Well)
}
