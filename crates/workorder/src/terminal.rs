//! Terminals: the places where wires end.

use std::fmt;
use std::str::FromStr;

use documents::declared::serde_json::{Value, json};
use documents::{Definitions, Name, Node, Read, Reader};

/// A place where a wire ends: a part's lead (`A.red`), a pad of the board (`board.S1`), an output of the decoder's
/// amplifier (`amplifier.1`), a motor brush (`motor.1`), a rail (`rail.left`) or the metal of the model (`frame`).
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Terminal {
    text: String,
    dot: Option<usize>,
}

impl Terminal {
    /// The metal of the model.
    pub const FRAME: &'static str = "frame";
    /// The part name of the decoder's amplifier; its outputs are 1 and 2.
    pub const AMPLIFIER: &'static str = "amplifier";
    /// The part name of the board; its pads are listed in the survey.
    pub const BOARD: &'static str = "board";
    /// The part name of the motor; its brushes are 1 and 2.
    pub const MOTOR: &'static str = "motor";
    /// The part name of the rails: left and right.
    pub const RAIL: &'static str = "rail";
    /// The names that speakers and components cannot have, because terminals begin with them already.
    pub const TAKEN: [&'static str; 5] = [Self::FRAME, Self::AMPLIFIER, Self::BOARD, Self::MOTOR, Self::RAIL];

    /// A lead of a part.
    #[must_use]
    pub fn of(part: &str, lead: &str) -> Self {
        Self { text: format!("{part}.{lead}"), dot: Some(part.len()) }
    }

    /// The part.
    #[must_use]
    pub fn part(&self) -> &str {
        self.dot.map_or(&self.text, |dot| &self.text[..dot])
    }

    /// The lead of that part; none for `frame`.
    #[must_use]
    pub fn lead(&self) -> Option<&str> {
        self.dot.map(|dot| &self.text[dot + 1..])
    }

    /// As written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Terminal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl FromStr for Terminal {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        const HELP: &str =
            "write a part and its lead, like \"A.red\", \"board.S1\" or \"amplifier.1\", or \"frame\"";
        if text == Self::FRAME {
            return Ok(Self { text: text.to_owned(), dot: None });
        }
        let (part, lead) = text.split_once('.').ok_or(HELP)?;
        if Name::new(part).is_err() || Name::new(lead).is_err() {
            return Err(HELP.to_owned());
        }
        Ok(Self::of(part, lead))
    }
}

impl Read for Terminal {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "a terminal like \"A.red\"")?;
        text.parse()
            .map_err(|help: String| reader.fault(node, format!("`{text}` is not a terminal"), help))
            .ok()
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string", "examples": ["A.red", "board.S1", "amplifier.1", "frame"] })
    }
}
