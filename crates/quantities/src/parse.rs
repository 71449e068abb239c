//! Reading a number with its unit as a person writes it, with errors that teach.

use crate::unit::{Quantity, Unit};

/// Why a text is not a quantity. `Display` says what is wrong, [`QuantityError::help`] what to write instead.
#[derive(Debug, Clone, PartialEq)]
pub enum QuantityError {
    /// Nothing written.
    Empty {
        /// The kind that was expected.
        kind: &'static str,
        /// A right spelling.
        example: &'static str,
    },
    /// No number at the start.
    NotANumber {
        /// What was written.
        text: String,
        /// The kind that was expected.
        kind: &'static str,
        /// A right spelling.
        example: &'static str,
    },
    /// A comma where the decimal point belongs.
    DecimalComma {
        /// What was written.
        text: String,
        /// The same with a point.
        suggestion: String,
    },
    /// A bare number.
    MissingUnit {
        /// The number.
        number: String,
        /// The kind that was expected.
        kind: &'static str,
        /// The units that would do.
        units: Vec<&'static str>,
    },
    /// A unit that this kind does not have.
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// The kind that was expected.
        kind: &'static str,
        /// The units that would do.
        units: Vec<&'static str>,
    },
    /// A number that this trade cannot meet.
    OutOfRange {
        /// What was written.
        text: String,
        /// The kind that was expected.
        kind: &'static str,
        /// Least and most, printed.
        range: (String, String),
    },
}

impl std::fmt::Display for QuantityError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Empty { kind, .. } => write!(f, "empty where {} {kind} belongs", article(kind)),
            Self::NotANumber { text, kind, .. } => {
                write!(f, "`{text}` is not {} {kind}: it does not start with a number", article(kind))
            }
            Self::DecimalComma { text, .. } => {
                write!(f, "`{text}` has a comma where the decimal point belongs")
            }
            Self::MissingUnit { number, kind, .. } => {
                write!(f, "`{number}` has no unit; {} {kind} needs one", article(kind))
            }
            Self::UnknownUnit { unit, kind, .. } => write!(f, "`{unit}` is not a unit of {kind}"),
            Self::OutOfRange { text, kind, .. } => {
                write!(f, "`{text}` is out of range for {} {kind}", article(kind))
            }
        }
    }
}

impl std::error::Error for QuantityError {}

impl QuantityError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Empty { example, .. } | Self::NotANumber { example, .. } => {
                format!("write it like \"{example}\"")
            }
            Self::DecimalComma { suggestion, .. } => format!("write \"{suggestion}\""),
            Self::MissingUnit { number, units, .. } => {
                format!("write one of {}", list(units.iter().map(|unit| format!("\"{number} {unit}\""))))
            }
            Self::UnknownUnit { units, .. } => {
                format!("use one of {}", list(units.iter().map(|unit| format!("\"{unit}\""))))
            }
            Self::OutOfRange { range: (least, most), .. } => {
                format!("it must lie between {least} and {most}")
            }
        }
    }
}

/// Reads a quantity of kind `Q`.
pub(crate) fn quantity<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(QuantityError::Empty { kind: Q::NAME, example: Q::EXAMPLE });
    }
    let (number_text, unit_text) = split(trimmed);
    if let Some(suggestion) = with_decimal_point(number_text, unit_text) {
        return Err(QuantityError::DecimalComma { text: trimmed.to_owned(), suggestion });
    }
    let number = number(number_text).ok_or_else(|| QuantityError::NotANumber {
        text: shortened(trimmed),
        kind: Q::NAME,
        example: Q::EXAMPLE,
    })?;
    if unit_text.is_empty() {
        return Err(QuantityError::MissingUnit {
            number: number_text.to_owned(),
            kind: Q::NAME,
            units: symbols::<Q>(),
        });
    }
    let unit = find_unit(Q::UNITS, unit_text).ok_or_else(|| QuantityError::UnknownUnit {
        unit: shortened(unit_text),
        kind: Q::NAME,
        units: symbols::<Q>(),
    })?;
    Q::from_si(number * unit.factor + unit.offset).ok_or_else(|| QuantityError::OutOfRange {
        text: shortened(trimmed),
        kind: Q::NAME,
        range: range_printed::<Q>(),
    })
}

/// The number part and the unit part. The number ends where the first letter, sign of degree or quote mark starts;
/// an exponent (`1e3`) belongs to the number.
fn split(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() {
        let byte = bytes[end];
        let is_exponent = matches!(byte, b'e' | b'E')
            && end > 0
            && bytes[end - 1].is_ascii_digit()
            && bytes.get(end + 1).is_some_and(|next| {
                next.is_ascii_digit()
                    || (matches!(next, b'+' | b'-') && bytes.get(end + 2).is_some_and(u8::is_ascii_digit))
            });
        let is_sign = matches!(byte, b'+' | b'-') && (end == 0 || matches!(bytes[end - 1], b'e' | b'E'));
        if byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b' ' | b'/' | b'_') || is_exponent || is_sign
        {
            end += 1;
        } else {
            break;
        }
    }
    // The `1` of the unit `1/min` and the like cannot start a unit here; no kind needs it after a number.
    (text[..end].trim(), text[end..].trim())
}

/// A decimal number, a fraction `3/8` or a mixed number `1 3/8`.
fn number(text: &str) -> Option<f64> {
    let value = match text.split_once('/') {
        None => text.parse().ok()?,
        Some((left, denominator)) => {
            let (whole, numerator) =
                left.trim().rsplit_once(' ').map_or((0.0, left.trim()), |(whole, numerator)| {
                    (whole.trim().parse().unwrap_or(f64::NAN), numerator)
                });
            let numerator: f64 = numerator.parse().ok()?;
            let denominator: f64 = denominator.trim().parse().ok()?;
            whole + numerator / denominator
        }
    };
    value.is_finite().then_some(value)
}

fn with_decimal_point(number_text: &str, unit_text: &str) -> Option<String> {
    let pointed = number_text.replacen(',', ".", 1);
    (number_text.contains(',') && number(&pointed).is_some())
        .then(|| format!("{pointed} {unit_text}").trim().to_owned())
}

fn find_unit(units: &'static [Unit], text: &str) -> Option<&'static Unit> {
    units.iter().find(|unit| unit.symbol == text || unit.aliases.contains(&text))
}

fn symbols<Q: Quantity>() -> Vec<&'static str> {
    Q::UNITS.iter().map(|unit| unit.symbol).collect()
}

fn range_printed<Q: Quantity>() -> (String, String) {
    let (least, most) = Q::RANGE;
    let print = |value| Q::from_si(value).map_or_else(String::new, |quantity| quantity.to_string());
    (print(least), print(most))
}

/// Long garbage is cut, so that a message stays a message.
fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    if text.chars().count() <= MOST {
        return text.to_owned();
    }
    text.chars().take(MOST).chain(['…']).collect()
}

fn article(kind: &str) -> &'static str {
    if kind.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" }
}

/// `a`, `a or b`, `a, b or c`.
fn list(items: impl Iterator<Item = String>) -> String {
    let items: Vec<String> = items.collect();
    match items.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}
