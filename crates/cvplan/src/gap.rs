//! Gaps: wishes that a decoder cannot fulfil, with the nearest that it can.

use datasheets::{CvPlace, Deed, Key, LampEffect, VoicePart};
use finding::Path;

/// A wish that a decoder cannot fulfil, wholly or in part.
#[derive(Debug, Clone, PartialEq)]
pub enum Gap {
    /// It has no CV for this at all.
    NoCv {
        /// The wish.
        wish: Path,
        /// What was wished, in words.
        what: String,
        /// The CV that the standard has for it; none where only a sheet could tell.
        place: Option<CvPlace>,
    },
    /// It has no recording that comes near.
    NoSound {
        /// The wish.
        wish: Path,
        /// The part of the voice.
        part: VoicePart,
        /// What was wished, in words.
        wanted: String,
    },
    /// The nearest recording differs.
    NearestSound {
        /// The wish.
        wish: Path,
        /// The part of the voice.
        part: VoicePart,
        /// What was wished, in words.
        wanted: String,
        /// The nearest recording, in words.
        nearest: String,
        /// In what it differs.
        differences: Vec<String>,
    },
    /// A number beyond what the register takes.
    BeyondLimit {
        /// The wish.
        wish: Path,
        /// What was wished, in words.
        wanted: String,
        /// The nearest that the register takes, in words.
        nearest: String,
    },
    /// Nothing in the decoder or on its outputs does this.
    NoDeed {
        /// The wish.
        wish: Path,
        /// The key.
        key: Key,
        /// What it should do.
        deed: Deed,
    },
    /// The decoder does not hear this key.
    NoKey {
        /// The wish.
        wish: Path,
        /// The key.
        key: Key,
        /// The highest key that it hears.
        highest: u16,
    },
    /// The standard's matrix does not join this key with that output.
    OutOfReach {
        /// The wish.
        wish: Path,
        /// The key.
        key: Key,
        /// What it should do.
        deed: Deed,
        /// The output that would do it.
        output: u16,
        /// The keys that reach it.
        reaching: Vec<Key>,
    },
    /// This decoder's keys do one thing each.
    TooManyDeeds {
        /// The wish.
        wish: Path,
        /// The key.
        key: Key,
        /// How many things it should do.
        n_deeds: usize,
    },
    /// This decoder cannot tie that key to a direction of travel.
    NoDirection {
        /// The wish.
        wish: Path,
        /// The key.
        key: Key,
        /// The lamp.
        lamp: String,
    },
    /// The output cannot behave like this.
    NoEffect {
        /// The wish.
        wish: Path,
        /// The output's name.
        output: String,
        /// How it should behave.
        effect: LampEffect,
    },
}

impl Gap {
    /// The wish that is not fulfilled.
    #[must_use]
    pub fn wish(&self) -> &Path {
        match self {
            Self::NoCv { wish, .. }
            | Self::NoSound { wish, .. }
            | Self::NearestSound { wish, .. }
            | Self::BeyondLimit { wish, .. }
            | Self::NoDeed { wish, .. }
            | Self::NoKey { wish, .. }
            | Self::OutOfReach { wish, .. }
            | Self::TooManyDeeds { wish, .. }
            | Self::NoDirection { wish, .. }
            | Self::NoEffect { wish, .. } => wish,
        }
    }
}
