//! The CV plan: wishes in the trade's words and a decoder sheet in, settings with their reasons out.
//!
//! What it is: [`settle`] (wishes → target bits of CVs, and [`Gap`]s where the decoder cannot), [`Image`] (what a
//! decoder holds), and [`write_steps`] (target and image → the ordered writes: unlock, plain CVs, pages, address last;
//! bit fields merged into what is there; nothing written that already has its value).
//! What it is not: a link to a decoder, or a judge: a gap becomes a finding in the room of the rules.

#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod closeness;
mod gap;
mod image;
mod settle;
mod standard;
mod steps;
mod target;

#[cfg(test)]
mod tests;

pub use closeness::{Closeness, Ranked, rank};
pub use gap::Gap;
pub use image::Image;
pub use settle::{Audition, Settlement, settle};
pub use steps::{Step, places_to_read, write_steps};
pub use target::{Because, Stage, Target, Targets};
