//! `completions`: for shells.

use clap::{Args, CommandFactory};
use clap_complete::Shell;
use shop::ShopError;

use crate::commands::{CommandLine, Outcome, Output};

/// Print the completions of a shell
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

pub(crate) fn run(arguments: &Arguments, out: &mut Output) -> Result<Outcome, ShopError> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut CommandLine::command(), "backshop", &mut script);
    out.data(String::from_utf8_lossy(&script).trim_end());
    Ok(Outcome::Well)
}
