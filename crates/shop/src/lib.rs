//! The use cases, in the practitioner's words: plain data in, plain data out.
//!
//! What it is: the one room that joins documents, engine, track and paper, and that reads and writes files. Command line
//! and bench sheet call it and draw what it returns, so that the two cannot drift apart.
//! What it is not: a view. It prints nothing and knows no arguments, no HTML and no terminal.

mod card;
mod demo;
mod desk;
mod drawing;
mod error;
mod files;
mod program;
mod settings;
mod sound;

pub use card::{ProofFacts, card_of, write_card};
pub use demo::{DemoFolder, lay_out_demo};
pub use desk::{CheckedOrder, Desk, TrainMembership, read_sheet_file};
pub use error::ShopError;
pub use program::{Place, RunOutcome, Task, rail_time, run_on_bench};
pub use settings::{SettingRow, setting_rows};
pub use sound::{Recording, SoundReport, WiringReport, listen, part_choice, sound_report};
