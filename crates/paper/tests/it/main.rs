//! The whole card from outside: well-formed, complete, in order, inert against hostile text, legible.

mod contrast;
mod hostile;
mod html;
mod structure;

#[path = "../../examples/vesper_lake/mod.rs"]
mod vesper_lake;
