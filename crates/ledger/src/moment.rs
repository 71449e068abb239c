//! When and by whom: what every change to the shop carries.
//!
//! What it is: a moment that the caller names, and the stamp put on a change.
//! What it is not: a clock. The ledger never asks what time it is, so that the same calls make the same file.

/// A moment in time, in milliseconds since 1970-01-01 00:00 UTC; earlier ones are negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    unix_millis: i64,
}

impl Moment {
    /// A moment from the milliseconds since 1970-01-01 00:00 UTC.
    #[must_use]
    pub fn from_unix_millis(unix_millis: i64) -> Self {
        Self { unix_millis }
    }

    /// The milliseconds since 1970-01-01 00:00 UTC.
    #[must_use]
    pub fn as_unix_millis(self) -> i64 {
        self.unix_millis
    }
}

/// When a change is made, by whom and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp<'a> {
    /// When.
    pub at: Moment,
    /// By whom: the label of a person, browser or session.
    pub by: &'a str,
    /// Why, in words; may be empty.
    pub note: &'a str,
}

impl<'a> Stamp<'a> {
    /// A stamp without a note.
    #[must_use]
    pub fn new(at: Moment, by: &'a str) -> Self {
        Self { at, by, note: "" }
    }

    /// The same stamp with a note.
    #[must_use]
    pub fn with_note(self, note: &'a str) -> Self {
        Self { note, ..self }
    }
}
