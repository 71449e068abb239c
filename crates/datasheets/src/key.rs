//! Function keys and CVs as documents name them: `F2`, `CV29`.

use std::fmt;
use std::str::FromStr;

use documents::{Definitions, Node, Read, Reader};

/// A function key, F0 to F68 (RCN-212 via the reference text, section 3.8).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key(u8);

impl Key {
    /// The highest key that the standard knows.
    pub const HIGHEST: u8 = 68;

    /// A checked key.
    #[must_use]
    pub fn new(number: u8) -> Option<Self> {
        (number <= Self::HIGHEST).then_some(Self(number))
    }

    /// Its number.
    #[must_use]
    pub fn number(self) -> u8 {
        self.0
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "F{}", self.0)
    }
}

impl FromStr for Key {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        text.strip_prefix('F')
            .filter(|digits| digits.len() <= 2 && (*digits == "0" || !digits.starts_with('0')))
            .and_then(|digits| digits.parse().ok())
            .and_then(Self::new)
            .ok_or_else(|| "function keys are named F0 to F68".to_owned())
    }
}

impl Read for Key {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "a function key like \"F2\"")?;
        text.parse()
            .map_err(|help: String| reader.fault(node, format!("`{text}` is not a function key"), help))
            .ok()
    }

    fn schema(_: &mut Definitions) -> documents::declared::serde_json::Value {
        documents::declared::serde_json::json!({ "type": "string", "pattern": "^F([0-9]|[1-5][0-9]|6[0-8])$" })
    }
}

/// A CV named as a key of a table: `CV29`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CvKey(u16);

impl CvKey {
    /// The CV's number, 1 to 1024.
    #[must_use]
    pub fn number(self) -> u16 {
        self.0
    }
}

impl fmt::Display for CvKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "CV{}", self.0)
    }
}

impl FromStr for CvKey {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        text.strip_prefix("CV")
            .filter(|digits| digits.len() <= 4 && !digits.starts_with('0'))
            .and_then(|digits| digits.parse().ok())
            .filter(|number| (1..=1024).contains(number))
            .map(Self)
            .ok_or_else(|| "CVs are named CV1 to CV1024".to_owned())
    }
}
