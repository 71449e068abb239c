//! What kind of trouble an error is: for views that tell it by a number, such as an exit code or a status.

use ledger::{DocumentError, PhotoError, RunError, SnapshotError, StockError, StoreError};

use crate::error::ShopError;

/// A kind of trouble, by who can end it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Trouble {
    /// What was asked for is not there.
    Missing,
    /// What was sent cannot be kept; something else can.
    Unfit,
    /// It cannot be done as things stand; another act comes first.
    Held,
    /// The shop is busy or cannot be written; later it may work.
    Unavailable,
    /// Something of ours or of the machine broke.
    Broken,
}

impl ShopError {
    /// What kind of trouble it is.
    #[must_use]
    pub fn trouble(&self) -> Trouble {
        match self {
            Self::Unknown { .. } => Trouble::Missing,
            Self::Document(error) => of_document(error),
            Self::RunRecord(error) => of_run(error),
            Self::Snapshot(SnapshotError::Store(error))
            | Self::Stock(StockError::Store(error))
            | Self::Photo(PhotoError::Store(error))
            | Self::Ledger(error) => of_store(error),
            Self::Snapshot(SnapshotError::NoSuchSnapshot { .. })
            | Self::Photo(PhotoError::NoSuchPhoto { .. }) => Trouble::Missing,
            Self::Faults { .. }
            | Self::TooLarge { .. }
            | Self::Edit(_)
            | Self::NoReason { .. }
            | Self::Snapshot(_)
            | Self::Stock(_)
            | Self::Photo(_) => Trouble::Unfit,
            Self::Held { .. }
            | Self::NoDecoder { .. }
            | Self::ChangedMeanwhile { .. }
            | Self::RunUnderWay { .. }
            | Self::RunNotUnderWay { .. }
            | Self::NothingToBringBack { .. }
            | Self::NotSound { .. }
            | Self::Silent { .. }
            | Self::Run { .. }
            | Self::TakeUp { .. } => Trouble::Held,
            Self::NoBrowser { .. } | Self::Thread { .. } => Trouble::Unavailable,
            Self::Read { .. }
            | Self::Write { .. }
            | Self::Bench { .. }
            | Self::Journal { .. }
            | Self::Archive(_)
            | Self::Backup(_)
            | Self::Browser { .. }
            | Self::NoDataFolder => Trouble::Broken,
        }
    }
}

fn of_document(error: &DocumentError) -> Trouble {
    match error {
        DocumentError::NoSuchName { .. }
        | DocumentError::NoSuchDocument { .. }
        | DocumentError::NoSuchRevision { .. } => Trouble::Missing,
        DocumentError::Name(_) | DocumentError::TooLong { .. } => Trouble::Unfit,
        DocumentError::Conflict(_)
        | DocumentError::NameTaken { .. }
        | DocumentError::IsDeleted { .. }
        | DocumentError::NothingToUndo
        | DocumentError::NothingToRedo => Trouble::Held,
        DocumentError::Store(error) => of_store(error),
    }
}

fn of_run(error: &RunError) -> Trouble {
    match error {
        RunError::NoSuchRun { .. } | RunError::NoSuchDocument { .. } => Trouble::Missing,
        RunError::Unfinished { .. } | RunError::HasEnded { .. } => Trouble::Held,
        RunError::NotALine => Trouble::Broken,
        RunError::Store(error) => of_store(error),
    }
}

fn of_store(error: &StoreError) -> Trouble {
    match error {
        StoreError::Locked | StoreError::ReadOnly | StoreError::Full => Trouble::Unavailable,
        _ => Trouble::Broken,
    }
}
