//! The walk over a parsed file: nodes with their paths, faults collected on the way.

use std::collections::BTreeMap;
use std::ops::Range;

use finding::Path;
use serde_json::Value;
use toml::Spanned;
use toml::de::DeValue;

use crate::fault::Fault;
use crate::schema::Definitions;

/// Something that can stand in a document.
pub trait Read: Sized {
    /// Reads it; `None` when a fault has been noted.
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self>;

    /// What it is when its key is missing; `None` where the key must be there.
    #[must_use]
    fn missing() -> Option<Self> {
        None
    }

    /// The JSON Schema of it.
    fn schema(definitions: &mut Definitions) -> Value;
}

/// A value in the file, with its path.
#[derive(Debug, Clone)]
pub struct Node<'a> {
    /// The value and its place.
    pub value: &'a Spanned<DeValue<'a>>,
    /// The way to it.
    pub path: Path,
}

/// Where faults are collected and paths remembered.
#[derive(Debug, Default)]
pub struct Reader {
    pub(crate) faults: Vec<Fault>,
    pub(crate) places: BTreeMap<Path, Range<usize>>,
}

impl Reader {
    /// Notes a fault at a node.
    pub fn fault(&mut self, node: &Node<'_>, headline: impl Into<String>, help: impl Into<String>) {
        self.fault_at(node.value.span(), node.path.clone(), headline, help);
    }

    /// Notes a fault at a place.
    pub fn fault_at(
        &mut self,
        span: Range<usize>,
        path: Path,
        headline: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.faults.push(Fault { span, path, headline: headline.into(), help: help.into() });
    }

    /// Remembers where the fact of a path stands.
    pub fn remember(&mut self, path: Path, span: Range<usize>) {
        self.places.insert(path, span);
    }

    /// The text of a string; a fault saying that `wanted` belongs here where it is something else.
    pub fn text<'a>(&mut self, node: &Node<'a>, wanted: &str) -> Option<&'a str> {
        let text = node.value.get_ref().as_str();
        if text.is_none() {
            self.wrong_kind(node, &format!("{wanted} in quotes"));
        }
        text
    }

    /// A bare number; a fault saying that `wanted` belongs here where it is something else.
    pub fn number(&mut self, node: &Node<'_>, wanted: &str) -> Option<f64> {
        let text = match node.value.get_ref() {
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str(),
            DeValue::Float(float) => float.as_str(),
            _ => "",
        };
        let number = text.replace('_', "").parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            self.wrong_kind(node, wanted);
        }
        number
    }

    /// Notes that a value is of another kind than what belongs here.
    pub fn wrong_kind(&mut self, node: &Node<'_>, wanted: &str) {
        let found = match node.value.get_ref() {
            DeValue::String(_) => "a string",
            DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.fault(node, format!("{found} where {wanted} belongs"), format!("write {wanted}"));
    }
}
