//! Search over names, titles, notes, findings and texts of all documents.
//!
//! What it is: what a person types, made into a query that cannot fail; the last letters of each word may be missing.
//! What it is not: a query language. Quotes, stars and brackets are blanks here.
//!
//! Source: SQLite documentation, "FTS5 Extension", sections 3 (query syntax), 5.1.1 and 5.1.3 (rank and snippet).

use rusqlite::params;

use crate::change::row_count;
use crate::document::Document;
use crate::error::StoreError;
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::Moment;

/// What to search for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SearchQuery<'a> {
    /// The words, as typed. A document is found that has them all.
    pub words: &'a str,
    /// Only documents of this kind; none for all kinds.
    pub kind: Option<Kind>,
    /// How many hits to pass over.
    pub offset: usize,
    /// How many hits to return at most.
    pub limit: usize,
}

/// A stretch of an excerpt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// The text, as it stands in the document; to be escaped by whoever shows it.
    pub text: String,
    /// Whether it is what was searched for.
    pub is_match: bool,
}

/// A document that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// The document.
    pub document: Document,
    /// The part of it that fits best.
    pub excerpt: Vec<Piece>,
}

/// A page of what was found, best first; newest first where almost everything was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The documents.
    pub hits: Vec<Hit>,
    /// Whether there are more behind them.
    pub has_more: bool,
}

/// The most words that are looked at.
const MOST_WORDS: usize = 12;
/// The most letters of a word that are looked at.
const MOST_LETTERS: usize = 40;
/// The most matches that are weighed against each other.
const MOST_RANKED: i64 = 2_000;
/// How many words an excerpt has.
const EXCERPT_WORDS: i64 = 24;
/// What marks a match within an excerpt as SQLite returns it: characters for private use, which no document needs.
const MARKS: [char; 2] = ['\u{E000}', '\u{E001}'];

impl Ledger {
    /// Searches all documents that are not deleted. Nothing is found where there is no word to search for.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn search(&self, query: &SearchQuery<'_>) -> Result<Found, StoreError> {
        let Some(expression) = expression(query.words) else {
            return Ok(Found { hits: Vec::new(), has_more: false });
        };
        // Ordered by `rank` or `rowid` alone, FTS5 sorts by itself and makes excerpts only for the rows that are returned.
        let order = if self.is_ranked(&expression)? { "rank" } else { "search.rowid DESC" };
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT d.id, d.kind, d.name, d.title, d.head, d.is_deleted, d.at, d.by, \
             snippet(search, -1, ?5, ?6, '…', ?7) \
             FROM search JOIN document d ON d.id = search.rowid \
             WHERE search MATCH ?1 AND NOT d.is_deleted AND (?2 IS NULL OR d.kind = ?2) \
             ORDER BY {order} LIMIT ?3 OFFSET ?4"
        ))?;
        let marks = MARKS.map(String::from);
        // One more than wanted tells whether there is more.
        let window = (row_count(query.limit.saturating_add(1)), row_count(query.offset));
        let rows = statement.query_map(
            params![expression, query.kind, window.0, window.1, marks[0], marks[1], EXCERPT_WORDS],
            |row| {
                Ok(Hit {
                    document: Document {
                        id: row.get(0)?,
                        kind: row.get(1)?,
                        name: row.get(2)?,
                        title: row.get(3)?,
                        head: row.get(4)?,
                        is_deleted: row.get(5)?,
                        at: Moment::from_unix_millis(row.get(6)?),
                        by: row.get(7)?,
                    },
                    excerpt: pieces(&row.get::<_, String>(8)?),
                })
            },
        )?;
        let mut hits: Vec<Hit> = rows.collect::<Result<_, _>>()?;
        let has_more = hits.len() > query.limit;
        hits.truncate(query.limit);
        Ok(Found { hits, has_more })
    }

    /// Whether there are few enough matches to weigh each against the others. To weigh twenty thousand takes long and tells
    /// nothing: then the newest documents come first.
    fn is_ranked(&self, expression: &str) -> Result<bool, StoreError> {
        let mut statement = self
            .connection
            .prepare_cached("SELECT count(*) FROM (SELECT 1 FROM search WHERE search MATCH ?1 LIMIT ?2)")?;
        let n_matches: i64 = statement.query_row(params![expression, MOST_RANKED + 1], |row| row.get(0))?;
        Ok(n_matches <= MOST_RANKED)
    }

    /// Makes the search index anew from the documents, for one that was damaged.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn rebuild_search(&mut self) -> Result<(), StoreError> {
        self.together(|ledger| {
            ledger.connection.execute("INSERT INTO search (search) VALUES ('rebuild')", [])?;
            Ok(())
        })
    }
}

/// What was typed as a query of FTS5: each word a string in quotes, to be continued by anything; none where there is no
/// letter or digit in it.
fn expression(words: &str) -> Option<String> {
    let words = words.split(|c: char| c.is_whitespace() || c == '"' || c.is_control() || MARKS.contains(&c));
    let quoted: Vec<String> = words
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .take(MOST_WORDS)
        .map(|word| format!("\"{}\"*", word.chars().take(MOST_LETTERS).collect::<String>()))
        .collect();
    (!quoted.is_empty()).then(|| quoted.join(" "))
}

/// An excerpt cut at its marks.
fn pieces(excerpt: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut is_match = false;
    for text in excerpt.split(MARKS) {
        if !text.is_empty() {
            pieces.push(Piece { text: text.to_owned(), is_match });
        }
        is_match = !is_match;
    }
    pieces
}

#[cfg(test)]
mod tests;
