//! Why an edit could not be made: each variant is something the person can mend, and says how.

use finding::Path;

/// Why a document's text was left as it is.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The text is not TOML; nothing is edited in it until it is.
    #[error("line {line}, column {column}: {message}")]
    NotToml {
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
        /// What the parser says.
        message: String,
    },
    /// The text is, or would become, larger than any document may be.
    #[error("the document would have {bytes} bytes; a document has at most {most}")]
    TooLarge {
        /// Bytes that it has or would have.
        bytes: usize,
        /// The most that it may have.
        most: usize,
    },
    /// The schema knows no such field.
    #[error("there is no field `{path}`")]
    NoSuchField {
        /// The path that was asked for.
        path: Path,
        /// The nearest known one, or all of them.
        help: String,
    },
    /// The text has no such entry.
    #[error("there is no entry `{path}`")]
    NoSuchEntry {
        /// The path that was asked for.
        path: Path,
    },
    /// Entries are added to lists of tables only.
    #[error("`{path}` is not a list of entries")]
    NotAList {
        /// The path that was asked for.
        path: Path,
    },
    /// A whole table or list cannot be typed into one field.
    #[error("`{path}` is more than one field")]
    NotAField {
        /// The path that was asked for.
        path: Path,
    },
    /// Something of another kind stands where a table or list belongs.
    #[error("`{path}` is {found} where {wanted} belongs")]
    InTheWay {
        /// Where it stands.
        path: Path,
        /// What it is.
        found: &'static str,
        /// What belongs there.
        wanted: &'static str,
    },
    /// What was typed cannot be written in the field's kind. Wrong units, unknown words and numbers out of range can be written,
    /// and are explained by the document's reader with all its other faults.
    #[error("`{typed}` is not {wanted}")]
    WrongKind {
        /// The field.
        path: Path,
        /// What was typed, shortened.
        typed: String,
        /// What belongs there.
        wanted: String,
    },
    /// Another entry has this name already, or wires use the word for something else.
    #[error("the name `{name}` is taken")]
    NameTaken {
        /// The name.
        name: String,
    },
    /// Two entries have the old name, so that nobody can tell which of them the wires mean.
    #[error("two entries are named `{name}`, and references to it could mean either")]
    NameUnclear {
        /// The name.
        name: String,
    },
    /// So many tables and entries differ that bringing two texts together would take too long.
    #[error("more than {most} tables and entries differ")]
    TooManyChanges {
        /// How many can be brought together in a text of this size.
        most: usize,
    },
    /// The edit was tried, read back, and found to have changed something else; the text was left alone.
    #[error("`{path}` is written in a way that cannot be edited here")]
    Unplaceable {
        /// The path that was asked for.
        path: Path,
    },
}

impl EditError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::NotToml { .. } => {
                "mend the text there first; nothing is edited in a text that is not TOML".to_owned()
            }
            Self::TooLarge { .. } => "shorten what was typed, or split the document".to_owned(),
            Self::NoSuchField { help, .. } => help.clone(),
            Self::NoSuchEntry { .. } => {
                "add the entry first, or look whether somebody renamed or removed it".to_owned()
            }
            Self::NotAList { .. } => "write it as one field, with commas between the items".to_owned(),
            Self::NotAField { .. } => "name one of the fields in it".to_owned(),
            Self::InTheWay { path, .. } => format!("remove `{path}` first, then fill in its fields"),
            Self::WrongKind { wanted, .. } => format!("write {wanted}"),
            Self::NameTaken { .. } => "choose another name".to_owned(),
            Self::NameUnclear { .. } => {
                "change the `name` of one of the two by itself, then mend the wires that mean it".to_owned()
            }
            Self::TooManyChanges { .. } => "choose one of the two texts as a whole".to_owned(),
            Self::Unplaceable { .. } => "change it in the text".to_owned(),
        }
    }
}

/// What was typed, short enough for a message.
pub(crate) fn shortened(typed: &str) -> String {
    const MOST: usize = 40;
    let mut short: String = typed.chars().take(MOST).collect();
    if short.len() < typed.len() {
        short.push('…');
    }
    short
}
