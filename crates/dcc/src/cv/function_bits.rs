//! CVs with one bit per function: CV13 and CV14 (on in analog), CV21 and CV22 (follow the consist).
//!
//! What it is: sets of functions. What it is not: the output matrix ([`super::FunctionMap`]).
//!
//! Source: NMRA S-9.2.2 CV13, CV14, CV21, CV22; RCN-225 CV22.

use core::fmt;

use super::{CvError, CvNumber};
use crate::function::Function;
use crate::speed::Direction;

/// A function as these CVs and CV33–46 know it: F0 once for each direction, and F1 to F12.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FunctionKey(u8);

impl FunctionKey {
    /// F0 while running forward.
    pub const F0_FORWARD: Self = Self(0);
    /// F0 while running in reverse.
    pub const F0_REVERSE: Self = Self(1);

    /// The key of a function in a direction, which only F0 heeds. `None` above F12.
    pub const fn new(function: Function, direction: Direction) -> Option<Self> {
        match (function.get(), direction) {
            (0, Direction::Forward) => Some(Self::F0_FORWARD),
            (0, Direction::Reverse) => Some(Self::F0_REVERSE),
            (number @ 1..=12, _) => Some(Self(number + 1)),
            _ => None,
        }
    }

    /// All fourteen keys in the order of CV33–46.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..14).map(Self)
    }

    /// Place in that order, 0 to 13.
    pub const fn index(self) -> u8 {
        self.0
    }

    /// The function.
    pub const fn function(self) -> Function {
        match Function::new(self.0.saturating_sub(1)) {
            Ok(function) => function,
            Err(_) => Function::F0,
        }
    }
}

impl fmt::Display for FunctionKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::F0_FORWARD => f.write_str("F0 forward"),
            Self::F0_REVERSE => f.write_str("F0 reverse"),
            key => key.function().fmt(f),
        }
    }
}

/// A pair of CVs: the first has F1 to F8 from bit 0 on, the second F0 forward, F0 reverse and F9 to F12.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Pair {
    f1_to_f8: u8,
    other: u8,
}

impl Pair {
    /// Which CV of the pair, and the weight of the bit.
    const fn place(key: FunctionKey) -> (bool, u8) {
        match key.0 {
            0 => (false, 1),
            1 => (false, 2),
            place @ 2..=9 => (true, 1 << (place - 2)),
            place => (false, 1 << (place - 8)),
        }
    }

    const fn contains(self, key: FunctionKey) -> bool {
        let (is_first, weight) = Self::place(key);
        (if is_first { self.f1_to_f8 } else { self.other }) & weight != 0
    }

    const fn set(&mut self, key: FunctionKey, is_in: bool) {
        let (is_first, weight) = Self::place(key);
        let octet = if is_first { &mut self.f1_to_f8 } else { &mut self.other };
        *octet = if is_in { *octet | weight } else { *octet & !weight };
    }
}

/// CV13 and CV14: the functions that are on with an analog supply, or wherever they cannot be controlled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AnalogFunctions(Pair);

impl AnalogFunctions {
    /// From the values.
    ///
    /// # Errors
    /// [`CvError::Value`] when CV14 has one of the bits 6 and 7, which stand for nothing.
    pub const fn from_cvs(cv13: u8, cv14: u8) -> Result<Self, CvError> {
        if cv14 & 0xC0 != 0 {
            let cv = CvNumber::literal(14);
            return Err(CvError::Value { cv, value: cv14 as u16, expected: "bits 0 to 5 only" });
        }
        Ok(Self(Pair { f1_to_f8: cv13, other: cv14 }))
    }

    /// Whether the function is on.
    pub const fn contains(self, key: FunctionKey) -> bool {
        self.0.contains(key)
    }

    /// Puts a function in or out.
    pub const fn set(&mut self, key: FunctionKey, is_in: bool) {
        self.0.set(key, is_in);
    }

    /// Both CVs.
    pub const fn to_cvs(self) -> [(CvNumber, u8); 2] {
        [(CvNumber::literal(13), self.0.f1_to_f8), (CvNumber::literal(14), self.0.other)]
    }
}

/// CV21 and CV22: the functions that follow the consist address.
///
/// By S-9.2.1 §C the decoder answers to its own address as well, by RCN-225 only to the consist address; do not rely on
/// either alone. Bits 6 and 7 of CV22, F13–F20 and F21–F28, exist by RCN-225 only (whose text prints "F20 to F28").
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ConsistFunctions {
    pair: Pair,
    /// F13 to F20 follow the consist (RCN-225).
    pub has_f13_to_f20: bool,
    /// F21 to F28 follow the consist (RCN-225).
    pub has_f21_to_f28: bool,
}

impl ConsistFunctions {
    /// From the values.
    pub const fn from_cvs(cv21: u8, cv22: u8) -> Self {
        Self {
            pair: Pair { f1_to_f8: cv21, other: cv22 & 0x3F },
            has_f13_to_f20: cv22 & 0x40 != 0,
            has_f21_to_f28: cv22 & 0x80 != 0,
        }
    }

    /// Whether the function follows the consist.
    pub const fn contains(self, key: FunctionKey) -> bool {
        self.pair.contains(key)
    }

    /// Whether the function follows the consist when the locomotive runs in this direction; F29 and above never do.
    pub const fn follows(self, function: Function, direction: Direction) -> bool {
        match (FunctionKey::new(function, direction), function.get()) {
            (Some(key), _) => self.contains(key),
            (None, 13..=20) => self.has_f13_to_f20,
            (None, 21..=28) => self.has_f21_to_f28,
            (None, _) => false,
        }
    }

    /// Puts a function in or out.
    pub const fn set(&mut self, key: FunctionKey, is_in: bool) {
        self.pair.set(key, is_in);
    }

    /// Both CVs.
    pub const fn to_cvs(self) -> [(CvNumber, u8); 2] {
        let upper = (self.has_f13_to_f20 as u8) << 6 | (self.has_f21_to_f28 as u8) << 7;
        [(CvNumber::literal(21), self.pair.f1_to_f8), (CvNumber::literal(22), self.pair.other | upper)]
    }
}
