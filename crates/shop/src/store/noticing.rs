//! Changes of the shop, told to whoever listens.
//!
//! What it is: the ledger's list of changes read on from where it was read last, so that changes by another program are told
//! like our own.
//! What it is not: the progress of runs, which is told as it happens and kept nowhere.

use std::sync::{Mutex, PoisonError};

use ledger::{Change, Kind, Ledger, MovementId, Sequence, Subject};

use super::event::{Happening, ShopEvent};
use super::open::Store;
use super::view::{DocumentKey, RunState};
use crate::error::ShopError;

/// The change up to which everything was told.
#[derive(Debug)]
pub(super) struct Noticed(Mutex<Sequence>);

impl Noticed {
    pub(super) fn up_to(sequence: Sequence) -> Self {
        Self(Mutex::new(sequence))
    }
}

/// How many changes are told at once.
const MOST_AT_ONCE: usize = 200;

impl Store {
    /// Tells listeners what has changed since the last time. The store does so by itself after its own changes; call it now and
    /// then so that changes by another program, a command beside an open page for instance, are told too.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn notice_changes(&self) -> Result<(), ShopError> {
        // Held while telling, so that events come in the order of the changes.
        let mut noticed = self.inner.noticed.0.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            let events = {
                let ledger = self.ledger();
                let changes = ledger.changes_since(*noticed, MOST_AT_ONCE)?;
                let Some(last) = changes.last() else { return Ok(()) };
                *noticed = last.sequence;
                changes
                    .iter()
                    .filter_map(|change| event(&ledger, change).transpose())
                    .collect::<Result<Vec<_>, _>>()?
            };
            for event in events {
                self.tell(&event);
            }
        }
    }
}

/// The event of a change; none for what nobody looks at, such as the memory of a virtual decoder.
fn event(ledger: &Ledger, change: &Change) -> Result<Option<ShopEvent>, ShopError> {
    let order_of = |document| Ok::<_, ShopError>(ledger.document(document)?.name);
    let what = match change.subject {
        Subject::Document { document, number } => {
            let document = ledger.document(document)?;
            if document.kind == Kind::BenchTruth {
                return Ok(None);
            }
            let key = DocumentKey::new(document.kind, document.name);
            Happening::DocumentChanged { key, revision: number }
        }
        Subject::RunBegun(run) => {
            let order = order_of(ledger.run(run)?.document)?;
            Happening::RunChanged { order, run, state: RunState::UnderWay }
        }
        Subject::RunEnded(run) => {
            let order = order_of(ledger.run(run)?.document)?;
            let state = super::runs::ended_state(ledger, run)?;
            Happening::RunChanged { order, run, state }
        }
        Subject::Snapshot(snapshot) => {
            let order = order_of(ledger.snapshot(snapshot)?.document)?;
            Happening::SnapshotTaken { order, snapshot }
        }
        Subject::Photo(photo) | Subject::PhotoHidden(photo) | Subject::PhotoShown(photo) => {
            let order = order_of(ledger.photo(photo)?.document)?;
            Happening::PhotosChanged { order, photo }
        }
        Subject::Stock(movement) => match part_of(ledger, movement)? {
            Some(part) => Happening::StockMoved { part },
            None => return Ok(None),
        },
    };
    Ok(Some(ShopEvent { what, at: change.at, by: change.by.clone() }))
}

/// The part of a movement.
fn part_of(ledger: &Ledger, movement: MovementId) -> Result<Option<String>, ShopError> {
    for count in ledger.stock()? {
        if ledger.movements(&count.part)?.iter().any(|known| known.id == movement) {
            return Ok(Some(count.part));
        }
    }
    Ok(None)
}
