//! A document's history, with what changed in words.

use ledger::{Act, RevisionNumber, RevisionRecord};

use super::open::{Store, find};
use super::view::{DocumentKey, HistoryRow};
use crate::error::ShopError;

impl Store {
    /// The newest revisions of a document, newest first, at most `limit` of them.
    ///
    /// # Errors
    /// No such document, or the shop cannot be read.
    pub fn history(&self, key: &DocumentKey, limit: usize) -> Result<Vec<HistoryRow>, ShopError> {
        let ledger = self.ledger();
        let document = find(&ledger, key)?;
        let records = ledger.history(document.id)?;
        let mut rows = Vec::new();
        let mut text = None;
        for (index, record) in records.iter().enumerate().take(limit) {
            let now = match text.take() {
                Some(text) => text,
                None => ledger.at(document.id, record.number)?.text,
            };
            let before = records.get(index + 1);
            let older = match before {
                Some(before) => Some(ledger.at(document.id, before.number)?.text),
                None => None,
            };
            let mut changes = older.as_deref().map_or_else(Vec::new, |older| changes_in_words(older, &now));
            if let Some(before) = before.filter(|before| before.name != record.name) {
                changes.insert(0, format!("{} is now called {}", before.name, record.name));
            }
            rows.push(HistoryRow {
                revision: record.number,
                act: act_in_words(record, before).to_owned(),
                at: record.at,
                by: record.by.clone(),
                note: record.note.clone(),
                is_present: index == 0,
                changes,
            });
            text = older;
        }
        Ok(rows)
    }

    /// The text of a revision.
    ///
    /// # Errors
    /// No such document or revision, or the shop cannot be read.
    pub fn revision_text(&self, key: &DocumentKey, revision: RevisionNumber) -> Result<String, ShopError> {
        let ledger = self.ledger();
        let document = find(&ledger, key)?;
        Ok(ledger.at(document.id, revision)?.text)
    }
}

fn act_in_words(record: &RevisionRecord, before: Option<&RevisionRecord>) -> &'static str {
    match record.act {
        Act::Saved if before.is_none() => "begun",
        Act::Saved if before.is_some_and(|before| before.is_deleted) => "brought back",
        Act::Saved => "edited",
        Act::Deleted => "put away",
        Act::Undone => "undone",
        Act::Redone => "done again",
        Act::Renamed => "renamed",
    }
}

/// What changed from one text to another, in words.
pub(super) fn changes_in_words(old: &str, new: &str) -> Vec<String> {
    if old == new {
        return Vec::new();
    }
    match forms::difference::changes(old, new) {
        Ok(changes) if changes.is_empty() => vec!["only comments or the way of writing".to_owned()],
        Ok(changes) => changes.iter().map(ToString::to_string).collect(),
        Err(_) => vec![lines_in_words(old, new)],
    }
}

/// How many lines differ, for texts that cannot be compared by fields.
fn lines_in_words(old: &str, new: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let most = old.len().min(new.len());
    let front = old.iter().zip(&new).take_while(|(old, new)| old == new).count();
    let back =
        old.iter().rev().zip(new.iter().rev()).take(most - front).take_while(|(old, new)| old == new).count();
    let (gone, come) = (old.len() - front - back, new.len() - front - back);
    format!("{gone} lines of the text became {come}, from line {} on", front + 1)
}
