//! The tree of a document: tables, lists and scalars with their places, compared by what they say.

use std::collections::BTreeMap;
use std::ops::Range;

/// A part of the tree.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    pub(crate) content: Content,
    pub(crate) written: Written,
    /// The bytes of a value, of a header, or of the key that a table follows from.
    pub(crate) span: Range<usize>,
}

/// What a part of the tree holds.
#[derive(Debug, Clone)]
pub(crate) enum Content {
    Scalar(Scalar),
    Table(Vec<Member>),
    List(Vec<Node>),
}

/// A key of a table and what stands there.
#[derive(Debug, Clone)]
pub(crate) struct Member {
    pub(crate) key: String,
    /// The key alone, of a dotted one the last part.
    pub(crate) key_span: Range<usize>,
    pub(crate) node: Node,
}

/// How a part of the tree is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Written {
    /// After an equals sign or within brackets or braces.
    Value,
    /// A table under a header of its own; the root too.
    Header,
    /// A table that has no header, but headers below it: `survey` where there is only `[[survey.wire]]`.
    Implied,
    /// A table from dotted keys: `survey.socket = "NEM652"`.
    Dotted,
    /// A list of tables, each under its header.
    Headers,
}

/// A single value.
#[derive(Debug, Clone)]
pub(crate) enum Scalar {
    Text(String),
    /// Decimal digits; as written where they are beyond all counting.
    Whole(String),
    /// As written, underscores left out.
    Number(String),
    Flag(bool),
    Moment(String),
}

impl Scalar {
    /// As a person would type it.
    pub(crate) fn typed(&self) -> String {
        match self {
            Self::Text(text) | Self::Whole(text) | Self::Number(text) | Self::Moment(text) => text.clone(),
            Self::Flag(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        }
    }
}

impl PartialEq for Scalar {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(left), Self::Text(right))
            | (Self::Whole(left), Self::Whole(right))
            | (Self::Moment(left), Self::Moment(right)) => left == right,
            (Self::Number(left), Self::Number(right)) => {
                let bits = |text: &str| text.parse::<f64>().map(f64::to_bits).ok();
                left == right || (bits(left).is_some() && bits(left) == bits(right))
            }
            (Self::Flag(left), Self::Flag(right)) => left == right,
            _ => false,
        }
    }
}

/// Equal in what is said: places and ways of writing do not count, nor does the order of keys.
impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        match (&self.content, &other.content) {
            (Content::Scalar(left), Content::Scalar(right)) => left == right,
            (Content::List(left), Content::List(right)) => left == right,
            (Content::Table(left), Content::Table(right)) => {
                let in_order = || left.iter().zip(right).all(|(left, right)| left.key == right.key);
                if left.len() != right.len() {
                    false
                } else if in_order() {
                    left.iter().zip(right).all(|(left, right)| left.node == right.node)
                } else {
                    self.by_key() == other.by_key()
                }
            }
            _ => false,
        }
    }
}

impl Node {
    /// A value that stands in no text yet.
    pub(crate) fn new(content: Content) -> Self {
        Self { content, written: Written::Value, span: 0..0 }
    }

    /// The table's members; none where it is no table.
    pub(crate) fn members(&self) -> &[Member] {
        match &self.content {
            Content::Table(members) => members,
            _ => &[],
        }
    }

    /// The list's entries; none where it is no list.
    pub(crate) fn entries(&self) -> &[Node] {
        match &self.content {
            Content::List(entries) => entries,
            _ => &[],
        }
    }

    pub(crate) fn is_table(&self) -> bool {
        matches!(self.content, Content::Table(_))
    }

    pub(crate) fn is_list(&self) -> bool {
        matches!(self.content, Content::List(_))
    }

    pub(crate) fn member(&self, key: &str) -> Option<&Member> {
        self.members().iter().find(|member| member.key == key)
    }

    pub(crate) fn get(&self, key: &str) -> Option<&Node> {
        self.member(key).map(|member| &member.node)
    }

    /// The table's members by their keys, for walks over whole tables: one may have very many.
    pub(crate) fn by_key(&self) -> BTreeMap<&str, &Node> {
        self.members().iter().map(|member| (member.key.as_str(), &member.node)).collect()
    }

    pub(crate) fn as_text(&self) -> Option<&str> {
        match &self.content {
            Content::Scalar(Scalar::Text(text)) => Some(text),
            _ => None,
        }
    }

    /// What it is, for a message.
    pub(crate) fn noun(&self) -> &'static str {
        match &self.content {
            Content::Scalar(Scalar::Text(_)) => "a text",
            Content::Scalar(Scalar::Whole(_) | Scalar::Number(_)) => "a bare number",
            Content::Scalar(Scalar::Flag(_)) => "true or false",
            Content::Scalar(Scalar::Moment(_)) => "a date",
            Content::Table(_) => "a table",
            Content::List(_) => "a list",
        }
    }

    /// The same without tables and lists that hold nothing, for they say nothing; entries of lists stay.
    pub(crate) fn without_empties(&self) -> Node {
        let content = match &self.content {
            Content::Scalar(scalar) => Content::Scalar(scalar.clone()),
            Content::List(entries) => Content::List(entries.iter().map(Node::without_empties).collect()),
            Content::Table(members) => Content::Table(
                members
                    .iter()
                    .map(|member| Member {
                        key: member.key.clone(),
                        key_span: member.key_span.clone(),
                        node: member.node.without_empties(),
                    })
                    .filter(|member| {
                        !matches!(&member.node.content, Content::Table(members) if members.is_empty())
                            && !matches!(&member.node.content, Content::List(entries) if entries.is_empty())
                    })
                    .collect(),
            ),
        };
        Node::new(content)
    }
}
