//! What is wrong with a document's text: not a finding about the job, but a thing that could not be read.

use std::fmt;
use std::ops::Range;

use finding::Path;

use crate::source::Source;

/// One fault in a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The bytes it stands at.
    pub span: Range<usize>,
    /// The fact it concerns.
    pub path: Path,
    /// What is wrong, lower case, no full stop.
    pub headline: String,
    /// What to do.
    pub help: String,
}

/// Every fault of one document, in the order of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faults {
    /// The document.
    pub source: Source,
    /// At least one.
    pub list: Vec<Fault>,
}

impl Faults {
    /// Faults of a document, put in order.
    #[must_use]
    pub fn new(source: Source, mut list: Vec<Fault>) -> Self {
        list.sort_by_key(|fault| (fault.span.start, fault.span.end));
        list.dedup();
        Self { source, list }
    }
}

/// The plain form: `file:line:column: what`, the line with carets below, the help.
impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, fault) in self.list.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            let span = self.source.widened(&fault.span);
            let position = self.source.position(span.start);
            writeln!(f, "{}:{}:{}: {}", self.source.name, position.line, position.column, fault.headline)?;
            let line = self.source.line_at(span.start);
            if !line.trim().is_empty() {
                let width = self.source.text[span].chars().take_while(|c| *c != '\n').count();
                let room = line.chars().count().saturating_sub(position.column - 1);
                writeln!(f, "  {line}")?;
                writeln!(
                    f,
                    "  {}{}",
                    " ".repeat(position.column - 1),
                    "^".repeat(width.clamp(1, room.max(1)))
                )?;
            }
            write!(f, "  help: {}", fault.help)?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
