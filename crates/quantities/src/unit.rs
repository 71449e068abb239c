//! What a unit and a kind of quantity are: the table that reading, printing and the JSON Schema share.

use crate::parse::{self, QuantityError};

/// One way to write a kind of quantity: `mm`, `in`, `Mohm`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// As we print it.
    pub symbol: &'static str,
    /// Other spellings that are read as the same unit.
    pub aliases: &'static [&'static str],
    /// How much of the SI unit one of these is.
    pub factor: f64,
    /// Added after multiplying, in the SI unit: not zero for degrees only.
    pub offset: f64,
    /// Whether we ever print it ourselves (imperial and rare units are read, not printed).
    pub is_printed: bool,
}

/// A kind of quantity: a number with a meaning and its units.
pub trait Quantity: Copy + PartialEq + PartialOrd + std::fmt::Debug + std::fmt::Display + Sized {
    /// What it is called in a message: "electrical resistance".
    const NAME: &'static str;
    /// Every unit it can be written in; the printed ones in rising order.
    const UNITS: &'static [Unit];
    /// A spelling that a message may show as an example: `"7.3 ohm"`.
    const EXAMPLE: &'static str;
    /// Least and most value in the SI unit that this trade can meet; beyond is taken for a slip of the pen.
    const RANGE: (f64, f64);

    /// From the SI unit; `None` for NaN, infinities and values out of [`Self::RANGE`].
    fn from_si(value: f64) -> Option<Self>;

    /// In the SI unit.
    fn as_si(self) -> f64;

    /// Reads a number with its unit, as a person writes it: `"0.62 A"`, `"15 mm"`, `"3/8 in"`.
    ///
    /// # Errors
    /// No number, no unit, a unit of another kind, or a value out of range; each says what would be right.
    fn parse(text: &str) -> Result<Self, QuantityError> {
        parse::quantity(text)
    }
}
