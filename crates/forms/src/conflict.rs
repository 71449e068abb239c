//! Two edits of one document, compared by fields and brought together where they touched different ones. What both changed is shown and
//! never silently overwritten.
//!
//! ```
//! use forms::conflict::{Merge, merge};
//! documents::record! {
//!     /// A lamp.
//!     pub struct Lamp {
//!         /// Kind of lamp.
//!         pub kind: Option<String>,
//!         /// Its colour.
//!         pub colour: Option<String>,
//!     }
//! }
//! let schema = documents::schema::<Lamp>("lamp");
//! let base = "kind = \"bulb\" # old\n";
//! let (ours, theirs) = ("kind = \"LED\" # old\n", "kind = \"bulb\" # old\ncolour = \"red\"\n");
//! let Merge::Merged { text, .. } = merge(&schema, base, ours, theirs)? else { unreachable!() };
//! assert_eq!(text, "kind = \"LED\" # old\ncolour = \"red\"\n");
//! # Ok::<(), forms::EditError>(())
//! ```

use finding::Path;
use serde_json::Value;

use crate::edit::without_mark;
use crate::error::EditError;
use crate::layout::Layout;
use crate::schema::Schema;

mod approach;
#[cfg(test)]
mod tests;
mod three_way;

use three_way::ThreeWay;

/// One of two edits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The one that is to be saved.
    Ours,
    /// The one that was saved meanwhile.
    Theirs,
}

/// Who changed a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChangedBy {
    /// Our edit alone.
    Ours,
    /// Their edit alone.
    Theirs,
    /// Both, differently.
    Both,
}

/// A field, entry or list that stands differently in two edits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldDifference {
    /// What differs, as the edit that changed it has it; our path where both did.
    pub path: Path,
    /// The path in words: "Survey: speaker A: part".
    pub label: String,
    /// What stood there before both edits, as a person would type it; none where nothing did.
    pub base: Option<String>,
    /// What our edit has.
    pub ours: Option<String>,
    /// What their edit has.
    pub theirs: Option<String>,
    /// Who changed it.
    pub changed_by: ChangedBy,
}

impl FieldDifference {
    /// Whether both edits changed it, so that a person must say which one holds.
    #[must_use]
    pub fn is_conflict(&self) -> bool {
        self.changed_by == ChangedBy::Both
    }
}

/// What came of bringing two edits together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Merge {
    /// They touched different fields, or every conflict was decided.
    Merged {
        /// Our text with their changes.
        text: String,
        /// All that differed, theirs among it, so that a page can say what came in.
        differences: Vec<FieldDifference>,
    },
    /// A person must decide.
    Conflict(Vec<FieldDifference>),
}

/// Everything that stands differently in two edits of one document. What both changed alike is no difference.
///
/// # Errors
/// Texts that are not TOML.
pub fn compare(base: &str, ours: &str, theirs: &str) -> Result<Vec<FieldDifference>, EditError> {
    let layouts = [base, ours, theirs].map(|text| Layout::parse(without_mark(text).1));
    let [base, ours, theirs] = layouts;
    Ok(ThreeWay::of(&base?.root, &ours?.root, &theirs?.root, &|_| None).differences)
}

/// Brings two edits together where they touched different fields: our text, comments and all, with their changes. Entries that both added
/// to one list are both kept.
///
/// # Errors
/// Texts that are not TOML, and changes that cannot be written into our text.
pub fn merge(schema: &Value, base: &str, ours: &str, theirs: &str) -> Result<Merge, EditError> {
    merge_choosing(schema, base, ours, theirs, &|_| None)
}

/// Like [`merge`], with somebody's decision for each conflict; none leaves it undecided.
///
/// # Errors
/// As [`merge`].
pub fn merge_choosing(
    schema: &Value,
    base: &str,
    ours: &str,
    theirs: &str,
    choose: &dyn Fn(&FieldDifference) -> Option<Side>,
) -> Result<Merge, EditError> {
    let (mark, plain) = without_mark(ours);
    let base = Layout::parse(without_mark(base).1)?;
    let our_layout = Layout::parse(plain)?;
    let theirs = Layout::parse(without_mark(theirs).1)?;
    let result = ThreeWay::of(&base.root, &our_layout.root, &theirs.root, choose);
    if result.is_undecided {
        return Ok(Merge::Conflict(
            result.differences.into_iter().filter(FieldDifference::is_conflict).collect(),
        ));
    }
    if result.merged == our_layout.root {
        return Ok(Merge::Merged { text: ours.to_owned(), differences: result.differences });
    }
    let text = approach::approach(Schema::new(schema), plain, &result.merged)?;
    Ok(Merge::Merged { text: format!("{mark}{text}"), differences: result.differences })
}
