//! From bytes to a checked document, with every fault at once.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Display;
use std::ops::Range;

use finding::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::fault::{Fault, Faults};
use crate::reader::{Node, Read, Reader};
use crate::source::{Position, Source};

/// The largest document that is read. A full work order has a few dozen kilobytes; ten thousand wires fit.
pub const MOST_BYTES: usize = 4 << 20;

/// A document that was read whole.
#[derive(Debug, Clone)]
pub struct Document<T> {
    /// What it says.
    pub value: T,
    /// Its text.
    pub source: Source,
    places: BTreeMap<Path, Range<usize>>,
}

impl<T> Document<T> {
    /// The same document with its value made into something else.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Document<U> {
        Document { value: change(self.value), source: self.source, places: self.places }
    }

    /// The bytes of a fact; the nearest enclosing fact's where this one is not written down.
    #[must_use]
    pub fn span(&self, path: &Path) -> Range<usize> {
        find(&self.places, path)
    }

    /// Line and column of a fact.
    #[must_use]
    pub fn position(&self, path: &Path) -> Position {
        self.source.position(self.span(path).start)
    }

    /// Faults found later, such as references to parts that do not exist; `Ok` when there are none.
    ///
    /// # Errors
    /// The faults, each at the place of its path.
    pub fn with_faults(self, found: Checker) -> Result<Self, Faults> {
        if found.list.is_empty() {
            return Ok(self);
        }
        let list = placed(found, &self.places);
        Err(Faults::new(self.source, list))
    }
}

/// Collects what is wrong between facts: duplicates, references, ranges that depend on each other.
#[derive(Debug, Default)]
pub struct Checker {
    list: Vec<(Path, String, String)>,
}

impl Checker {
    /// Notes a fault at a fact.
    pub fn fault(&mut self, path: Path, headline: impl Into<String>, help: impl Into<String>) {
        self.list.push((path, headline.into(), help.into()));
    }

    /// Notes each name that occurs a second time.
    pub fn unique<'a, N: Ord + Display + 'a>(
        &mut self,
        what: &str,
        names: impl IntoIterator<Item = (Path, &'a N)>,
    ) {
        let mut seen = BTreeSet::new();
        for (path, name) in names {
            if !seen.insert(name) {
                self.fault(path, format!("there are two {what} named `{name}`"), "give each its own name");
            }
        }
    }
}

/// A document that may have more to check than each value by itself.
pub trait Checked {
    /// Notes what is wrong between its facts.
    fn check(&self, checker: &mut Checker) {
        let _ = checker;
    }
}

/// Text from bytes.
///
/// # Errors
/// Too large, not text, or not UTF-8, each with what to do.
pub fn decode(name: &str, bytes: &[u8]) -> Result<String, Faults> {
    let refuse = |headline: String, help: &str| {
        let source = Source { name: name.to_owned(), text: String::new() };
        Faults::new(source, vec![Fault { span: 0..0, path: Path::root(), headline, help: help.to_owned() }])
    };
    if bytes.len() > MOST_BYTES {
        return Err(refuse(
            format!("the file has {} bytes; a document has at most {MOST_BYTES}", bytes.len()),
            "name a work order, train or part sheet; those have a few kilobytes",
        ));
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(refuse("the file is in UTF-16".to_owned(), "save it as UTF-8"));
    }
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(refuse(format!("the file is not text: byte {at} is zero"), "name a TOML file"));
    }
    // Some editors put a byte order mark in front of UTF-8.
    let bytes = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]).unwrap_or(bytes);
    std::str::from_utf8(bytes).map(str::to_owned).map_err(|error| {
        let before = &bytes[..error.valid_up_to()];
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        refuse(
            format!("the file is not in UTF-8: byte 0x{:02X} in line {line}", bytes[error.valid_up_to()]),
            "save it as UTF-8; older editors write Windows-1252 or Latin-1",
        )
    })
}

/// Reads a document.
///
/// # Errors
/// Every fault of the text, its structure and its values at once. What lies between facts ([`Checked::check`]) is
/// checked only when each fact could be read.
pub fn read<T: Read + Checked>(name: &str, text: &str) -> Result<Document<T>, Faults> {
    let source = Source { name: name.to_owned(), text: text.to_owned() };
    if text.len() > MOST_BYTES {
        return Err(decode(name, text.as_bytes()).err().unwrap_or_else(|| Faults::new(source, Vec::new())));
    }
    if text.trim().is_empty() {
        let fault = Fault {
            span: 0..0,
            path: Path::root(),
            headline: "the document is empty".to_owned(),
            help: "begin from one of the demo's documents, or from the schema".to_owned(),
        };
        return Err(Faults::new(source, vec![fault]));
    }
    let (table, syntax) = DeTable::parse_recoverable(text);
    let mut reader = Reader::default();
    for error in &syntax {
        let span = error.span().unwrap_or(0..0);
        reader.fault_at(source.widened(&span), Path::root(), error.message(), "mend the TOML syntax here");
    }
    let span = table.span();
    let root = Spanned::new(span, DeValue::Table(table.into_inner()));
    let value = T::read(&Node { value: &root, path: Path::root() }, &mut reader);
    if let (Some(value), true) = (value, reader.faults.is_empty()) {
        let mut checker = Checker::default();
        value.check(&mut checker);
        return Document { value, source, places: reader.places }.with_faults(checker);
    }
    Err(Faults::new(source, reader.faults))
}

fn placed(found: Checker, places: &BTreeMap<Path, Range<usize>>) -> Vec<Fault> {
    let at = |(path, headline, help): (Path, String, String)| Fault {
        span: find(places, &path),
        path,
        headline,
        help,
    };
    found.list.into_iter().map(at).collect()
}

fn find(places: &BTreeMap<Path, Range<usize>>, path: &Path) -> Range<usize> {
    let mut path = Some(path.clone());
    while let Some(current) = path {
        if let Some(span) = places.get(&current) {
            return span.clone();
        }
        path = current.parent();
    }
    0..0
}
