//! Documents as forms: the model between a TOML document and a page that edits it.
//!
//! What it is: a [`form::Form`] tells a page what a document could say and says, field by field, from its JSON Schema; [`edit`] writes what was
//! typed into one field back into the text, which stays the person's own in everything else; [`rename::rename`] follows a new name through the
//! wires; [`difference`] tells in words what changed between two revisions; [`conflict`] brings two people's edits together or shows where they
//! clash. All of it is pure: texts in, texts out.
//! What it is not: HTML, a store, or a judge. Faults come from the document's reader and findings from the engine; a form only brings them
//! to the field that they speak of.
//!
//! Edits cut the text at places that the TOML parser tells, rather than printing a tree again: see `layout`.

mod address;
mod align;
mod brackets;
#[cfg(test)]
mod chance;
pub mod conflict;
#[cfg(test)]
mod demo;
pub mod difference;
pub mod edit;
mod error;
pub mod form;
#[cfg(test)]
mod hostile;
mod insert;
mod layout;
mod node;
#[cfg(test)]
mod properties;
mod remove;
pub mod rename;
mod schema;
mod splice;
mod typed;
mod vocabulary;

pub use difference::Change;
pub use error::EditError;
pub use form::Form;
pub use rename::Renamed;
