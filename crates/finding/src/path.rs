//! Paths: how a finding names a fact in a document.

use std::fmt;

/// The way to a fact in a document: `survey.speaker.B.terminals`.
///
/// Keys are joined by dots. An entry of a list of named things is told by its name, other entries by their number
/// from 1. The command line turns a path into line and column, the bench sheet into the field to mend.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Path(String);

impl Path {
    /// A path as written.
    #[must_use]
    pub fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }

    /// The whole document.
    #[must_use]
    pub fn root() -> Self {
        Self(String::new())
    }

    /// This path with one more step.
    #[must_use]
    pub fn join(&self, step: impl fmt::Display) -> Self {
        if self.0.is_empty() { Self(step.to_string()) } else { Self(format!("{}.{step}", self.0)) }
    }

    /// The path without its last step; none for the root.
    #[must_use]
    pub fn parent(&self) -> Option<Self> {
        if self.0.is_empty() {
            return None;
        }
        Some(Self(self.0.rsplit_once('.').map_or_else(String::new, |(parent, _)| parent.to_owned())))
    }

    /// As text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.is_empty() { "the document" } else { &self.0 })
    }
}
