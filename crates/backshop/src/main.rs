//! The program: parses the command line and dispatches.
//!
//! Exit codes: 0 all is well; 1 the work was done and there is something to mend (a stop or rework finding, a setting
//! that is not proven); 2 it could not be done (unreadable files, faults in documents, a link that failed).

mod commands;
mod render;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    commands::run(commands::CommandLine::parse())
}
