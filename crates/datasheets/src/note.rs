//! Notes of horns and whistles: `A4`, `D#4`, `Bb3` (scientific pitch names, A4 being 440 Hz by ISO 16).

use std::fmt;
use std::str::FromStr;

use documents::declared::serde_json::{Value, json};
use documents::{Definitions, Node, Read, Reader};

/// A note by its name. Two spellings of one key (`D#4`, `Eb4`) are the same note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Note {
    /// Semitones above C0.
    semitones: u8,
}

const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", NAMES[usize::from(self.semitones % 12)], self.semitones / 12)
    }
}

impl FromStr for Note {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parsed = || {
            let octave = text.chars().next_back()?.to_digit(10)?;
            let name = &text[..text.len() - 1];
            let (letter, shift) = match (name.strip_suffix('#'), name.strip_suffix('b')) {
                (Some(letter), _) => (letter, 1),
                (None, Some(letter)) => (letter, -1),
                (None, None) => (name, 0),
            };
            let place = NAMES.iter().position(|known| *known == letter && letter.len() == 1)?;
            let semitones = i32::try_from(octave).ok()? * 12 + i32::try_from(place).ok()? + shift;
            Some(Self { semitones: u8::try_from(semitones).ok()? })
        };
        parsed()
            .ok_or_else(|| "write a letter A to G, `#` or `b` if need be, and the octave: \"D#4\"".to_owned())
    }
}

impl Read for Note {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "a note like \"D#4\"")?;
        text.parse().map_err(|help: String| reader.fault(node, format!("`{text}` is not a note"), help)).ok()
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string", "pattern": "^[A-G][#b]?[0-9]$" })
    }
}

#[cfg(test)]
mod tests {
    use super::Note;

    #[test]
    fn spellings_of_one_key_are_one_note() {
        let note = |text: &str| text.parse::<Note>();
        assert_eq!(note("D#4"), note("Eb4"));
        assert_eq!(note("Bb3").unwrap().to_string(), "A#3");
        assert_eq!(note("Cb4").unwrap().to_string(), "B3");
        for wrong in ["H4", "4", "", "A#", "Cb0", "A##4", "é4"] {
            assert!(note(wrong).is_err(), "{wrong}");
        }
    }
}
