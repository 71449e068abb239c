//! A document as a form: every section, list and field that the schema knows, with what the text says in each.
//!
//! Works on half-finished texts: what can be read is shown, what is wrong is shown beside it. Fields carry two paths that differ only where
//! two entries have one name: [`Field::path`] is for edits and always means this field, [`Field::told`] is the one that faults and findings
//! use.
//!
//! ```
//! use forms::form::{Form, Item};
//! documents::record! {
//!     /// The motor.
//!     pub struct Motor {
//!         /// Current with the motor held.
//!         pub stall_current: quantities::Current,
//!     }
//! }
//! impl documents::Checked for Motor {}
//! let (schema, text) = (documents::schema::<Motor>("motor"), "stall-current = 0.62");
//! let faults = documents::read::<Motor>("motor.toml", text).unwrap_err();
//! let form = Form::of(&schema, text, Some(&faults));
//! let Item::Field(field) = &form.root.items[0] else { unreachable!() };
//! assert_eq!((field.label.as_str(), field.value.as_deref()), ("Stall current", Some("0.62")));
//! assert_eq!(field.faults[0].headline, "`0.62` has no unit; an electrical current needs one");
//! ```

use documents::Faults;
use finding::Path;
use serde_json::Value;

use crate::edit::without_mark;
use crate::layout::Layout;
pub use crate::layout::TextFault;
use crate::schema::Schema;
pub use crate::schema::{Kind, Word};
pub use crate::vocabulary::KeyKind;

mod build;
mod faults;
#[cfg(test)]
mod tests;
mod walk;

/// A document as a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// The document itself; its label is the schema's title.
    pub root: Section,
    /// Where the text is not TOML, the first of such places. Nothing can be edited by fields until they are mended in the text.
    pub text_faults: Vec<TextFault>,
    /// Lists of suggestions that fields refer to.
    pub suggestions: Vec<Vec<String>>,
}

/// A part of a form.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// One field.
    Field(Field),
    /// A table with known keys.
    Section(Section),
    /// A list of tables.
    List(List),
    /// A table with free keys.
    Keyed(Keyed),
}

/// What is wrong with a part of a form, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// What is wrong.
    pub headline: String,
    /// What to do.
    pub help: String,
}

/// One field.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// The path for edits.
    pub path: Path,
    /// The path that faults and findings use.
    pub told: Path,
    /// The last step of the path.
    pub key: String,
    /// The key as a sentence begins: "Stall current".
    pub label: String,
    /// What the schema says about it.
    pub help: String,
    /// What it takes.
    pub kind: Kind,
    /// What is written down, as a person would type it; none where nothing is.
    pub value: Option<String>,
    /// Whether it must be there.
    pub is_required: bool,
    /// What is wrong with it.
    pub faults: Vec<Remark>,
    /// Which of the form's lists of suggestions is for it.
    pub suggestions: Option<usize>,
}

/// A table with known keys: a section of the document or a group of fields.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The path for edits.
    pub path: Path,
    /// The path that faults and findings use.
    pub told: Path,
    /// The last step of the path.
    pub key: String,
    /// The key as a sentence begins; of an entry its title.
    pub label: String,
    /// What the schema says about it.
    pub help: String,
    /// Whether it must be there.
    pub is_required: bool,
    /// Whether it is written down at all.
    pub is_written: bool,
    /// What stands in its place and is no table.
    pub obstacle: Option<String>,
    /// Its fields, groups and lists, in the schema's order.
    pub items: Vec<Item>,
    /// Keys that the schema does not know.
    pub unknown: Vec<Unknown>,
    /// What is wrong with it as a whole.
    pub faults: Vec<Remark>,
}

/// A key that the schema does not know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// The path, to take it out.
    pub path: Path,
    /// The key.
    pub key: String,
    /// What stands there.
    pub value: String,
}

/// A list of tables.
#[derive(Debug, Clone, PartialEq)]
pub struct List {
    /// The path for edits, to which entries are added.
    pub path: Path,
    /// The path that faults and findings use.
    pub told: Path,
    /// The last step of the path.
    pub key: String,
    /// The key as a sentence begins.
    pub label: String,
    /// What the schema says about it.
    pub help: String,
    /// The entries; the label of each is its name or what it says, like "wire 3: A.red to board.S1".
    pub entries: Vec<Section>,
    /// The fields of an entry that is not there yet, empty, with the paths that it would have without a name.
    pub blank: Vec<Item>,
    /// Whether entries can be added: not while the text is not TOML, or while something else stands in the list's place.
    pub can_add: bool,
    /// What stands in its place and is no list.
    pub obstacle: Option<String>,
    /// What is wrong with it as a whole.
    pub faults: Vec<Remark>,
}

/// A table with free keys.
#[derive(Debug, Clone, PartialEq)]
pub struct Keyed {
    /// The path for edits; a new key is one more step.
    pub path: Path,
    /// The path that faults and findings use.
    pub told: Path,
    /// The last step of the path.
    pub key: String,
    /// The key as a sentence begins.
    pub label: String,
    /// What the schema says about it.
    pub help: String,
    /// What its keys are.
    pub key_kind: KeyKind,
    /// Its keys in the order of the text, with what stands there.
    pub entries: Vec<Item>,
    /// Keys that can be added; empty where there are too many to choose from.
    pub free: Vec<String>,
    /// What a new key would hold.
    pub blank: Vec<Item>,
    /// What stands in its place and is no table.
    pub obstacle: Option<String>,
    /// What is wrong with it as a whole.
    pub faults: Vec<Remark>,
}

impl Form {
    /// The form of a text, whatever that is, with the faults that its reader found.
    #[must_use]
    pub fn of(schema: &Value, text: &str, faults: Option<&Faults>) -> Self {
        let (layout, text_faults) = Layout::recover(without_mark(text).1);
        let root = build::root(Schema::new(schema), &layout.root, text_faults.is_empty());
        let mut form = Self { root, text_faults, suggestions: Vec::new() };
        if let Some(faults) = faults {
            faults::attach(&mut form, faults);
        }
        form
    }

    /// Whether fields can be edited; the text must be mended first where it is not TOML.
    #[must_use]
    pub fn can_edit(&self) -> bool {
        self.text_faults.is_empty()
    }

    /// The same form with suggestions: `suggest` is asked for each field by its path and [`Kind::word`], and for each keyed table by its
    /// path and `key` for the keys that can be added. Empty answers suggest nothing; equal ones are kept once.
    #[must_use]
    pub fn with_suggestions(mut self, suggest: &dyn Fn(&Path, &str) -> Vec<String>) -> Self {
        walk::suggest(&mut self, suggest);
        self
    }

    /// The field of a path, by either of its paths.
    #[must_use]
    pub fn field(&self, path: &Path) -> Option<&Field> {
        walk::fields(&self.root).find(|field| field.path == *path || field.told == *path)
    }

    /// All fields that are, or could be, written down, in the order of the page; the blank ones of new entries are not among them.
    pub fn fields(&self) -> impl Iterator<Item = &Field> {
        walk::fields(&self.root)
    }
}
