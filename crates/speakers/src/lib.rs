//! The speakers of a job: where circuit and sound meet.
//!
//! What it is: documents and sheets turned into circuits of real drivers in their boxes, and what follows: the load at the
//! amplifier, each speaker's power and travel, the highest safe level, the level on axis, which cones move together, the
//! best wiring with the fewest joints to change, what the meter must read, and the sound itself.
//! What it is not: a judge (the rules are) or a view. No files, no clock.

#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod amplified;
mod choice;
mod hear;
mod meter;
mod placed;
mod proposal;
mod sounding;
mod wiring;

#[cfg(test)]
mod tests;

pub use amplified::Amplified;
pub use choice::{ChoiceRow, choices};
pub use hear::{HearError, Loudness, response, sample_of, through};
pub use meter::{MeterRow, meter_card_of, meter_rows};
pub use placed::{Assumption, BoxFacts, Placed, PlacedError};
pub use proposal::{Proposals, joined_sets, rework_to, rework_to_plan, told};
pub use sounding::{BandLevel, OpposedPair, SafeLevel, Sounding, SpeakerAnswer};
pub use wiring::{Wiring, WiringError, WiringState};
