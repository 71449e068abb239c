//! Documents as the store hands them out.

use documents::{Fault, Faults};
use finding::Path;
use ledger::{Kind, Moment, RevisionNumber};

/// Which document: its kind and its name. An order's name is its number.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DocumentKey {
    /// What it is.
    pub kind: Kind,
    /// Its name: letters, digits, `-`, `_` and `+`, so that it is safe in an address and as a file's name.
    pub name: String,
}

impl DocumentKey {
    /// A document's key.
    #[must_use]
    pub fn new(kind: Kind, name: impl Into<String>) -> Self {
        Self { kind, name: name.into() }
    }

    /// A work order's.
    #[must_use]
    pub fn order(number: impl Into<String>) -> Self {
        Self::new(Kind::Order, number)
    }

    /// A train's.
    #[must_use]
    pub fn train(name: impl Into<String>) -> Self {
        Self::new(Kind::Train, name)
    }

    /// A part sheet's.
    #[must_use]
    pub fn part(name: impl Into<String>) -> Self {
        Self::new(Kind::Part, name)
    }

    /// A dossier's.
    #[must_use]
    pub fn dossier(name: impl Into<String>) -> Self {
        Self::new(Kind::Dossier, name)
    }
}

/// A document as it is now.
#[derive(Debug, Clone)]
pub struct DocumentView {
    /// Which it is.
    pub key: DocumentKey,
    /// The revision that this is, to be sent along with edits.
    pub revision: RevisionNumber,
    /// Its text, whatever it is: the store keeps what was typed, faults and all.
    pub text: String,
    /// What cannot be read in it; none when all of it can.
    pub faults: Option<Faults>,
    /// Its fields, with faults and suggestions where they belong.
    pub form: forms::form::Form,
    /// Whether it was put away.
    pub is_deleted: bool,
    /// When it was changed last.
    pub changed_at: Moment,
    /// By whom.
    pub changed_by: String,
    /// Whether there is something to undo.
    pub can_undo: bool,
    /// Whether there is something to redo.
    pub can_redo: bool,
}

/// What became of an edit.
#[derive(Debug, Clone, PartialEq)]
pub enum EditOutcome {
    /// It is kept.
    Saved {
        /// Under which name: another than before where the edit gave it one.
        key: DocumentKey,
        /// The revision that it made, or the present one where nothing changed.
        revision: RevisionNumber,
        /// What cannot be read in the document now. Not empty where there were faults before, or where an added entry
        /// still lacks what it must have.
        faults: Vec<Fault>,
    },
    /// It is not kept, because it would bring a fault that was not there: a wrong unit, a name that nobody has. Show it
    /// at the field, with what was typed.
    Invalid {
        /// The faults, each with its path and what to do.
        faults: Vec<Fault>,
    },
    /// It is not kept, because somebody changed the same field since the expected revision. To have it anyway, send it
    /// again with this revision.
    Conflict {
        /// The revision that it is now.
        revision: RevisionNumber,
        /// The fields, each with both values.
        fields: Vec<FieldConflict>,
    },
}

/// A field that two people changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldConflict {
    /// The field; the whole document where one of the texts is no TOML.
    pub path: Path,
    /// The path in words: "Survey: speaker A: part".
    pub label: String,
    /// What it said at the revision that both began with; none where it said nothing.
    pub before: Option<String>,
    /// What somebody else made of it, which is what the store holds.
    pub theirs: Option<String>,
    /// What this edit wanted.
    pub yours: Option<String>,
}

/// One revision in a document's history.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryRow {
    /// Its number, from 1.
    pub revision: RevisionNumber,
    /// What kind of change, in a word: "created", "edited", "undone" …
    pub act: String,
    /// When.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Why; may be empty.
    pub note: String,
    /// Whether it is the revision that the document shows now.
    pub is_present: bool,
    /// What changed against the revision before, in words.
    pub changes: Vec<String>,
}

/// A document that a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SearchHit {
    /// Which.
    pub key: DocumentKey,
    /// Its title: an order's model, a train's or part's title.
    pub title: String,
    /// The place, as pieces of text; the ones that matched are marked.
    pub excerpt: Vec<(String, bool)>,
}
