//! Taking something out of a text, and what is left empty with it.

use std::ops::Range;

use crate::address::{Step, Trail, retrace, schema_of};
use crate::brackets;
use crate::error::EditError;
use crate::layout::Layout;
use crate::node::{Content, Member, Node, Written};
use crate::schema::{Schema, Shape};
use crate::splice::{Splice, spliced};

/// The text without what a trail leads to, and without tables that held nothing else and need not be there.
pub(crate) fn remove(
    layout: &Layout<'_>,
    schema: Schema<'_>,
    trail: &Trail<'_>,
) -> Result<String, EditError> {
    let mut text = cut(layout, trail)?;
    let mut steps = trail.steps[..trail.steps.len().saturating_sub(1)].to_vec();
    while matches!(steps.last(), Some(Step::Key(_))) {
        let layout = Layout::parse(&text)?;
        let trail = retrace(&layout.root, &steps);
        let Some(node) = trail.found() else {
            // A list of tables is gone with its last entry.
            steps.pop();
            continue;
        };
        if is_required(schema, &trail) {
            break;
        }
        let Some(rest) = bare(&layout, node) else { break };
        text = match rest {
            Some(header) => spliced(layout.text, without_blocks(&layout, vec![header]))
                .ok_or_else(|| EditError::Unplaceable { path: trail.path() })?,
            None => cut(&layout, &trail)?,
        };
        steps.pop();
    }
    Ok(text)
}

/// Whether nothing is written in a table or list any more, not even a comment: none where something is, a header alone where there are tables with
/// headers of their own below it.
fn bare(layout: &Layout<'_>, node: &Node) -> Option<Option<Range<usize>>> {
    let text = layout.text;
    match (&node.content, node.written) {
        (Content::Table(_) | Content::List(_), Written::Value) => {
            let is_empty = node.members().is_empty() && node.entries().is_empty();
            let has_comment = brackets::after_comment(text, node.span.end) > node.span.end;
            let inside = &text[node.span.start + 1..node.span.end - 1];
            (is_empty && !has_comment && inside.trim().is_empty()).then_some(None)
        }
        (Content::Table(members), Written::Header) => {
            let has_lines =
                members.iter().any(|member| matches!(member.node.written, Written::Value | Written::Dotted));
            let block = layout.lead_start(node.span.start)..layout.block_end(node.span.start);
            let is_header_only = text[block.clone()].trim() == &text[node.span.clone()];
            (!has_lines && is_header_only).then_some(if members.is_empty() { None } else { Some(block) })
        }
        _ => None,
    }
}

fn is_required(schema: Schema<'_>, trail: &Trail<'_>) -> bool {
    let Some(Step::Key(key)) = trail.steps.last() else {
        return true;
    };
    let parent = schema_of(schema, &trail.up_to(trail.steps.len() - 1));
    match parent.map(|parent| parent.shape()) {
        Some(Shape::Record(record)) => record.is_required(key),
        _ => false,
    }
}

/// The text without what a trail leads to.
pub(crate) fn cut(layout: &Layout<'_>, trail: &Trail<'_>) -> Result<String, EditError> {
    let refuse = || EditError::Unplaceable { path: trail.path() };
    let (Some(node), Some(step)) = (trail.found(), trail.steps.last()) else {
        return Err(EditError::NoSuchEntry { path: trail.path() });
    };
    let splices = match step {
        Step::Index(index) if node.written == Written::Value => {
            let list = trail.nodes[trail.nodes.len() - 2];
            brackets::remove(layout, &brackets::items(layout.text, list), *index..*index + 1)
        }
        Step::Index(_) => blocks(layout, node),
        Step::Key(_) => {
            // Dotted keys are lines, or items in braces, of the table that they start from.
            let host = trail.nodes[..trail.nodes.len() - 1]
                .iter()
                .rev()
                .find(|node| node.written != Written::Dotted)
                .ok_or_else(refuse)?;
            let mut spans = Vec::new();
            trail.member().into_iter().for_each(|member| line_spans(member, &mut spans));
            let mut splices = blocks(layout, node);
            splices.extend(lines(layout, host, spans));
            splices
        }
    };
    spliced(layout.text, splices).ok_or_else(refuse)
}

/// The keys and values of a member that are written as lines, or as items in braces.
fn line_spans(member: &Member, spans: &mut Vec<Range<usize>>) {
    match member.node.written {
        Written::Value => spans.push(member.key_span.start..member.node.span.end),
        Written::Dotted => member.node.members().iter().for_each(|member| line_spans(member, spans)),
        Written::Header | Written::Implied | Written::Headers => {}
    }
}

fn lines(layout: &Layout<'_>, host: &Node, spans: Vec<Range<usize>>) -> Vec<Splice> {
    if host.written != Written::Value {
        return spans.into_iter().map(|span| whole_line(layout, &span)).collect();
    }
    let mut ends: Vec<usize> = spans.into_iter().map(|span| span.end).collect();
    ends.sort_unstable();
    let items = brackets::items(layout.text, host);
    let mut splices = Vec::new();
    let mut run: Option<Range<usize>> = None;
    for (index, item) in items.iter().enumerate() {
        let goes = ends.binary_search(&item.end).is_ok();
        run = match (run, goes) {
            (None, true) => Some(index..index + 1),
            (Some(run), true) => Some(run.start..index + 1),
            (Some(run), false) => {
                splices.extend(brackets::remove(layout, &items, run));
                None
            }
            (None, false) => None,
        };
    }
    splices.extend(run.into_iter().flat_map(|run| brackets::remove(layout, &items, run)));
    splices
}

/// The lines of a key and its value, with the comment behind the value.
fn whole_line(layout: &Layout<'_>, span: &Range<usize>) -> Splice {
    let text = layout.text;
    let start = layout.line_start(span.start);
    let end = layout.line_end(span.end);
    if end == text.len() && !text.ends_with('\n') {
        // Without a line end of its own, the line takes the one before it.
        let before =
            text[..start].strip_suffix('\n').map(|before| before.strip_suffix('\r').unwrap_or(before));
        return Splice::remove(before.map_or(start, str::len)..end);
    }
    Splice::remove(start..end)
}

/// The blocks of a node, cut out.
fn blocks(layout: &Layout<'_>, node: &Node) -> Vec<Splice> {
    without_blocks(layout, layout.blocks(node))
}

fn without_blocks(layout: &Layout<'_>, mut blocks: Vec<Range<usize>>) -> Vec<Splice> {
    let text = layout.text;
    // At the end of the text, the blank line that set the block off goes too.
    if let Some(last) = blocks.last_mut().filter(|last| last.end == text.len()) {
        let before = &text[..last.start];
        for blank in ["\r\n", "\n"] {
            let is_blank_line = before.strip_suffix(blank).is_some_and(|rest| rest.ends_with('\n'));
            if is_blank_line {
                last.start -= blank.len();
                break;
            }
        }
    }
    blocks.into_iter().map(Splice::remove).collect()
}
