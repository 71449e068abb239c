//! What can go wrong between a programmer and a decoder, sorted by what can be done about it.

use std::fmt;

use datasheets::ServiceMode;
use dcc::{BitPosition, CvNumber};

use crate::acknowledgement::{Evidence, Excess};
use crate::programmer::PowerOnReading;

/// What was being done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Act {
    /// Switching on and finding a mode.
    Connect,
    /// Comparing a CV with a value.
    VerifyByte {
        /// The CV.
        cv: CvNumber,
        /// The value.
        value: u8,
    },
    /// Comparing a bit of a CV.
    VerifyBit {
        /// The CV.
        cv: CvNumber,
        /// The bit.
        bit: BitPosition,
        /// What it is compared with.
        value: bool,
    },
    /// Writing a CV.
    WriteByte {
        /// The CV.
        cv: CvNumber,
        /// The value.
        value: u8,
    },
}

impl fmt::Display for Act {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Connect => f.write_str("looking for a decoder"),
            Self::VerifyByte { cv, value } => write!(f, "comparing {cv} with {value}"),
            Self::VerifyBit { cv, bit, value } => {
                write!(f, "comparing bit {} of {cv} with {}", bit.get(), u8::from(*value))
            }
            Self::WriteByte { cv, value } => write!(f, "writing {value} to {cv}"),
        }
    }
}

/// Why a question has no answer. [`Self::way_out`] sorts them by what can be done.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LinkError {
    /// The current is too unsteady to tell, or contact was lost on the way.
    #[error("cannot tell whether the decoder answered while {act}: the current is unsteady ({evidence})")]
    Unclear {
        /// What was being done.
        act: Act,
        /// What was measured.
        evidence: Evidence,
    },
    /// The page register was not acknowledged, so that nothing was asked: the answer might have been another CV's.
    #[error("the decoder did not take the page register while {act}")]
    PageUnheard {
        /// What was being done.
        act: Act,
    },
    /// Nothing draws any current.
    #[error(
        "no current flows while {act}: is it the programming track, is the locomotive on it, are the wheels clean?"
    )]
    NoCurrent {
        /// What was being done.
        act: Act,
    },
    /// The track is shorted or overloaded; its power is off.
    #[error("the programming track was switched off while {act}: {}, {excess}", evidence.baseline())]
    OverCurrent {
        /// What was being done.
        act: Act,
        /// In what way it was too much.
        excess: Excess,
        /// The current, as its baseline.
        evidence: Evidence,
    },
    /// A decoder draws current and answers nothing, in no mode.
    #[error("no acknowledgement in any mode, though the track carries {power_on}")]
    NoAnswer {
        /// What switching on showed.
        power_on: PowerOnReading,
    },
    /// The decoder lock is closed, and hides everything but its number (RCN-225 CV15/16).
    #[error("the decoder is locked and answers for its lock number {number} only: open the lock first")]
    Locked {
        /// The content of CV16.
        number: u8,
    },
    /// The mode does not reach the CV.
    #[error("{cv} is out of reach in {mode} mode")]
    OutOfReach {
        /// The CV.
        cv: CvNumber,
        /// The mode in use.
        mode: ServiceMode,
    },
    /// The mode has no such question.
    #[error("{mode} mode knows no {act}")]
    NotInThisMode {
        /// What was to be done.
        act: Act,
        /// The mode in use.
        mode: ServiceMode,
    },
    /// Nobody called [`super::Link::connect`], or the power has been cut since.
    #[error("the programming track is not switched on: connect first")]
    NotConnected,
    /// The way to the programmer itself is gone.
    #[error("lost the programmer: {what}")]
    Lost {
        /// What happened, in the words of the link.
        what: String,
    },
}

/// What can be done about a [`LinkError`] or a [`crate::RunError`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WayOut {
    /// Ask again.
    Retry,
    /// See to the contact between track and decoder.
    SeeToContact,
    /// Leave the power off and find the short.
    FindShort,
    /// Find out why the decoder does not answer (the diagnosis).
    Diagnose,
    /// Connect again.
    Reconnect,
    /// Ask for something else.
    AskOtherwise,
    /// Put the decoder on the track that is meant, or say that this one is.
    PutOnTheRightOne,
    /// See that the journal can be kept and is whole.
    MendTheJournal,
}

impl LinkError {
    /// What can be done about it.
    #[must_use]
    pub fn way_out(&self) -> WayOut {
        match self {
            Self::Unclear { .. } | Self::PageUnheard { .. } => WayOut::Retry,
            Self::NoCurrent { .. } => WayOut::SeeToContact,
            Self::OverCurrent { .. } => WayOut::FindShort,
            Self::NoAnswer { .. } | Self::Locked { .. } => WayOut::Diagnose,
            Self::OutOfReach { .. } | Self::NotInThisMode { .. } => WayOut::AskOtherwise,
            Self::NotConnected | Self::Lost { .. } => WayOut::Reconnect,
        }
    }
}
