//! The commands, one a file.

mod card;
mod check;
mod choose;
mod completions;
mod demo;
mod explain;
mod listen;
mod parts;
mod program;
mod schema;
mod serve;
mod settings;
mod shop_file;
mod sound;

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};
use shop::{ShopError, Task};

use crate::render::{self, Style};

/// The bench companion for fitting digital sound to model locomotives. Without a command it opens the shop in the browser.
#[derive(Debug, Parser)]
#[command(name = "backshop", version, propagate_version = true, max_term_width = 110)]
pub(crate) struct CommandLine {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    serve: serve::Arguments,
    #[command(flatten)]
    common: Common,
}

/// What every command takes.
#[derive(Debug, Clone, Args)]
pub(crate) struct Common {
    /// How answers are written
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// A folder with more part sheets; may be given more than once
    #[arg(long = "parts", global = true, value_name = "FOLDER")]
    more_parts: Vec<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people
    Text,
    /// For machines: one JSON document on standard output
    Json,
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(check::Arguments),
    Settings(settings::Arguments),
    Sound(sound::Arguments),
    Listen(listen::Arguments),
    Choose(choose::Arguments),
    /// Program the decoder of a work order and prove it by reading back; goes on where it was cut off
    Program(program::Arguments),
    /// Compare a decoder with its work order; writes nothing
    Prove(program::Arguments),
    /// Bring a decoder back to what it held before it was programmed
    Undo(program::Arguments),
    Card(card::Arguments),
    Demo(demo::Arguments),
    Explain(explain::Arguments),
    Sheets(parts::Arguments),
    Shop(shop_file::Arguments),
    Schema(schema::Arguments),
    Completions(completions::Arguments),
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// All is well.
    Well,
    /// Done, and there is something to mend.
    ToMend,
    /// It could not be done, and why was told already.
    CouldNot,
}

/// Runs a command and tells its exit code.
pub(crate) fn run(line: CommandLine) -> ExitCode {
    let mut out = Output::new(line.common.format);
    let Some(command) = line.command else {
        return ended(serve::run(&line.serve, &mut out), &mut out);
    };
    if line.serve.is_given() {
        out.talk("--shop, --lan and --port before a command: they go with no command, or with `demo` and `shop` behind it");
        return ExitCode::from(2);
    }
    let outcome = match command {
        Command::Check(arguments) => check::run(&arguments, &line.common, &mut out),
        Command::Settings(arguments) => settings::run(&arguments, &line.common, &mut out),
        Command::Sound(arguments) => sound::run(&arguments, &line.common, &mut out),
        Command::Listen(arguments) => listen::run(&arguments, &line.common, &mut out),
        Command::Choose(arguments) => choose::run(&arguments, &line.common, &mut out),
        Command::Program(arguments) => program::run(&arguments, Task::Program, &line.common, &mut out),
        Command::Prove(arguments) => program::run(&arguments, Task::Prove, &line.common, &mut out),
        Command::Undo(arguments) => program::run(&arguments, Task::Undo, &line.common, &mut out),
        Command::Demo(arguments) => demo::run(&arguments, &mut out),
        Command::Card(arguments) => card::run(&arguments, &line.common, &mut out),
        Command::Explain(arguments) => explain::run(&arguments, &mut out),
        Command::Sheets(arguments) => parts::run(&arguments, &line.common, &mut out),
        Command::Shop(arguments) => shop_file::run(&arguments, &mut out),
        Command::Schema(arguments) => schema::run(&arguments, &mut out),
        Command::Completions(arguments) => completions::run(&arguments, &mut out),
    };
    ended(outcome, &mut out)
}

fn ended(outcome: Result<Outcome, ShopError>, out: &mut Output) -> ExitCode {
    match outcome {
        Ok(Outcome::Well) => ExitCode::SUCCESS,
        Ok(Outcome::ToMend) => ExitCode::from(1),
        Ok(Outcome::CouldNot) => ExitCode::from(2),
        Err(error) => {
            out.error(&error);
            ExitCode::from(2)
        }
    }
}

/// Where commands write: data to standard output, talk to standard error.
#[derive(Debug)]
pub(crate) struct Output {
    format: Format,
    style: Style,
}

impl Output {
    fn new(format: Format) -> Self {
        Self { format, style: Style::of_terminal() }
    }

    pub(crate) fn is_json(&self) -> bool {
        self.format == Format::Json
    }

    pub(crate) fn style(&self) -> Style {
        self.style
    }

    /// Data. A reader that has gone away (`| head`) is no reason to complain.
    pub(crate) fn data(&mut self, text: &str) {
        let mut stdout = std::io::stdout().lock();
        if writeln!(stdout, "{text}").and_then(|()| stdout.flush()).is_err() {
            std::process::exit(0);
        }
    }

    pub(crate) fn json(&mut self, value: &serde_json::Value) {
        self.data(&format!("{value:#}"));
    }

    /// Talk: what goes on beside the data.
    pub(crate) fn talk(&mut self, text: &str) {
        // Nobody to talk to is no reason to stop the work.
        let _ = writeln!(std::io::stderr().lock(), "{text}");
    }

    fn error(&mut self, error: &ShopError) {
        if self.is_json() {
            self.json(&render::json::error(error));
        } else {
            let text = render::terminal::error(error, self.style);
            self.talk(&text);
        }
    }
}
