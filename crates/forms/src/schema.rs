//! A JSON Schema as `documents::schema` writes it, walked by the steps of a path: what belongs at each place.

use serde_json::{Map, Value};

use crate::vocabulary::is_long;

/// References that lead on to references are followed this often; a longer chain is a ring.
const MOST_HOPS: usize = 32;

/// What a field takes.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A short text.
    Text {
        /// The regular expression it must match whole, where there is one.
        pattern: Option<String>,
        /// Examples.
        examples: Vec<String>,
    },
    /// A text of more than a few words.
    LongText,
    /// A name: letters, digits, `-`, `_` and `+`.
    Name,
    /// A number with its unit.
    Quantity {
        /// Examples.
        examples: Vec<String>,
        /// The units that are understood, the most usual as the schema orders them.
        units: Vec<String>,
    },
    /// A meter's reading.
    Reading {
        /// Examples.
        examples: Vec<String>,
    },
    /// One of some words.
    Choice(Vec<Word>),
    /// A whole number.
    Whole {
        /// The least, where there is one.
        least: Option<i64>,
        /// The most, where there is one.
        most: Option<i64>,
    },
    /// A number with or without decimals.
    Number,
    /// Yes or no.
    Flag,
    /// Some of a kind, with commas between them.
    Several {
        /// What each of them is.
        of: Box<Kind>,
        /// Whether one of them is written without a list: `"horn"` or `["horn", "bell"]`.
        is_one_enough: bool,
    },
}

/// A word that may be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// The word as documents spell it.
    pub value: String,
    /// What it means.
    pub help: String,
}

impl Kind {
    /// The kind in one word, for those who suggest values: `name`, `text`, `reading`, `quantity`, `choice`, `whole`, `number`, `flag`.
    /// Of several, the word for one of them.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Text { .. } | Self::LongText => "text",
            Self::Name => "name",
            Self::Quantity { .. } => "quantity",
            Self::Reading { .. } => "reading",
            Self::Choice(_) => "choice",
            Self::Whole { .. } => "whole",
            Self::Number => "number",
            Self::Flag => "flag",
            Self::Several { of, .. } => of.word(),
        }
    }
}

/// What belongs at a place of a document.
#[derive(Debug, Clone)]
pub(crate) enum Shape<'s> {
    /// A table with known keys.
    Record(Record<'s>),
    /// A table with free keys, and what each of them holds.
    Keyed(Schema<'s>),
    /// A list of tables, and what each entry is.
    Entries(Schema<'s>),
    /// One field.
    Plain(Kind),
}

/// A table with known keys.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Record<'s> {
    pub(crate) properties: &'s Map<String, Value>,
    required: &'s [Value],
    root: &'s Value,
}

impl<'s> Record<'s> {
    pub(crate) fn is_required(&self, key: &str) -> bool {
        self.required.iter().any(|required| required.as_str() == Some(key))
    }

    pub(crate) fn field(&self, key: &str) -> Option<Schema<'s>> {
        self.properties.get_key_value(key).map(|(key, node)| Schema::at(self.root, node, key))
    }

    pub(crate) fn fields(&self) -> impl Iterator<Item = (&'s str, Schema<'s>)> {
        let root = self.root;
        self.properties.iter().map(move |(key, node)| (key.as_str(), Schema::at(root, node, key)))
    }
}

/// A place in a schema, references followed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Schema<'s> {
    root: &'s Value,
    node: &'s Value,
    key: &'s str,
    /// What the schema says about the place; that of a reference before that of its target.
    pub(crate) help: &'s str,
    /// The definition that was referred to, by which rings are known; empty for none.
    pub(crate) definition: &'s str,
}

impl<'s> Schema<'s> {
    pub(crate) fn new(root: &'s Value) -> Self {
        Self::at(root, root, "")
    }

    fn at(root: &'s Value, node: &'s Value, key: &'s str) -> Self {
        let mut here = Self { root, node, key, help: text_of(node, "description"), definition: "" };
        for _ in 0..MOST_HOPS {
            let reference = text_of(here.node, "$ref");
            let Some(target) = reference.strip_prefix('#').and_then(|pointer| root.pointer(pointer)) else {
                break;
            };
            here.node = target;
            here.definition = reference;
            if here.help.is_empty() {
                here.help = text_of(target, "description");
            }
        }
        if here.help.is_empty() {
            // What is said about one of several is better than nothing.
            let one = here.node.get("items").or_else(|| here.node.get("anyOf").and_then(|ways| ways.get(0)));
            here.help = one.map_or("", |one| text_of(one, "description"));
        }
        here
    }

    /// The title of the document that the schema is for.
    pub(crate) fn title(&self) -> &'s str {
        text_of(self.root, "title")
    }

    pub(crate) fn shape(&self) -> Shape<'s> {
        if let Some(properties) = self.node.get("properties").and_then(Value::as_object) {
            let required = self.node.get("required").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
            return Shape::Record(Record { properties, required, root: self.root });
        }
        if let Some(values) = self.node.get("additionalProperties").filter(|values| values.is_object()) {
            return Shape::Keyed(Self::at(self.root, values, self.key));
        }
        if let Some(items) = self.node.get("items") {
            let items = Self::at(self.root, items, self.key);
            if items.is_table() {
                return Shape::Entries(items);
            }
            return Shape::Plain(Kind::Several { of: Box::new(items.kind()), is_one_enough: false });
        }
        Shape::Plain(self.kind())
    }

    fn is_table(&self) -> bool {
        self.node.get("properties").is_some()
            || self.node.get("additionalProperties").is_some_and(Value::is_object)
    }

    /// The kind of a single value. Lists of lists do not occur in our documents; they count as text.
    fn kind(&self) -> Kind {
        if let Some(choices) = self.node.get("oneOf").and_then(Value::as_array) {
            return Kind::Choice(choices.iter().filter_map(word).collect());
        }
        if let Some(ways) = self.node.get("anyOf").and_then(Value::as_array)
            && let Some(one) = ways.iter().find(|way| way.get("items").is_none())
        {
            let one = Self::at(self.root, one, self.key);
            // Not asked further where a choice of ways leads to another one: that could be a ring.
            let of = if one.node.get("anyOf").is_some() { one.text_kind() } else { one.kind() };
            return Kind::Several { of: Box::new(of), is_one_enough: true };
        }
        match text_of(self.node, "type") {
            "boolean" => Kind::Flag,
            "integer" => Kind::Whole {
                least: self.node.get("minimum").and_then(Value::as_i64),
                most: self.node.get("maximum").and_then(Value::as_i64),
            },
            "number" => Kind::Number,
            _ => self.text_kind(),
        }
    }

    fn text_kind(&self) -> Kind {
        let pattern = text_of(self.node, "pattern");
        let examples: Vec<String> =
            self.node.get("examples").and_then(Value::as_array).map_or_else(Vec::new, |list| {
                list.iter().filter_map(Value::as_str).map(str::to_owned).collect()
            });
        if let Some(units) = units(pattern) {
            Kind::Quantity { examples, units }
        } else if examples.iter().any(|example| example == "OL") {
            // Only a meter says OL; the schema has no other mark for a reading.
            Kind::Reading { examples }
        } else if pattern.contains("\\p{L}") && pattern.contains("{1,60}") {
            Kind::Name
        } else if pattern.is_empty() && examples.is_empty() && is_long(self.key) {
            Kind::LongText
        } else {
            Kind::Text { pattern: Some(pattern.to_owned()).filter(|pattern| !pattern.is_empty()), examples }
        }
    }
}

fn text_of<'s>(node: &'s Value, key: &str) -> &'s str {
    node.get(key).and_then(Value::as_str).unwrap_or("")
}

fn word(choice: &Value) -> Option<Word> {
    let value = choice.get("const")?.as_str()?.to_owned();
    Some(Word { value, help: text_of(choice, "description").to_owned() })
}

/// The units in a quantity's pattern, which `documents` writes as `^ *[-+0-9].*|UNIT|UNIT…$`; none for other patterns.
fn units(pattern: &str) -> Option<Vec<String>> {
    let list = pattern.strip_prefix("^ *[-+0-9].*|")?.strip_suffix('$')?;
    let mut units = vec![String::new()];
    let mut letters = list.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '|' => units.push(String::new()),
            '\\' => push(&mut units, letters.next()),
            other => push(&mut units, Some(other)),
        }
    }
    Some(units)
}

fn push(units: &mut [String], letter: Option<char>) {
    if let (Some(unit), Some(letter)) = (units.last_mut(), letter) {
        unit.push(letter);
    }
}
