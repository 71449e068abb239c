//! One change, kept whole or not at all.
//!
//! What it is: the frame around every change, so that a kill, a full disk or a refusal leaves the shop as it was, and
//! watchers hear of a change only once it is safe on the disk.
//!
//! Source: SQLite documentation, "Transaction", "SAVEPOINT".

use crate::error::StoreError;
use crate::ledger::Ledger;

impl Ledger {
    /// Makes several changes as one: either all are kept or none. For a rename together with the documents that refer to
    /// it, for example. Other programs wait in the meantime, so be quick.
    ///
    /// # Errors
    /// What `act` returns, and then nothing is kept; or why the whole could not be kept.
    pub fn together<T, E: From<StoreError>>(
        &mut self,
        act: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let frame = Frame::begin(self)?;
        let result = act(frame.ledger)?;
        frame.commit()?;
        Ok(result)
    }

    /// Reads several things as of one moment, whatever other connections do.
    pub(crate) fn as_of_now<T, E: From<StoreError>>(
        &self,
        read: impl FnOnce(&Self) -> Result<T, E>,
    ) -> Result<T, E> {
        if !self.connection.is_autocommit() {
            return read(self);
        }
        let moment = self.connection.unchecked_transaction().map_err(StoreError::from)?;
        let result = read(self);
        drop(moment);
        result
    }
}

/// A transaction, or a savepoint within one. Dropped without being committed, it takes everything back; so does a panic.
struct Frame<'a> {
    ledger: &'a mut Ledger,
    n_pending: usize,
    is_committed: bool,
}

impl<'a> Frame<'a> {
    fn begin(ledger: &'a mut Ledger) -> Result<Self, StoreError> {
        ledger.still_in_place()?;
        // IMMEDIATE: the right to write is taken at once, so that what is read within is what is written upon.
        let begin = if ledger.depth.get() == 0 { "BEGIN IMMEDIATE" } else { "SAVEPOINT act" };
        ledger.connection.execute_batch(begin)?;
        ledger.depth.set(ledger.depth.get() + 1);
        let n_pending = ledger.pending.borrow().len();
        Ok(Self { ledger, n_pending, is_committed: false })
    }

    fn commit(mut self) -> Result<(), StoreError> {
        let is_outermost = self.ledger.depth.get() == 1;
        self.ledger.connection.execute_batch(if is_outermost { "COMMIT" } else { "RELEASE act" })?;
        self.is_committed = true;
        if is_outermost {
            let changes = std::mem::take(&mut *self.ledger.pending.borrow_mut());
            self.ledger.watchers.tell(&changes);
        }
        Ok(())
    }
}

impl Drop for Frame<'_> {
    fn drop(&mut self) {
        let depth = self.ledger.depth.get();
        self.ledger.depth.set(depth - 1);
        if self.is_committed {
            return;
        }
        self.ledger.pending.borrow_mut().truncate(self.n_pending);
        // A full disk makes SQLite take the whole transaction back by itself; then there is nothing to do, and the outer
        // frames fail when they commit.
        if !self.ledger.connection.is_autocommit() {
            let back = if depth == 1 { "ROLLBACK" } else { "ROLLBACK TO act; RELEASE act" };
            // Where this fails the connection is beyond use, and whatever comes next says so.
            let _ = self.ledger.connection.execute_batch(back);
        }
    }
}

#[cfg(test)]
mod tests;
