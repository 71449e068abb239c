//! CV96 and the function mappings of RCN-227, methods 2 to 5.
//!
//! What it is: where each record lies on its page and what its octets mean. What it is not: method 1, which is
//! [`super::FunctionMap`], and methods 6 (the maker's) and 7 (reserved).
//!
//! Source: RCN-227 §2 and §3; RCN-225 CV96. The places of records are computed from the CV ranges printed there; where
//! its example repeats CV numbers the layout rule is followed.

use super::{CvError, CvNumber, IndexedCv};
use crate::speed::Direction;

/// The value of an octet that stands for nothing.
const UNUSED: u8 = 255;

/// CV96: which method maps functions to outputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MappingMethod {
    /// 1: CV33–46.
    Matrix,
    /// 2: outputs per function and direction, page 0/40.
    OutputsPerFunction,
    /// 3: functions per output and direction, as bits, page 0/41.
    FunctionBitsPerOutput,
    /// 4: functions per output and direction, as numbers, page 0/42.
    FunctionNumbersPerOutput,
    /// 5: functions per output, as numbers with a direction, page 0/43.
    DirectedFunctionsPerOutput,
    /// 6: the maker's.
    Maker,
}

impl MappingMethod {
    /// From the value of CV96; a decoder refuses others and keeps the old one.
    ///
    /// # Errors
    /// [`CvError::Value`] outside 1..=6: 0 is not implemented, 7 reserved.
    pub const fn from_value(value: u8) -> Result<Self, CvError> {
        Ok(match value {
            1 => Self::Matrix,
            2 => Self::OutputsPerFunction,
            3 => Self::FunctionBitsPerOutput,
            4 => Self::FunctionNumbersPerOutput,
            5 => Self::DirectedFunctionsPerOutput,
            6 => Self::Maker,
            _ => {
                let cv = CvNumber::literal(96);
                return Err(CvError::Value { cv, value: value as u16, expected: "1 to 6" });
            }
        })
    }

    /// The value of CV96.
    pub const fn value(self) -> u8 {
        match self {
            Self::Matrix => 1,
            Self::OutputsPerFunction => 2,
            Self::FunctionBitsPerOutput => 3,
            Self::FunctionNumbersPerOutput => 4,
            Self::DirectedFunctionsPerOutput => 5,
            Self::Maker => 6,
        }
    }

    /// The first CV of a record: of function `unit` with method 2, of output `unit` counted from 0 with methods 3 to 5;
    /// method 5 has one record for both directions.
    ///
    /// `None` for a unit above 31, and for methods without records.
    pub const fn record(self, unit: u8, direction: Direction) -> Option<IndexedCv> {
        if unit > 31 {
            return None;
        }
        let reverse = if direction.is_forward() { 0 } else { 4 };
        let (cv32, offset) = match self {
            Self::OutputsPerFunction => (40, 8 * unit + reverse),
            Self::FunctionBitsPerOutput => (41, 8 * unit + reverse),
            Self::FunctionNumbersPerOutput => (42, 8 * unit + reverse),
            Self::DirectedFunctionsPerOutput => (43, 8 * unit),
            Self::Matrix | Self::Maker => return None,
        };
        Some(IndexedCv { cv31: 0, cv32, offset })
    }
}

const fn used(octet: u8) -> Option<u8> {
    if octet == UNUSED { None } else { Some(octet) }
}

const fn or_unused(number: Option<u8>) -> u8 {
    match number {
        Some(number) => number,
        None => UNUSED,
    }
}

/// Method 2: the outputs of one function in one direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Method2Record {
    /// Bit 0 is output 1, bit 23 is output 24; higher bits are dropped.
    pub outputs: u32,
    /// The function that blocks this one.
    pub blocked_by: Option<u8>,
}

impl Method2Record {
    /// From the four octets.
    pub const fn from_octets([first, second, third, blocking]: [u8; 4]) -> Self {
        Self { outputs: u32::from_le_bytes([first, second, third, 0]), blocked_by: used(blocking) }
    }

    /// The four octets.
    pub const fn octets(self) -> [u8; 4] {
        let [first, second, third, _] = self.outputs.to_le_bytes();
        [first, second, third, or_unused(self.blocked_by)]
    }
}

/// Method 3: the functions of one output in one direction; bit 0 is F0, bit 31 is F31.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Method3Record {
    /// The functions that switch it on.
    pub functions: u32,
}

impl Method3Record {
    /// From the four octets.
    pub const fn from_octets(octets: [u8; 4]) -> Self {
        Self { functions: u32::from_le_bytes(octets) }
    }

    /// The four octets.
    pub const fn octets(self) -> [u8; 4] {
        self.functions.to_le_bytes()
    }
}

/// Method 4: the functions of one output in one direction. A number above 28, or above 68, is a binary state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Method4Record {
    /// Up to three functions that switch it on.
    pub on_by: [Option<u8>; 3],
    /// The function that switches it off.
    pub off_by: Option<u8>,
}

impl Method4Record {
    /// From the four octets.
    pub const fn from_octets([first, second, third, off]: [u8; 4]) -> Self {
        Self { on_by: [used(first), used(second), used(third)], off_by: used(off) }
    }

    /// The four octets.
    pub const fn octets(self) -> [u8; 4] {
        let [first, second, third] = self.on_by;
        [or_unused(first), or_unused(second), or_unused(third), or_unused(self.off_by)]
    }
}

/// When a function of method 5 counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// +0: in both directions.
    Always,
    /// +64: forward.
    Forward,
    /// +128: in reverse.
    Reverse,
    /// +192: it blocks the output.
    Blocks,
}

/// One function of method 5.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Method5Entry {
    function: u8,
    when: When,
}

impl Method5Entry {
    /// # Errors
    /// [`CvError::Value`] above 63, and for 63 as a block, whose octet would mean unused. The CV named is the first of
    /// the page.
    pub const fn new(function: u8, when: When) -> Result<Self, CvError> {
        if function > 63 || (function == 63 && matches!(when, When::Blocks)) {
            let expected = "a function up to 63, to block up to 62";
            return Err(CvError::Value { cv: CvNumber::literal(257), value: function as u16, expected });
        }
        Ok(Self { function, when })
    }

    /// The function, 0 to 63.
    pub const fn function(self) -> u8 {
        self.function
    }

    /// When it counts.
    pub const fn when(self) -> When {
        self.when
    }

    const fn from_octet(octet: u8) -> Option<Self> {
        if octet == UNUSED {
            return None;
        }
        let when = match octet >> 6 {
            0 => When::Always,
            1 => When::Forward,
            2 => When::Reverse,
            _ => When::Blocks,
        };
        Some(Self { function: octet & 0x3F, when })
    }

    const fn octet(self) -> u8 {
        let when = match self.when {
            When::Always => 0,
            When::Forward => 64,
            When::Reverse => 128,
            When::Blocks => 192,
        };
        when | self.function
    }
}

/// A function or binary state of method 5 by a number of 15 bits, the same in both directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Method5Pair {
    number: u16,
    blocks: bool,
}

impl Method5Pair {
    /// # Errors
    /// [`CvError::Value`] above 32767, and for 32767 as a block, whose octets would mean unused. The CV named is the
    /// fifth of the page.
    pub const fn new(number: u16, blocks: bool) -> Result<Self, CvError> {
        if number > 0x7FFF || (number == 0x7FFF && blocks) {
            let expected = "a number up to 32767, to block up to 32766";
            return Err(CvError::Value { cv: CvNumber::literal(261), value: number, expected });
        }
        Ok(Self { number, blocks })
    }

    /// The number.
    pub const fn number(self) -> u16 {
        self.number
    }

    /// Whether it blocks the output.
    pub const fn blocks(self) -> bool {
        self.blocks
    }

    const fn from_octets(octets: [u8; 2]) -> Option<Self> {
        let whole = u16::from_be_bytes(octets);
        if whole == u16::MAX {
            None
        } else {
            Some(Self { number: whole & 0x7FFF, blocks: whole & 0x8000 != 0 })
        }
    }

    const fn octets(self) -> [u8; 2] {
        (self.number | (self.blocks as u16) << 15).to_be_bytes()
    }
}

/// Method 5: the functions of one output.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Method5Record {
    /// Up to four functions.
    pub entries: [Option<Method5Entry>; 4],
    /// Up to two functions or binary states by a longer number.
    pub pairs: [Option<Method5Pair>; 2],
}

impl Method5Record {
    /// From the eight octets.
    pub const fn from_octets([a, b, c, d, e, f, g, h]: [u8; 8]) -> Self {
        Self {
            entries: [
                Method5Entry::from_octet(a),
                Method5Entry::from_octet(b),
                Method5Entry::from_octet(c),
                Method5Entry::from_octet(d),
            ],
            pairs: [Method5Pair::from_octets([e, f]), Method5Pair::from_octets([g, h])],
        }
    }

    /// The eight octets.
    pub fn octets(self) -> [u8; 8] {
        let [a, b, c, d] = self.entries.map(|entry| entry.map_or(UNUSED, Method5Entry::octet));
        let [[e, f], [g, h]] = self.pairs.map(|pair| pair.map_or([UNUSED; 2], Method5Pair::octets));
        [a, b, c, d, e, f, g, h]
    }
}
