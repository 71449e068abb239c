//! Pitches by name in equal temperament. Not the off-pitch tuning of real horns, which is detuning on top.
//!
//! Source: ISO 16:1975 (A4 = 440 Hz, from memory); digest, section 4.4: `f = 440·2^((m − 69)/12)`.

use quantities::Frequency;

use crate::saturate::saturated;

/// A pitch: semitones above C-1 as keyboards number them (A4 is 69), and cents beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitch {
    number: i32,
    cents: f64,
}

/// A text is no pitch.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` is not a pitch: write a letter A to G, `#` or `b` if need be, and the octave, as in D#4")]
pub struct PitchError {
    /// What was written.
    pub text: String,
}

const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

impl Pitch {
    /// Reads `D#4`, `Bb3`, `A4`; octaves 0 to 9.
    ///
    /// # Errors
    /// [`PitchError`] for anything else.
    pub fn parse(text: &str) -> Result<Self, PitchError> {
        let error = || PitchError { text: text.to_owned() };
        let trimmed = text.trim();
        let octave = trimmed.chars().next_back().and_then(|last| last.to_digit(10)).ok_or_else(error)?;
        let name = &trimmed[..trimmed.len() - 1];
        let (letter, shift) = match name.len() {
            1 => (name, 0),
            2 if name.ends_with('#') => (&name[..1], 1),
            2 if name.ends_with('b') => (&name[..1], -1),
            _ => return Err(error()),
        };
        let letter = letter.to_ascii_uppercase();
        let semitone = NAMES.iter().position(|known| *known == letter).ok_or_else(error)?;
        let semitone = i32::try_from(semitone).map_err(|_| error())?;
        let octave = i32::try_from(octave).map_err(|_| error())?;
        Ok(Self { number: 12 * (octave + 1) + semitone + shift, cents: 0.0 })
    }

    /// From the keyboard number; A4 is 69.
    pub(crate) const fn of_number(number: i32) -> Self {
        Self { number, cents: 0.0 }
    }

    /// The same pitch sharper (positive) or flatter by hundredths of a semitone; what is not finite changes nothing.
    #[must_use]
    pub fn detuned(self, cents: f64) -> Self {
        if cents.is_finite() { Self { cents: self.cents + cents, ..self } } else { self }
    }

    /// Its frequency.
    #[must_use]
    pub fn frequency(self) -> Frequency {
        saturated(440.0 * ((f64::from(self.number - 69) + self.cents / 100.0) / 12.0).exp2())
    }
}

impl std::fmt::Display for Pitch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let name = usize::try_from(self.number.rem_euclid(12)).map_or("", |index| NAMES[index]);
        write!(f, "{name}{}", self.number.div_euclid(12) - 1)?;
        if self.cents.abs() >= 0.5 { write!(f, " {:+.0} cents", self.cents) } else { Ok(()) }
    }
}
