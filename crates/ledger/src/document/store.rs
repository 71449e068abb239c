//! Revisions on their way into the file and out of it.
//!
//! What it is: the one place that writes revisions. A text is kept whole at first and from time to time; between, only what
//! differs from the state before is kept.

use rusqlite::{OptionalExtension, Row, params};

use super::record::{Revision, RevisionRecord, seal};
use super::splice::Splice;
use crate::error::StoreError;
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::Moment;

/// How many splices lie between a revision and a whole text at most, so that any revision is read back quickly and a
/// damaged place hits few.
const MOST_DEPTH: u32 = 16;

/// The columns of [`record_of_row`].
pub(super) const RECORD_COLUMNS: &str = "r.document, d.kind, r.number, r.act, r.state, r.parent, r.name, \
     r.is_deleted, r.at, r.by, r.note";

pub(super) fn record_of_row(row: &Row<'_>) -> rusqlite::Result<RevisionRecord> {
    Ok(RevisionRecord {
        document: row.get(0)?,
        kind: row.get(1)?,
        number: row.get(2)?,
        act: row.get(3)?,
        state: row.get(4)?,
        parent: row.get(5)?,
        name: row.get(6)?,
        is_deleted: row.get(7)?,
        at: Moment::from_unix_millis(row.get(8)?),
        by: row.get(9)?,
        note: row.get(10)?,
    })
}

/// Writes a revision. `before` is the text of the parent's state, where it is known to be what was sealed.
pub(crate) fn insert_revision(
    ledger: &Ledger,
    revision: &Revision,
    before: Option<&str>,
) -> Result<(), StoreError> {
    let Revision { record, text } = revision;
    let whole = (None, 0, Splice { front: 0, back: 0, piece: text });
    let (base, depth, splice) = if record.act.makes_state() {
        match (record.parent, before) {
            (Some(parent), Some(before)) => {
                let depth = depth_of(ledger, record.document, parent)? + 1;
                let splice = Splice::between(before, text);
                let is_worth_it = depth <= MOST_DEPTH && splice.piece.len() <= text.len() / 2;
                if is_worth_it { (Some(parent), depth, splice) } else { whole }
            }
            _ => whole,
        }
    } else {
        // It shows the text of another state, and none is kept beside it.
        (None, 0, Splice { front: 0, back: 0, piece: "" })
    };
    let mut statement = ledger.connection.prepare_cached(
        "INSERT INTO revision (document, number, act, state, parent, name, is_deleted, at, by, note, seal, base, \
         depth, front, back, text) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)",
    )?;
    statement.execute(params![
        record.document,
        record.number,
        record.act,
        record.state,
        record.parent,
        record.name,
        record.is_deleted,
        record.at.as_unix_millis(),
        record.by,
        record.note,
        seal(record, text),
        base,
        depth,
        i64::try_from(splice.front).unwrap_or(i64::MAX),
        i64::try_from(splice.back).unwrap_or(i64::MAX),
        splice.piece,
    ])?;
    Ok(())
}

/// Writes a document that has no revision yet, with this number or the next one.
pub(crate) fn insert_document(
    ledger: &Ledger,
    number: Option<DocumentId>,
    kind: Kind,
    name: &str,
) -> Result<DocumentId, StoreError> {
    let mut statement = ledger.connection.prepare_cached(
        "INSERT INTO document (id, kind, name, head, state, is_deleted, at, by, title) \
         VALUES (?1, ?2, ?3, 0, 0, 0, 0, '', '')",
    )?;
    let document = DocumentId::new(statement.insert(params![number, kind, name])?);
    let mut statement = ledger.connection.prepare_cached(
        "INSERT INTO searched (document, name, title, notes, findings, text) VALUES (?1, ?2, '', '', '', '')",
    )?;
    statement.execute(params![document, name])?;
    Ok(document)
}

/// Makes a document show its newest revision.
pub(crate) fn show(ledger: &Ledger, newest: &RevisionRecord, text: &str) -> Result<(), StoreError> {
    let mut statement = ledger.connection.prepare_cached(
        "UPDATE document SET name = ?2, head = ?3, state = ?4, is_deleted = ?5, at = ?6, by = ?7 WHERE id = ?1",
    )?;
    let RevisionRecord { document, name, number, state, is_deleted, by, .. } = newest;
    let at = newest.at.as_unix_millis();
    statement.execute(params![document, name, number, state, is_deleted, at, by])?;
    // Where nothing that is searched changed, the index is left alone.
    let mut statement = ledger.connection.prepare_cached(
        "UPDATE searched SET name = ?2, text = ?3 WHERE document = ?1 AND (name <> ?2 OR text <> ?3)",
    )?;
    statement.execute(params![document, name, text])?;
    Ok(())
}

fn depth_of(ledger: &Ledger, document: DocumentId, state: RevisionNumber) -> Result<u32, StoreError> {
    let mut statement =
        ledger.connection.prepare_cached("SELECT depth FROM revision WHERE document = ?1 AND number = ?2")?;
    Ok(statement.query_row(params![document, state], |row| row.get(0))?)
}

/// A revision with its text, checked against its seal; none where there is none of this number.
pub(super) fn revision(
    ledger: &Ledger,
    document: DocumentId,
    number: RevisionNumber,
) -> Result<Option<Revision>, StoreError> {
    let mut statement = ledger.connection.prepare_cached(&format!(
        "SELECT {RECORD_COLUMNS}, r.seal FROM revision r JOIN document d ON d.id = r.document \
         WHERE r.document = ?1 AND r.number = ?2"
    ))?;
    let found = statement
        .query_row(params![document, number], |row| Ok((record_of_row(row)?, row.get(11)?)))
        .optional()?;
    let Some((record, sealed)) = found else { return Ok(None) };
    let hit = || StoreError::damaged(format!("revision {number} of {} `{}`", record.kind, record.name));
    let text = state_text(ledger, document, record.state)?.ok_or_else(hit)?;
    if seal(&record, &text) != sealed {
        return Err(hit());
    }
    Ok(Some(Revision { record, text }))
}

/// The text of a state, put together from the whole text below it; none where a piece is missing or does not fit.
fn state_text(
    ledger: &Ledger,
    document: DocumentId,
    state: RevisionNumber,
) -> Result<Option<String>, StoreError> {
    let mut statement = ledger
        .connection
        .prepare_cached("SELECT base, front, back, text FROM revision WHERE document = ?1 AND number = ?2")?;
    let mut splices = Vec::new();
    let mut at = state;
    loop {
        type Stored = (Option<RevisionNumber>, i64, i64, String);
        let found: Option<Stored> = statement
            .query_row(params![document, at], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))
            .optional()?;
        let Some((base, front, back, text)) = found else { return Ok(None) };
        let Some(base) = base else {
            return Ok(splices.iter().rev().try_fold(
                text,
                |below, (front, back, piece): &(_, _, String)| {
                    Splice { front: *front, back: *back, piece }.apply(&below)
                },
            ));
        };
        let (Ok(front), Ok(back)) = (usize::try_from(front), usize::try_from(back)) else { return Ok(None) };
        // A base is always an earlier revision; a damaged file shall not send us round in circles.
        if base >= at {
            return Ok(None);
        }
        splices.push((front, back, text));
        at = base;
    }
}
