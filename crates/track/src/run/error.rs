//! Why a run stops, and why one cannot be taken up.

use datasheets::CvPlace;

use crate::journal::JournalError;
use crate::link::{LinkError, WayOut};
use crate::strategy::{Content, Identity, IdentityError};

/// Why a run stopped. It can be gone on with by another [`super::Run::step`] once the cause is gone.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RunError {
    /// The decoder could not be asked.
    #[error(transparent)]
    Link(#[from] LinkError),
    /// It is not known who the decoder is.
    #[error(transparent)]
    Identity(#[from] IdentityError),
    /// The decoder is not the one of the sheet.
    #[error(
        "the sheet is for a decoder with {expected}, this one has {found}: choose its sheet, or accept it by name"
    )]
    UnexpectedDecoder {
        /// Who was expected.
        expected: Identity,
        /// Who was found.
        found: Identity,
    },
    /// The decoder is not the one that the run began with.
    #[error("this is not the decoder that the run began with: that had {expected}")]
    OtherDecoder {
        /// Who it began with.
        expected: Identity,
    },
    /// The decoder is of the same make, but does not hold what it should.
    #[error(
        "this is not the decoder that the run began with, or somebody changed it: {place} should hold {expected}"
    )]
    ImageDisagrees {
        /// A CV that tells.
        place: CvPlace,
        /// What it should hold.
        expected: u8,
    },
    /// A register that others depend on cannot be read, so that it could not be put back.
    #[error(
        "cannot read {place}, on which other CVs depend: {content}; it is not written before it can be put back"
    )]
    RegisterUnread {
        /// The register.
        place: CvPlace,
        /// What came of reading it.
        content: Content,
    },
    /// A register that others depend on cannot be set.
    #[error("cannot set {place} to {value}, on which other CVs depend: the decoder does not take it")]
    RegisterRefused {
        /// The register.
        place: CvPlace,
        /// What it should hold.
        value: u8,
    },
    /// The decoder took none of the first writes.
    #[error("the decoder takes no writes: {} kept what they held", places(refused))]
    WritesRefused {
        /// The CVs.
        refused: Vec<CvPlace>,
    },
    /// The journal cannot be kept.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// The journal names a CV that there cannot be.
    #[error("the journal names {place}, which is no CV of any decoder")]
    NoSuchCv {
        /// The place.
        place: CvPlace,
    },
}

fn places(places: &[CvPlace]) -> String {
    places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

impl RunError {
    /// What can be done about it.
    #[must_use]
    pub fn way_out(&self) -> WayOut {
        match self {
            Self::Link(error) | Self::Identity(IdentityError::Link(error)) => error.way_out(),
            Self::Identity(_)
            | Self::RegisterUnread { .. }
            | Self::RegisterRefused { .. }
            | Self::WritesRefused { .. } => WayOut::Diagnose,
            Self::UnexpectedDecoder { .. } | Self::OtherDecoder { .. } | Self::ImageDisagrees { .. } => {
                WayOut::PutOnTheRightOne
            }
            Self::Journal(_) | Self::NoSuchCv { .. } => WayOut::MendTheJournal,
        }
    }
}

/// Why a run cannot be taken up.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TakeUpError {
    /// There is nothing to take up.
    #[error("the journal is empty: begin the run instead")]
    NothingBegun,
    /// No run writes such entries.
    #[error("entry {entry} of the journal cannot come where it stands")]
    Inconsistent {
        /// Its number, from 1.
        entry: usize,
    },
    /// The wishes, or the decoder, are no longer those that the run began with.
    #[error(
        "the job has changed since the run began ({what}): take the old one up with the job as it was, or cancel it and \
         begin another"
    )]
    JobChanged {
        /// In what.
        what: String,
    },
    /// The journal cannot be kept.
    #[error(transparent)]
    Journal(#[from] JournalError),
}
