//! Whether revisions make a history: each follows from the one before.
//!
//! What it is: the rules by which this ledger writes revisions, held against those that come from an archive or are verified.

use std::collections::BTreeMap;

use super::record::{Act, RevisionRecord};
use crate::identity::RevisionNumber;
use crate::kind::check_name;

/// A history while it is gone through from its first revision on.
#[derive(Debug, Default)]
pub(crate) struct HistoryPath {
    newest: Option<RevisionRecord>,
    /// Of each state: whether the document is deleted in it.
    states: BTreeMap<RevisionNumber, bool>,
}

impl HistoryPath {
    /// Takes the next revision; or says why it is not the next.
    pub(crate) fn follow(&mut self, record: &RevisionRecord) -> Result<(), &'static str> {
        let expected = self.newest.as_ref().map_or(RevisionNumber::FIRST, |newest| newest.number.next());
        if record.number != expected {
            return Err("a number is missing or out of turn");
        }
        if record.parent != self.newest.as_ref().map(|newest| newest.state) {
            return Err("its parent is not the state that was there before");
        }
        if check_name(&record.name).is_err() {
            return Err("its name is none");
        }
        let is_renamed = self.newest.as_ref().is_some_and(|newest| newest.name != record.name);
        if is_renamed != (record.act == Act::Renamed) {
            return Err("it has another name without being renamed");
        }
        let was_deleted = self.newest.as_ref().is_some_and(|newest| newest.is_deleted);
        let is_deleted = match record.act {
            Act::Saved => Some(false),
            Act::Deleted => (self.newest.is_some() && !was_deleted).then_some(true),
            Act::Renamed => (!was_deleted && record.parent == Some(record.state)).then_some(false),
            Act::Undone | Act::Redone => self.states.get(&record.state).copied(),
        };
        if is_deleted != Some(record.is_deleted) {
            return Err("what it does cannot be done there");
        }
        if record.act.makes_state() {
            if record.state != record.number {
                return Err("it does not show the state it made");
            }
            self.states.insert(record.state, record.is_deleted);
        }
        self.newest = Some(record.clone());
        Ok(())
    }

    /// The newest revision so far.
    pub(crate) fn newest(&self) -> Option<&RevisionRecord> {
        self.newest.as_ref()
    }
}

#[cfg(test)]
mod tests;
