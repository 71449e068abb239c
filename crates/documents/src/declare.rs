//! The macros that declare documents, and the functions they expand to.

use std::collections::BTreeSet;
use std::ops::Range;

use serde_json::{Value, json};
use toml::de::DeTable;

use crate::nearest::nearest;
use crate::reader::{Node, Read, Reader};

/// Declares a table of a document: a struct whose fields are its keys, written in kebab case.
///
/// `Option` and `Vec` fields may be missing, [`crate::Keyed`] tables too, all others must be there. Unknown keys are faults.
#[macro_export]
macro_rules! record {
    (
        $(#[doc = $doc:literal])*
        pub struct $name:ident {
            $( $(#[doc = $field_doc:literal])* pub $field:ident : $type:ty ),* $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $( $(#[doc = $field_doc])* pub $field: $type, )*
        }

        impl $crate::Read for $name {
            fn read(node: &$crate::Node<'_>, reader: &mut $crate::Reader) -> Option<Self> {
                let mut table = $crate::declared::Table::open(node, reader)?;
                $( let $field = table.entry::<$type>(&$crate::declared::kebab(stringify!($field)), reader); )*
                table.close(reader);
                Some(Self { $( $field: $field?, )* })
            }

            fn schema(definitions: &mut $crate::Definitions) -> $crate::declared::serde_json::Value {
                definitions.record(
                    stringify!($name),
                    concat!($($doc, "\n"),*),
                    |definitions| vec![
                        $( (
                            $crate::declared::kebab(stringify!($field)),
                            $crate::declared::described(<$type as $crate::Read>::schema(definitions), concat!($($field_doc, "\n"),*)),
                            <$type as $crate::Read>::missing().is_none(),
                        ) ),*
                    ],
                )
            }
        }
    };
}

/// Declares a choice of words: an enum whose variants are written as the given strings.
#[macro_export]
macro_rules! words {
    (
        $(#[doc = $doc:literal])*
        pub enum $name:ident: $what:literal {
            $( $(#[doc = $variant_doc:literal])* $variant:ident = $word:literal ),+ $(,)?
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $( $(#[doc = $variant_doc])* $variant, )+
        }

        impl $name {
            /// All of them, in their order.
            pub const ALL: &'static [$name] = &[$($name::$variant),+];

            /// The word as documents and views spell it.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $( Self::$variant => $word, )+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl $crate::Read for $name {
            fn read(node: &$crate::Node<'_>, reader: &mut $crate::Reader) -> Option<Self> {
                $crate::declared::read_word(node, reader, $what, Self::ALL, Self::word)
            }

            fn schema(_: &mut $crate::Definitions) -> $crate::declared::serde_json::Value {
                $crate::declared::word_schema(concat!($($doc, "\n"),*), &[$( ($word, concat!($($variant_doc, "\n"),*)) ),+])
            }
        }
    };
}

/// A table being read: knows which keys were asked for, so that the others can be named as unknown.
#[derive(Debug)]
pub struct Table<'a> {
    node: Node<'a>,
    entries: &'a DeTable<'a>,
    known: BTreeSet<String>,
}

impl<'a> Table<'a> {
    /// Opens a node that must be a table.
    pub fn open(node: &Node<'a>, reader: &mut Reader) -> Option<Self> {
        let Some(entries) = node.value.get_ref().as_table() else {
            reader.wrong_kind(node, "a table");
            return None;
        };
        Some(Self { node: node.clone(), entries, known: BTreeSet::new() })
    }

    /// Reads one entry; a fault where it is missing and must not be.
    pub fn entry<T: Read>(&mut self, key: &str, reader: &mut Reader) -> Option<T> {
        self.known.insert(key.to_owned());
        let path = self.node.path.join(key);
        let Some((found_key, value)) = self.entries.get_key_value(key) else {
            let missing = T::missing();
            if missing.is_none() {
                reader.fault_at(
                    self.head(),
                    path,
                    format!("the key `{key}` is missing from {}", self.node.path),
                    format!("add a line `{key} = …`"),
                );
            }
            return missing;
        };
        reader.remember(path.clone(), key_and_value(&found_key.span(), &value.span()));
        T::read(&Node { value, path }, reader)
    }

    /// Names the keys that nobody asked for.
    pub fn close(self, reader: &mut Reader) {
        for (key, _) in self.entries.iter().filter(|(key, _)| !self.known.contains(key.get_ref().as_ref())) {
            let word = key.get_ref();
            let help = match nearest(word, self.known.iter().map(String::as_str)) {
                Some(known) => format!("did you mean `{known}`?"),
                None => {
                    let known: Vec<String> = self.known.iter().map(|key| format!("`{key}`")).collect();
                    format!("the keys known here are {}", known.join(", "))
                }
            };
            let place = if self.node.path.as_str().is_empty() {
                String::new()
            } else {
                format!(" in {}", self.node.path)
            };
            reader.fault_at(
                key.span(),
                self.node.path.join(word),
                format!("unknown key `{word}`{place}"),
                help,
            );
        }
    }

    /// Where a missing key is told: the first key of the table, for the span of a whole table can be the whole file.
    fn head(&self) -> Range<usize> {
        let span = self.node.value.span();
        self.entries.iter().next().map_or(span.start..span.start, |(key, _)| key.span())
    }
}

fn key_and_value(key: &Range<usize>, value: &Range<usize>) -> Range<usize> {
    // A table's or a list of tables' value may stand far from its key; then the key alone is the place.
    if value.start >= key.end && value.start - key.end < 16 { key.start..value.end } else { key.clone() }
}

/// `stall_current` as documents write it: `stall-current`.
#[must_use]
pub fn kebab(field: &str) -> String {
    field.trim_start_matches("r#").replace('_', "-")
}

/// A schema with a description.
#[must_use]
pub fn described(mut schema: Value, doc: &str) -> Value {
    let doc = tidy(doc);
    if let (Some(object), false) = (schema.as_object_mut(), doc.is_empty()) {
        object.insert("description".to_owned(), Value::String(doc));
    }
    schema
}

pub(crate) fn tidy(doc: &str) -> String {
    doc.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Reads one of a choice of words.
pub fn read_word<T: Copy>(
    node: &Node<'_>,
    reader: &mut Reader,
    what: &str,
    all: &[T],
    word: impl Fn(T) -> &'static str,
) -> Option<T> {
    let text = reader.text(node, what)?;
    let found = all.iter().copied().find(|choice| word(*choice) == text);
    if found.is_none() {
        let words = || all.iter().map(|choice| word(*choice));
        let help = nearest(text, words()).map_or_else(
            || {
                format!(
                    "use one of {}",
                    words().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ")
                )
            },
            |near| format!("did you mean \"{near}\"?"),
        );
        let shown: String = text.chars().take(40).collect();
        reader.fault(node, format!("`{shown}` is not {what}"), help);
    }
    found
}

/// The schema of a choice of words.
#[must_use]
pub fn word_schema(doc: &str, words: &[(&'static str, &'static str)]) -> Value {
    let choices: Vec<Value> =
        words.iter().map(|(word, doc)| described(json!({ "const": word }), doc)).collect();
    described(json!({ "oneOf": choices }), doc)
}
