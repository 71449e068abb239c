//! What stands between brackets or braces: items with commas, blanks and comments between them.

use std::ops::Range;

use crate::layout::Layout;
use crate::node::{Content, Node, Written};
use crate::splice::Splice;

/// The next byte from here that is neither blank nor in a comment.
pub(crate) fn skip_blank(text: &str, mut at: usize) -> usize {
    loop {
        let rest = &text[at..];
        at += rest.len() - rest.trim_start().len();
        if !text[at..].starts_with('#') {
            return at;
        }
        at += text[at..].find('\n').unwrap_or(text.len() - at);
    }
}

/// The comma that follows an item, where there is one.
pub(crate) fn comma_after(text: &str, item_end: usize) -> Option<usize> {
    let at = skip_blank(text, item_end);
    text[at..].starts_with(',').then_some(at)
}

/// Where a comment on the same line ends, the line end not included; where there is none, the place itself.
pub(crate) fn after_comment(text: &str, at: usize) -> usize {
    let rest = text[at..].trim_start_matches([' ', '\t']);
    if !rest.starts_with('#') {
        return at;
    }
    let line = rest.find('\n').map_or(rest, |end| rest[..end].trim_end_matches('\r'));
    text.len() - rest.len() + line.len()
}

/// The items of a list in brackets or a table in braces, in the order of the text. An item of a table runs from the first part
/// of its key to the end of its value.
pub(crate) fn items(text: &str, host: &Node) -> Vec<Range<usize>> {
    let mut ends = Vec::new();
    match &host.content {
        Content::List(entries) => ends.extend(entries.iter().map(|entry| entry.span.end)),
        Content::Table(_) => value_ends(host, &mut ends),
        Content::Scalar(_) => {}
    }
    ends.sort_unstable();
    let mut items: Vec<Range<usize>> = Vec::with_capacity(ends.len());
    for end in ends {
        let after = items.last().map_or(host.span.start + 1, |last| {
            comma_after(text, last.end).map_or(last.end, |comma| comma + 1)
        });
        items.push(skip_blank(text, after)..end);
    }
    items
}

fn value_ends(table: &Node, ends: &mut Vec<usize>) {
    for member in table.members() {
        if member.node.written == Written::Dotted {
            value_ends(&member.node, ends);
        } else {
            ends.push(member.node.span.end);
        }
    }
}

/// Takes neighbouring items out, with their commas and the comments behind them on the same line.
pub(crate) fn remove(layout: &Layout<'_>, items: &[Range<usize>], run: Range<usize>) -> Vec<Splice> {
    let text = layout.text;
    let (Some(first), Some(last)) = (items.get(run.start), items.get(run.end - 1)) else {
        return Vec::new();
    };
    let before = text[..first.start].trim_end().len();
    let is_at_line_start = text[layout.line_start(first.start)..first.start].trim().is_empty();
    let comma = comma_after(text, last.end);
    let end = comma.map_or(last.end, |comma| comma + 1);
    match items.get(run.end) {
        Some(next) if !text[end..next.start].contains('\n') => vec![Splice::remove(first.start..next.start)],
        Some(_) if is_at_line_start => {
            vec![Splice::remove(layout.line_start(first.start)..layout.line_end(end))]
        }
        Some(_) => vec![Splice::remove(before..after_comment(text, end))],
        None => {
            // A comment before the item must keep its line end.
            let gap_start =
                run.start.checked_sub(1).and_then(|index| items.get(index)).map_or(0, |item| item.end);
            let has_comment =
                skip_blank(text, gap_start) < first.start && text[gap_start..first.start].contains('#');
            let behind = after_comment(text, end);
            let ends_line = text[behind..].trim_start_matches([' ', '\t', '\r']).starts_with('\n');
            let gone = match (has_comment, is_at_line_start && ends_line) {
                (false, _) => before..behind,
                (true, true) => layout.line_start(first.start)..layout.line_end(behind),
                (true, false) => first.start..behind,
            };
            let mut splices = vec![Splice::remove(gone)];
            // The comma before the last item goes with it, unless the list is written with a comma behind its last item.
            if comma.is_none()
                && let Some(previous) = run.start.checked_sub(1).and_then(|index| items.get(index))
                && let Some(comma) = comma_after(text, previous.end)
            {
                if comma + 1 == splices[0].range.start {
                    splices[0].range.start = comma;
                } else {
                    splices.push(Splice::remove(comma..comma + 1));
                }
            }
            splices
        }
    }
}

/// Puts an item behind another one, on a line of its own where that one stands on a line of its own.
pub(crate) fn insert_after(layout: &Layout<'_>, item: &Range<usize>, new: &str) -> Vec<Splice> {
    let text = layout.text;
    let line_start = layout.line_start(item.start);
    let is_on_own_line = text[line_start..item.start].trim().is_empty();
    let comma = comma_after(text, item.end);
    let end = comma.map_or(item.end, |comma| comma + 1);
    if !is_on_own_line {
        let text = if comma.is_some() { format!(" {new},") } else { format!(", {new}") };
        return vec![Splice::insert(end, text)];
    }
    let line = format!("{}{}{new}", layout.newline(), layout.indent(item.start));
    let at = after_comment(text, end);
    match comma {
        Some(_) => vec![Splice::insert(at, line + ",")],
        None if at == end => vec![Splice::insert(end, format!(",{line}"))],
        None => vec![Splice::insert(end, ","), Splice::insert(at, line)],
    }
}

/// Puts an item before all others, or into brackets that are empty.
pub(crate) fn insert_first(layout: &Layout<'_>, host: &Node, new: &str) -> Splice {
    let text = layout.text;
    let inner = host.span.start + 1..host.span.end - 1;
    if !text[inner.clone()].trim().is_empty() {
        let comma = if items(text, host).is_empty() { "" } else { "," };
        return Splice::insert(inner.start, format!(" {new}{comma}"));
    }
    if host.is_table() { Splice::replace(inner, format!(" {new} ")) } else { Splice::replace(inner, new) }
}
