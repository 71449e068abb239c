//! What a meter shows: a value, "more than", "less than", or no connection; and where a value came from.

use crate::Resistance;
use crate::parse::QuantityError;
use crate::unit::Quantity;

/// Where a value came from; how far it can be trusted depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Origin {
    /// Measured on this very model.
    Measured,
    /// Printed on the part itself.
    Marked,
    /// From the part's sheet.
    PartSheet,
    /// Nobody said; a usual value stands in.
    Assumed,
}

impl std::fmt::Display for Origin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Measured => "measured",
            Self::Marked => "marked on the part",
            Self::PartSheet => "from the part sheet",
            Self::Assumed => "assumed",
        })
    }
}

/// What an ohm-meter showed.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub enum MeterReading {
    /// A number: `7.3 ohm`.
    Exactly(Resistance),
    /// Out of range upwards: `> 1 Mohm`.
    Above(Resistance),
    /// Out of range downwards: `< 0.5 ohm`.
    Below(Resistance),
    /// No connection; meters show `OL`.
    Open,
}

/// Why a text is not a meter reading.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingError {
    /// What is wrong with the resistance in it.
    pub cause: QuantityError,
}

impl std::fmt::Display for ReadingError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.cause)
    }
}

impl std::error::Error for ReadingError {}

impl ReadingError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        format!(
            "{}; a meter reading may also be \"> 1 Mohm\", \"< 0.5 ohm\" or \"OL\" for no connection",
            self.cause.help()
        )
    }
}

impl MeterReading {
    /// Reads `"7.3 ohm"`, `"> 1 Mohm"`, `"< 0.5 ohm"`, `"OL"` or `"open"`.
    ///
    /// # Errors
    /// As [`Quantity::parse`] for the resistance.
    pub fn parse(text: &str) -> Result<Self, ReadingError> {
        let trimmed = text.trim();
        if trimmed.eq_ignore_ascii_case("ol") || trimmed.eq_ignore_ascii_case("open") {
            return Ok(Self::Open);
        }
        let resistance = |text: &str| Resistance::parse(text).map_err(|cause| ReadingError { cause });
        if let Some(rest) = trimmed.strip_prefix(['>', '≥']) {
            return Ok(Self::Above(resistance(rest)?));
        }
        if let Some(rest) = trimmed.strip_prefix(['<', '≤']) {
            return Ok(Self::Below(resistance(rest)?));
        }
        Ok(Self::Exactly(resistance(trimmed)?))
    }

    /// The least resistance that this reading allows; none for "no connection", which allows no finite one.
    #[must_use]
    pub fn least(self) -> Option<Resistance> {
        match self {
            Self::Exactly(value) | Self::Above(value) => Some(value),
            Self::Below(_) => Resistance::from_ohms(0.0),
            Self::Open => None,
        }
    }

    /// The greatest resistance that this reading allows; none where it has no upper end.
    #[must_use]
    pub fn greatest(self) -> Option<Resistance> {
        match self {
            Self::Exactly(value) | Self::Below(value) => Some(value),
            Self::Above(_) | Self::Open => None,
        }
    }
}

impl std::fmt::Display for MeterReading {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Exactly(value) => write!(f, "{value}"),
            Self::Above(value) => write!(f, "> {value}"),
            Self::Below(value) => write!(f, "< {value}"),
            Self::Open => f.write_str("OL"),
        }
    }
}
