//! Bytes cut out of a text and others put in.

use std::ops::Range;

/// One cut: bytes that go, and what comes in their place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Splice {
    pub(crate) range: Range<usize>,
    pub(crate) text: String,
}

impl Splice {
    pub(crate) fn insert(at: usize, text: impl Into<String>) -> Self {
        Self { range: at..at, text: text.into() }
    }

    pub(crate) fn remove(range: Range<usize>) -> Self {
        Self { range, text: String::new() }
    }

    pub(crate) fn replace(range: Range<usize>, text: impl Into<String>) -> Self {
        Self { range, text: text.into() }
    }
}

/// The text with all cuts made; none where two of them overlap, which would be our own mistake.
pub(crate) fn spliced(text: &str, mut splices: Vec<Splice>) -> Option<String> {
    splices.sort_by_key(|splice| (splice.range.start, splice.range.end));
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for splice in &splices {
        out.push_str(text.get(at..splice.range.start)?);
        out.push_str(&splice.text);
        at = splice.range.end;
    }
    out.push_str(text.get(at..)?);
    Some(out)
}
