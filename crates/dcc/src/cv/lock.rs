//! CV15 and CV16: the lock that lets one of several decoders in a vehicle be programmed.
//!
//! What it is: when CVs may be written and read. What it is not: the discovery itself, which asks with single byte
//! comparisons of CV16 for 1 to 239 which numbers there are (RCN-225).
//!
//! Source: NMRA S-9.2.2 CV15/16; RCN-225 CV15/16.

use super::{CvError, CvNumber, RuleSet};

/// The number of a decoder in a vehicle, CV16: 1 to 239. Advised: 1 motor, 2 sound, 3 and above others. 0 is not used,
/// so that CV15 = 0 locks all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LockNumber(u8);

impl LockNumber {
    /// The motor decoder.
    pub const MOTOR: Self = Self(1);
    /// The sound decoder.
    pub const SOUND: Self = Self(2);

    /// # Errors
    /// [`CvError::Value`] outside 1..=239.
    pub const fn new(number: u8) -> Result<Self, CvError> {
        if number >= 1 && number <= 239 {
            return Ok(Self(number));
        }
        Err(CvError::Value { cv: CvNumber::literal(16), value: number as u16, expected: "1 to 239" })
    }

    /// The number.
    pub const fn get(self) -> u8 {
        self.0
    }

    /// All numbers, in the order in which a discovery asks for them.
    pub fn all() -> impl Iterator<Item = Self> {
        (1..=239).map(Self)
    }
}

/// The state of the lock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DecoderLock {
    /// CV15, the key.
    pub cv15: u8,
    /// CV16, the decoder's own number.
    pub cv16: u8,
}

/// Written to CV15, this opens every decoder: it copies its CV16 to CV15 (RCN-225).
const OPEN_ALL: u8 = 255;
/// Values of CV15 from here on are commands and never stored (RCN-225).
const COMMANDS: u8 = 240;

impl DecoderLock {
    /// Whether CVs can be programmed: key and number agree.
    pub const fn is_open(self) -> bool {
        self.cv15 == self.cv16
    }

    /// Whether a CV may be written. CV15 always may (RCN-225; without that no lock could ever be opened again).
    pub const fn may_write(self, cv: CvNumber) -> bool {
        cv.get() == 15 || self.is_open()
    }

    /// Whether a CV may be read or compared: always by S-9.2.2, only when open by RCN-225.
    pub const fn may_read(self, rules: RuleSet) -> bool {
        matches!(rules, RuleSet::Nmra) || self.is_open()
    }

    /// The state after a value was written to CV15.
    #[must_use]
    pub const fn with_key(self, value: u8, rules: RuleSet) -> Self {
        match (rules, value) {
            (RuleSet::Rcn, OPEN_ALL) => Self { cv15: self.cv16, ..self },
            (RuleSet::Rcn, COMMANDS..) => self,
            _ => Self { cv15: value, ..self },
        }
    }
}
