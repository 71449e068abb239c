//! How answers look: in a terminal, and as JSON.

pub(crate) mod json;
pub(crate) mod run;
pub(crate) mod sound;
pub(crate) mod sound_json;
pub(crate) mod terminal;

use std::io::IsTerminal;

/// Whether words may be coloured. Colour never carries meaning alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Style {
    /// No escape sequences.
    Plain,
    /// Coloured.
    Coloured,
}

impl Style {
    /// By where standard output goes, and by the convention that `NO_COLOR` turns colours off.
    pub(crate) fn of_terminal() -> Self {
        let is_unwanted = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        if std::io::stdout().is_terminal() && !is_unwanted { Self::Coloured } else { Self::Plain }
    }
}
