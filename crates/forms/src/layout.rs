//! A document's text as a tree that knows where each thing stands and how it is written.
//!
//! What it is: the ground that edits stand on. An edit cuts bytes out of the text and puts others in at places told here, so that
//! whatever it does not touch stays byte for byte: comments, order, line ends, alignment.
//! What it is not: an editable tree that is printed again. The usual crate for that was tried and changes line ends from CRLF to LF,
//! moves dotted keys together and drops a byte order mark.

use std::ops::Range;

use documents::{MOST_BYTES, Source};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::error::EditError;
use crate::node::{Content, Member, Node, Scalar, Written};

/// Something in the text that is not TOML.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TextFault {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What the parser says.
    pub headline: String,
}

/// A text with its tree.
#[derive(Debug)]
pub(crate) struct Layout<'t> {
    pub(crate) text: &'t str,
    pub(crate) root: Node,
    /// Where table headers stand, in the order of the text.
    headers: Vec<Range<usize>>,
    /// Where headers and the values of lines end, in the order of the text: nothing up to there is a comment between lines.
    ends: Vec<usize>,
}

impl<'t> Layout<'t> {
    /// Of a text that must be TOML.
    ///
    /// # Errors
    /// Where it is not, and texts that are too large.
    pub(crate) fn parse(text: &'t str) -> Result<Self, EditError> {
        if text.len() > MOST_BYTES {
            return Err(EditError::TooLarge { bytes: text.len(), most: MOST_BYTES });
        }
        let (layout, faults) = Self::recover(text);
        match faults.into_iter().next() {
            None => Ok(layout),
            Some(TextFault { line, column, headline }) => {
                Err(EditError::NotToml { line, column, message: headline })
            }
        }
    }

    /// Of any text: what could be understood of it, and the first of its faults.
    pub(crate) fn recover(text: &'t str) -> (Self, Vec<TextFault>) {
        /// A text that is no TOML at all has a fault in every line; nobody mends by the hundredth.
        const MOST_FAULTS: usize = 20;
        if text.len() > MOST_BYTES {
            let root = Node { content: Content::Table(Vec::new()), written: Written::Header, span: 0..0 };
            let headline = format!("the document has {} bytes; it may have at most {MOST_BYTES}", text.len());
            let fault = TextFault { line: 1, column: 1, headline };
            return (Self { text: "", root, headers: Vec::new(), ends: Vec::new() }, vec![fault]);
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        let mut faults = Vec::new();
        if !errors.is_empty() {
            let source = Source { name: String::new(), text: text.to_owned() };
            faults.extend(errors.iter().take(MOST_FAULTS).map(|error| {
                let position = source.position(error.span().map_or(0, |span| span.start));
                TextFault {
                    line: position.line,
                    column: position.column,
                    headline: error.message().to_owned(),
                }
            }));
        }
        let mut builder = Builder { text, headers: Vec::new(), ends: Vec::new() };
        let members = builder.members(table.get_ref(), Written::Header);
        let root = Node { content: Content::Table(members), written: Written::Header, span: 0..0 };
        let Builder { mut headers, mut ends, .. } = builder;
        headers.sort_by_key(|header| header.start);
        ends.sort_unstable();
        (Self { text, root, headers, ends }, faults)
    }

    /// How lines end in this text.
    pub(crate) fn newline(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// Where the line of a byte begins.
    pub(crate) fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |newline| newline + 1)
    }

    /// Where the line of a byte ends, its line end included.
    pub(crate) fn line_end(&self, at: usize) -> usize {
        self.text[at..].find('\n').map_or(self.text.len(), |newline| at + newline + 1)
    }

    /// The blanks that a byte's line begins with.
    pub(crate) fn indent(&self, at: usize) -> &'t str {
        let line = &self.text[self.line_start(at)..];
        &line[..line.len() - line.trim_start_matches([' ', '\t']).len()]
    }

    /// Where the block of a header or the line of a key begins: with the comment lines directly above it. A comment that
    /// begins the file speaks of the file, and belongs to no block.
    pub(crate) fn lead_start(&self, at: usize) -> usize {
        let start = self.line_start(at);
        // Text within a multi-line string may look like a comment.
        let floor = match self.ends.partition_point(|end| *end <= start) {
            0 => 0,
            count => self.line_end(self.ends[count - 1]),
        };
        let mut lead = start;
        while lead > floor {
            let above = self.line_start(lead - 1);
            if !self.text[above..lead].trim_start().starts_with('#') {
                break;
            }
            lead = above;
        }
        if lead == 0 { start } else { lead }
    }

    /// Where the block of a header ends: where the next one begins.
    pub(crate) fn block_end(&self, header_start: usize) -> usize {
        let next = self.headers.partition_point(|header| header.start <= header_start);
        self.headers.get(next).map_or(self.text.len(), |header| self.lead_start(header.start))
    }

    /// The first header of the text.
    pub(crate) fn first_header(&self) -> Option<usize> {
        self.headers.first().map(|header| header.start)
    }

    /// The blocks of a part of the tree: each header in it with all that follows up to the next header, neighbours joined.
    pub(crate) fn blocks(&self, node: &Node) -> Vec<Range<usize>> {
        let mut starts = Vec::new();
        header_starts(node, &mut starts);
        starts.sort_unstable();
        let mut blocks: Vec<Range<usize>> = Vec::new();
        for start in starts {
            let block = self.lead_start(start)..self.block_end(start);
            match blocks.last_mut().filter(|last| last.end >= block.start) {
                Some(last) => last.end = block.end,
                None => blocks.push(block),
            }
        }
        blocks
    }
}

fn header_starts(node: &Node, starts: &mut Vec<usize>) {
    match &node.content {
        Content::Scalar(_) => {}
        Content::Table(members) => {
            // The root has no header.
            if node.written == Written::Header && !node.span.is_empty() {
                starts.push(node.span.start);
            }
            members.iter().for_each(|member| header_starts(&member.node, starts));
        }
        Content::List(entries) => entries.iter().for_each(|entry| header_starts(entry, starts)),
    }
}

struct Builder<'t> {
    text: &'t str,
    headers: Vec<Range<usize>>,
    ends: Vec<usize>,
}

impl Builder<'_> {
    fn members(&mut self, table: &DeTable<'_>, within: Written) -> Vec<Member> {
        let mut members: Vec<Member> = table
            .iter()
            .map(|(key, value)| Member {
                key: key.get_ref().to_string(),
                key_span: key.span(),
                node: self.node(value, within),
            })
            .collect();
        // A header that comes after those of its own tables moves within the parser's table.
        members.sort_by_key(|member| member.key_span.start);
        members
    }

    fn node(&mut self, value: &Spanned<DeValue<'_>>, within: Written) -> Node {
        let span = value.span();
        let (content, written) = match value.get_ref() {
            DeValue::String(text) => (Content::Scalar(Scalar::Text(text.to_string())), Written::Value),
            DeValue::Integer(integer) => {
                let digits = integer.as_str().replace('_', "");
                let number = i128::from_str_radix(&digits, integer.radix()).map(|number| number.to_string());
                (Content::Scalar(Scalar::Whole(number.unwrap_or(digits))), Written::Value)
            }
            DeValue::Float(float) => {
                (Content::Scalar(Scalar::Number(float.as_str().replace('_', ""))), Written::Value)
            }
            DeValue::Boolean(flag) => (Content::Scalar(Scalar::Flag(*flag)), Written::Value),
            DeValue::Datetime(moment) => {
                (Content::Scalar(Scalar::Moment(moment.to_string())), Written::Value)
            }
            DeValue::Table(table) => {
                let written = self.table_written(&span, within);
                (Content::Table(self.members(table, written)), written)
            }
            DeValue::Array(array) => {
                let is_of_headers = within != Written::Value
                    && array.iter().next().is_some_and(|first| {
                        first.get_ref().is_table() && self.starts_with(first.span().start, "[")
                    });
                let written = if is_of_headers { Written::Headers } else { Written::Value };
                (Content::List(array.iter().map(|entry| self.node(entry, written)).collect()), written)
            }
        };
        if written == Written::Value && within != Written::Value {
            self.ends.push(span.end);
        }
        if written == Written::Header {
            self.ends.push(span.end);
            self.headers.push(span.clone());
        }
        Node { content, written, span }
    }

    /// The parser gives a table between braces the place of its braces, one with a header that of its header, and one that only
    /// follows from longer keys the place of such a key.
    fn table_written(&self, span: &Range<usize>, within: Written) -> Written {
        if self.starts_with(span.start, "{") {
            return Written::Value;
        }
        if within != Written::Value && self.starts_with(span.start, "[") {
            return Written::Header;
        }
        if matches!(within, Written::Value | Written::Dotted) {
            return Written::Dotted;
        }
        let line = self.text.get(..span.start).map_or("", |before| before.rsplit('\n').next().unwrap_or(""));
        if line.trim_start().starts_with('[') { Written::Implied } else { Written::Dotted }
    }

    fn starts_with(&self, at: usize, what: &str) -> bool {
        self.text.get(at..).is_some_and(|rest| rest.starts_with(what))
    }
}
