//! Kinds of documents, and what a document's name may be.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};

/// What a document is. The ledger keeps its text and does not read it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A work order.
    Order,
    /// Units that run together.
    Train,
    /// A part sheet.
    Part,
    /// What was learned about a model type.
    Dossier,
    /// What a locomotive of the virtual bench really is.
    BenchTruth,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 5] = [Self::Order, Self::Train, Self::Part, Self::Dossier, Self::BenchTruth];

    /// Its word, as it is stored.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Order => "order",
            Self::Train => "train",
            Self::Part => "part",
            Self::Dossier => "dossier",
            Self::BenchTruth => "bench-truth",
        }
    }

    /// The folder that documents of this kind lie in when they are files.
    #[must_use]
    pub fn folder(self) -> &'static str {
        match self {
            Self::Order => "orders",
            Self::Train => "trains",
            Self::Part => "parts",
            Self::Dossier => "dossiers",
            Self::BenchTruth => "bench",
        }
    }

    /// The kind of a word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// The kind of a folder.
    #[must_use]
    pub fn from_folder(folder: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.folder() == folder)
    }
}

impl std::fmt::Display for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

impl ToSql for Kind {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.word().into())
    }
}

impl FromSql for Kind {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::from_word(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

/// The longest name, in characters; as for names within documents.
pub const MOST_NAME_CHARACTERS: usize = 60;

/// Why a text is no name for a document.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    /// There is nothing.
    #[error("a document needs a name: write a short one like V-0031")]
    Empty,
    /// It is too long.
    #[error("a name of {n_characters} characters is too long: write at most {MOST_NAME_CHARACTERS}")]
    TooLong {
        /// How long it is.
        n_characters: usize,
    },
    /// It holds something that is not allowed, such as a slash, a dot or a blank.
    #[error("a name may hold letters, digits, `-`, `_` and `+`, but no {found:?}: write a name like V-0031")]
    Character {
        /// The first such character.
        found: char,
    },
}

/// Refuses what is no name. A name that passes is also safe as the name of a file.
pub(crate) fn check_name(name: &str) -> Result<(), NameError> {
    let n_characters = name.chars().count();
    if n_characters == 0 {
        return Err(NameError::Empty);
    }
    if n_characters > MOST_NAME_CHARACTERS {
        return Err(NameError::TooLong { n_characters });
    }
    match name.chars().find(|c| !c.is_alphanumeric() && !matches!(c, '-' | '_' | '+')) {
        Some(found) => Err(NameError::Character { found }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::{Kind, NameError, check_name};

    #[test]
    fn words_and_folders_lead_back() {
        for kind in Kind::ALL {
            assert_eq!(Kind::from_word(kind.word()), Some(kind));
            assert_eq!(Kind::from_folder(kind.folder()), Some(kind));
        }
        assert_eq!(Kind::from_word("orders"), None);
    }

    #[test]
    fn hostile_names_are_refused() {
        assert_eq!(check_name("V-0031"), Ok(()));
        assert_eq!(check_name("Käfer_1+2"), Ok(()));
        assert_eq!(check_name(""), Err(NameError::Empty));
        assert_eq!(check_name(&"x".repeat(61)), Err(NameError::TooLong { n_characters: 61 }));
        for (name, found) in
            [("../etc", '.'), ("a/b", '/'), ("a\\b", '\\'), ("a b", ' '), ("<b>", '<'), ("a\0", '\0')]
        {
            assert_eq!(check_name(name), Err(NameError::Character { found }), "{name:?}");
        }
    }
}
