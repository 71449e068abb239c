//! Rail time: how long the rails were driven, and what for.
//!
//! Source: ours.

use dcc::Microseconds;

/// What the rails were used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RailPurpose {
    /// Packets after switching on, while a decoder starts.
    PowerOn,
    /// Waiting with the power off.
    Off,
    /// Comparing a whole CV.
    VerifyByte,
    /// Comparing one bit.
    VerifyBit,
    /// Writing, with the time to recover.
    Write,
    /// Setting the page register of paged mode back.
    PageRegister,
}

impl RailPurpose {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::PowerOn, Self::Off, Self::VerifyByte, Self::VerifyBit, Self::Write, Self::PageRegister];
}

/// How long the rails were used, by purpose.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct RailTime {
    spent: [Microseconds; RailPurpose::ALL.len()],
}

impl RailTime {
    /// How long they were used for one purpose.
    #[must_use]
    pub fn of(&self, purpose: RailPurpose) -> Microseconds {
        self.spent[purpose as usize]
    }

    /// How long they were used in all.
    #[must_use]
    pub fn total(&self) -> Microseconds {
        self.spent.iter().copied().sum()
    }

    pub(crate) fn add(&mut self, purpose: RailPurpose, span: Microseconds) {
        self.spent[purpose as usize] += span;
    }
}
