//! Names that people give: short, readable, safe in a path.

use std::fmt;

use serde_json::{Value, json};

use crate::reader::{Node, Read, Reader};
use crate::schema::Definitions;

/// A name such as `A`, `demo-21-sound` or `V-0031`: letters, digits, `-`, `_` and `+`, at most 60 of them.
///
/// Dots and blanks are refused because names become steps of a path and parts of a terminal (`A.red`).
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(String);

impl Name {
    const MOST: usize = 60;

    /// A checked name.
    ///
    /// # Errors
    /// The reason, as a sentence part, when the text is no name.
    pub fn new(text: &str) -> Result<Self, &'static str> {
        if text.is_empty() {
            Err("a name is empty")
        } else if text.chars().count() > Self::MOST {
            Err("a name is longer than 60 characters")
        } else if text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '+')) {
            Ok(Self(text.to_owned()))
        } else {
            Err("a name may hold letters, digits, `-`, `_` and `+` only")
        }
    }

    /// As text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::borrow::Borrow<str> for Name {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl Read for Name {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "a name")?;
        Self::new(text)
            .map_err(|reason| reader.fault(node, reason, "write a short name like \"A\" or \"oval-15x11\""))
            .ok()
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string", "pattern": "^[\\p{L}\\p{N}_+-]{1,60}$" })
    }
}
