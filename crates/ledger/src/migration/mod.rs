//! The forms of the shop's file, and how an earlier one becomes today's.
//!
//! What it is: numbered SQL files, of which the file's `user_version` says how many were applied. Each is applied in a
//! transaction of its own together with that number, so that a kill leaves one form or the next.
//! What it is not: a way back. A newer form is left to the newer program.
//!
//! To change the form: add `000N.sql`, name it in [`FORMS`], and keep a file of the form before it (see
//! `tests/it/forms.rs`). Expand first, move what is stored, and contract in a later form.
//!
//! Source: SQLite documentation, "PRAGMA user_version", "PRAGMA application_id".

use rusqlite::{Connection, TransactionBehavior};

use crate::change::row_count;
use crate::error::StoreError;

/// What makes a file a shop's: `BkSh` in ASCII, in the header field that SQLite keeps for it.
const APPLICATION: i64 = 0x426B_5368;

/// The forms, the first one at index 0.
pub(crate) const FORMS: &[&str] = &[include_str!("0001.sql")];

/// The form that this program writes.
pub const NEWEST_FORM: i64 = FORMS.len() as i64;

fn number(connection: &Connection, pragma: &str) -> rusqlite::Result<i64> {
    connection.query_row(&format!("PRAGMA {pragma}"), [], |row| row.get(0))
}

/// The form of a file that was recognised; 0 for one in which nothing was begun yet.
pub(crate) fn form(connection: &Connection) -> Result<i64, StoreError> {
    Ok(number(connection, "user_version")?)
}

/// Whether this is a shop's file that this program may use, or an empty one. Only reads.
pub(crate) fn recognise(connection: &Connection, place: &str) -> Result<(), StoreError> {
    let not_a_shop = |what: &str| StoreError::NotAShop { place: place.to_owned(), what: what.to_owned() };
    let application = match number(connection, "application_id") {
        Ok(application) => application,
        Err(error) if error.sqlite_error_code() == Some(rusqlite::ErrorCode::NotADatabase) => {
            return Err(not_a_shop(
                "it is no database at all, or the first bytes of one that was damaged (then restore a backup)",
            ));
        }
        Err(error) => return Err(error.into()),
    };
    let found = form(connection)?;
    if application == APPLICATION {
        return if found > NEWEST_FORM {
            Err(StoreError::Newer { place: place.to_owned(), found, known: NEWEST_FORM })
        } else {
            Ok(())
        };
    }
    let n_things: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if application != 0 || found != 0 || n_things != 0 {
        return Err(not_a_shop("it is the database of another program"));
    }
    Ok(())
}

/// How many forms were applied to a file.
fn applied(connection: &Connection) -> Result<usize, StoreError> {
    usize::try_from(form(connection)?).map_err(|_| StoreError::damaged("the number of its form"))
}

/// Brings a file to the last of `forms`.
pub(crate) fn migrate(connection: &Connection, forms: &[&str]) -> Result<(), StoreError> {
    while applied(connection)? < forms.len() {
        // The form is read again once the file is ours alone: another program may be doing the same.
        let transaction = rusqlite::Transaction::new_unchecked(connection, TransactionBehavior::Immediate)?;
        let n_applied = applied(&transaction)?;
        if let Some(sql) = forms.get(n_applied) {
            transaction.execute_batch(sql)?;
            transaction.pragma_update(None, "application_id", APPLICATION)?;
            transaction.pragma_update(None, "user_version", row_count(n_applied + 1))?;
        }
        transaction.commit()?;
    }
    Ok(())
}

#[cfg(test)]
mod tests;
