//! The text of a document and the way from a byte to a line and column.

use std::ops::Range;

/// A document's name and text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The name that messages show: a file name, or what else the text came from.
    pub name: String,
    /// The text.
    pub text: String,
}

/// Where something stands: both count from 1, the column in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line.
    pub line: usize,
    /// Column.
    pub column: usize,
}

impl Source {
    /// Line and column of a byte; a byte beyond the text is taken as its end.
    #[must_use]
    pub fn position(&self, byte: usize) -> Position {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        let before = &self.text[..byte];
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        Position { line: before.matches('\n').count() + 1, column: before[line_start..].chars().count() + 1 }
    }

    /// The line a byte stands in, without its end.
    #[must_use]
    pub fn line_at(&self, byte: usize) -> &str {
        self.text.lines().nth(self.position(byte).line - 1).unwrap_or("")
    }

    /// A span with both ends in the text, on character boundaries, and at least one character wide where there is one.
    #[must_use]
    pub fn widened(&self, span: &Range<usize>) -> Range<usize> {
        let floor = |mut byte: usize| {
            byte = byte.min(self.text.len());
            while !self.text.is_char_boundary(byte) {
                byte -= 1;
            }
            byte
        };
        let start = floor(span.start);
        let end = floor(span.end).max(start);
        if end > start {
            return start..end;
        }
        let next = self.text[start..].chars().next().filter(|next| *next != '\n').map_or(0, char::len_utf8);
        start..start + next
    }
}
