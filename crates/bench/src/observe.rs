//! Observation: what a person at the bench sees and hears at one moment.
//!
//! What it is: speed, direction, lamps, sounds, and whether anything is alive at all.
//! What it is not: CVs or packets; nobody sees those.

use dcc::Direction;

use crate::lamps::{LampSeen, OutputSeen};
use crate::voice::Heard;

/// What a person sees and hears.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// Whether the decoder lives: rails or keep-alive feed it.
    pub is_alive: bool,
    /// How fast it runs, 0 to 1 of its full speed.
    pub speed: f64,
    /// Which way it runs, or would run, as seen from its own front.
    pub direction: Direction,
    /// The outputs of the decoder.
    pub outputs: Vec<OutputSeen>,
    /// The lamps.
    pub lamps: Vec<LampSeen>,
    /// What is heard; nothing where no speaker gets anything.
    pub heard: Heard,
}

impl Observation {
    /// Whether a lamp is lit; no for one that is not there.
    #[must_use]
    pub fn is_lit(&self, lamp: &str) -> bool {
        self.lamps.iter().any(|seen| seen.name.as_str() == lamp && seen.is_lit)
    }

    /// Whether an output is on; no for one that is not there.
    #[must_use]
    pub fn is_on(&self, output: &str) -> bool {
        self.outputs.iter().any(|seen| seen.name.as_str() == output && seen.is_on)
    }
}
