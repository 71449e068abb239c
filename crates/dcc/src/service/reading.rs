//! Reading a CV when the decoder can only say yes.
//!
//! What it is: the questions to ask, one after the other, and what the answers amount to. Pure: the caller sends each
//! question as a [`super::Sequence`] and reports whether it was acknowledged.
//! What it is not: the retry policy of a programmer.
//!
//! Source: NMRA S-9.2.3 §E; RCN-214 (digest) for a missing CV. The order of questions is our choice.

use crate::cv::{BitPosition, CvNumber};
use crate::instruction::CvAccess;

/// What reading a CV came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadResult {
    /// The decoder confirmed this value.
    Value(u8),
    /// Nothing was acknowledged: no decoder, no contact, no direct mode, or an acknowledgement too weak to be seen.
    Silent,
    /// The decoder acknowledges every bit as 0 and as 1: it does not have this CV (RCN-214, digest).
    NotImplemented,
    /// The bits spell this value, but the decoder does not confirm it: read again.
    NotConfirmed(u8),
}

/// Reads a CV in direct mode: is bit 7 a one, is bit 6 a one, …, and one comparison with the whole value at the end.
///
/// ```
/// use dcc::{CvNumber, service::{BitwiseRead, ReadResult}};
/// let holds = 38_u8;
/// let mut read = BitwiseRead::new(CvNumber::new(29)?);
/// while let Some(question) = read.question() {
///     let agrees = matches!(question.apply(holds), dcc::CvOutcome::Compared { agrees: true });
///     read.answer(agrees);
/// }
/// assert_eq!(read.result(), Some(ReadResult::Value(38)));
/// # Ok::<(), dcc::CvError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BitwiseRead {
    cv: CvNumber,
    value: u8,
    stage: Stage,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stage {
    /// Asking whether this bit is a one.
    Bit(BitPosition),
    /// Asking whether the value is right.
    Confirm,
    /// Every bit was acknowledged as one, but not the value 255: asking whether a bit is a zero as well.
    AskForZero,
    Done(ReadResult),
}

impl BitwiseRead {
    /// Begins to read.
    pub const fn new(cv: CvNumber) -> Self {
        Self { cv, value: 0, stage: Stage::Bit(BitPosition::lowest_bits(7)) }
    }

    /// What to send next, or `None` when the result is there.
    pub const fn question(&self) -> Option<CvAccess> {
        match self.stage {
            Stage::Bit(bit) => Some(CvAccess::verify_bit(self.cv, bit, true)),
            Stage::Confirm => Some(CvAccess::verify(self.cv, self.value)),
            Stage::AskForZero => Some(CvAccess::verify_bit(self.cv, BitPosition::lowest_bits(0), false)),
            Stage::Done(_) => None,
        }
    }

    /// Takes the answer to [`Self::question`]; without effect when the result is there.
    pub const fn answer(&mut self, is_acknowledged: bool) {
        self.stage = match self.stage {
            Stage::Bit(bit) => {
                self.value = bit.set_in(self.value, is_acknowledged);
                match bit.get().checked_sub(1) {
                    Some(next) => Stage::Bit(BitPosition::lowest_bits(next)),
                    None => Stage::Confirm,
                }
            }
            Stage::Confirm => match (is_acknowledged, self.value) {
                (true, value) => Stage::Done(ReadResult::Value(value)),
                (false, 0) => Stage::Done(ReadResult::Silent),
                (false, 255) => Stage::AskForZero,
                (false, value) => Stage::Done(ReadResult::NotConfirmed(value)),
            },
            Stage::AskForZero if is_acknowledged => Stage::Done(ReadResult::NotImplemented),
            Stage::AskForZero => Stage::Done(ReadResult::NotConfirmed(self.value)),
            Stage::Done(result) => Stage::Done(result),
        };
    }

    /// What it came to, once [`Self::question`] has no more.
    pub const fn result(&self) -> Option<ReadResult> {
        match self.stage {
            Stage::Done(result) => Some(result),
            _ => None,
        }
    }
}

/// Finds a value by comparing with 0, 1, 2, …: the only way in paged, register and address-only mode, which cannot ask
/// for bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountingRead {
    next: u8,
    most: u8,
    result: Option<ReadResult>,
}

impl CountingRead {
    /// Begins at 0 and gives up after `most`: 255, or 127 in address-only mode.
    pub const fn new(most: u8) -> Self {
        Self { next: 0, most, result: None }
    }

    /// The value to compare with next, or `None` when the result is there.
    pub const fn question(&self) -> Option<u8> {
        match self.result {
            Some(_) => None,
            None => Some(self.next),
        }
    }

    /// Takes the answer to [`Self::question`]; without effect when the result is there.
    pub const fn answer(&mut self, is_acknowledged: bool) {
        if self.result.is_some() {
            return;
        }
        if is_acknowledged {
            self.result = Some(ReadResult::Value(self.next));
        } else if self.next >= self.most {
            self.result = Some(ReadResult::Silent);
        } else {
            self.next += 1;
        }
    }

    /// What it came to, once [`Self::question`] has no more.
    pub const fn result(&self) -> Option<ReadResult> {
        self.result
    }
}

/// Finds out whether the decoder knows direct mode: is bit 7 of CV8 a zero, is it a one; a yes to either will do
/// (S-9.2.3 §E).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DirectModeProbe {
    asks_for: bool,
    result: Option<bool>,
}

impl DirectModeProbe {
    /// Begins with the question for a zero.
    pub const fn new() -> Self {
        Self { asks_for: false, result: None }
    }

    /// What to send next, or `None` when the result is there.
    pub const fn question(&self) -> Option<CvAccess> {
        match self.result {
            Some(_) => None,
            None => {
                Some(CvAccess::verify_bit(CvNumber::literal(8), BitPosition::lowest_bits(7), self.asks_for))
            }
        }
    }

    /// Takes the answer to [`Self::question`]; without effect when the result is there.
    pub const fn answer(&mut self, is_acknowledged: bool) {
        if self.result.is_some() {
            return;
        }
        if is_acknowledged || self.asks_for {
            self.result = Some(is_acknowledged);
        }
        self.asks_for = true;
    }

    /// Whether the decoder knows direct mode, once [`Self::question`] has no more.
    pub const fn result(&self) -> Option<bool> {
        self.result
    }
}

impl Default for DirectModeProbe {
    fn default() -> Self {
        Self::new()
    }
}
