//! Answers for people.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use documents::{Document, Faults};
use finding::{Finding, Severity};
use inspection::{Rule, Stage};
use shop::{CheckedOrder, SettingRow, ShopError};
use workorder::WorkOrder;

use crate::render::Style;

/// The widest line that we fill ourselves.
const WIDTH: usize = 100;

fn renderer(style: Style) -> Renderer {
    match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    }
    .decor_style(DecorStyle::Ascii)
}

/// What could not be done.
pub(crate) fn error(error: &ShopError, style: Style) -> String {
    match error {
        ShopError::Faults { faults } => {
            faults.iter().map(|faults| document_faults(faults, style)).collect::<Vec<_>>().join("\n")
        }
        ShopError::Run { suspects, .. } if !suspects.is_empty() => {
            let told: Vec<String> = suspects.iter().map(suspect).collect();
            format!("{error}\nhelp: {}\n\n{}", error.help(), told.join("\n\n"))
        }
        _ => format!("{error}\nhelp: {}", error.help()),
    }
}

/// A cause that fits what was measured, with the test that makes sure.
fn suspect(finding: &Finding) -> String {
    let reasons: Vec<String> = finding.reasons.iter().map(|reason| format!("  because {reason}")).collect();
    format!(
        "{} [{}]\n{}\n  {}\n  source: {}",
        finding.headline,
        finding.rule,
        reasons.join("\n"),
        finding.remedy,
        finding.source
    )
}

/// The faults of a document, each drawn at its place.
fn document_faults(faults: &Faults, style: Style) -> String {
    let source = &faults.source;
    let drawn: Vec<String> = faults
        .list
        .iter()
        .map(|fault| {
            let span = source.widened(&fault.span);
            let path = source.name.clone();
            let mut group = Group::with_title(Level::ERROR.primary_title(&fault.headline));
            if source.text.is_empty() {
                group = group.element(annotate_snippets::Origin::path(&source.name));
            } else {
                group = group.element(excerpt(&source.text, path, span, ""));
            }
            renderer(style).render(&[group.element(Level::HELP.message(&fault.help))])
        })
        .collect();
    let n = faults.list.len();
    let many = if n == 1 { "one fault".to_owned() } else { format!("{n} faults") };
    format!("{}\n\n{}: {many}", drawn.join("\n\n"), source.name)
}

/// The lines around a span, without the rest of the document: the renderer's cost grows with the text it is given.
fn excerpt<'a>(
    text: &'a str,
    path: String,
    span: std::ops::Range<usize>,
    label: &'a str,
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let start = text[..span.start].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[span.start..].find('\n').map_or(text.len(), |newline| span.start + newline);
    let line = text[..start].matches('\n').count() + 1;
    let within = span.start - start..span.end.min(line_end).max(span.start) - start;
    let annotation = AnnotationKind::Primary.span(within);
    let annotation = if label.is_empty() { annotation } else { annotation.label(label) };
    Snippet::source(&text[start..line_end]).line_start(line).path(path).annotation(annotation)
}

/// An order's findings and a line that counts them.
pub(crate) fn checked_order(order: &CheckedOrder, style: Style) -> String {
    let document = &order.document;
    let mut parts: Vec<String> =
        order.inspection.findings.iter().map(|finding| drawn_finding(finding, document, style)).collect();
    parts.push(summary(order));
    parts.join("\n\n")
}

fn drawn_finding(finding: &Finding, document: &Document<WorkOrder>, style: Style) -> String {
    let level = match finding.severity {
        Severity::Stop => Level::ERROR,
        Severity::Rework => Level::WARNING,
        Severity::Open => Level::INFO,
        Severity::Note => Level::NOTE,
    }
    .with_name(finding.severity.word());
    let mut group = Group::with_title(level.primary_title(&finding.headline).id(finding.rule));
    let source = &document.source;
    for (index, place) in finding.places.iter().enumerate() {
        let span = source.widened(&document.span(place));
        let label = if index == 0 { "" } else { "and this" };
        let path = source.name.clone();
        group = group.element(excerpt(&source.text, path, span, label));
    }
    for reason in &finding.reasons {
        group = group.element(Level::NOTE.with_name("because").message(reason));
    }
    group = group.element(Level::HELP.with_name("remedy").message(&finding.remedy));
    group = group.element(Level::NOTE.with_name("source").message(finding.source));
    renderer(style).render(&[group])
}

fn summary(order: &CheckedOrder) -> String {
    let counts: Vec<String> = Severity::ALL
        .iter()
        .filter_map(|severity| {
            let n = order.inspection.findings.iter().filter(|finding| finding.severity == *severity).count();
            (n > 0).then(|| format!("{n} {severity}"))
        })
        .collect();
    let told =
        if counts.is_empty() { "nothing wrong and nothing open".to_owned() } else { counts.join(", ") };
    let head = &order.document.value.order;
    let verdict = match order.stops().len() {
        0 => "may be powered",
        _ => "do not power",
    };
    format!("{} {}: {told}; {verdict}", head.number, head.model)
}

/// The settings as a table.
pub(crate) fn settings(rows: &[SettingRow]) -> String {
    let place_width = rows.iter().map(|row| row.place.to_string().len()).max().unwrap_or(0);
    let lines = rows.iter().map(|row| {
        let value = match row.whole {
            Some(whole) => format!("{whole:>3}"),
            None => bits(row.mask, row.value),
        };
        let words: Vec<&str> = row.because.iter().map(|(_, words)| words.as_str()).collect();
        format!("{:<place_width$}  {value:<8}  {}", row.place.to_string(), words.join("; "))
    });
    let mut table: Vec<String> = lines.collect();
    if rows.iter().any(|row| row.whole.is_none()) {
        table.push("\nbits are told from 7 to 0; a dot is a bit that stays as it is".to_owned());
    }
    table.join("\n")
}

/// Decided bits as digits, the others as dots: `..1....0`.
fn bits(mask: u8, value: u8) -> String {
    (0..8)
        .rev()
        .map(|bit| match (mask >> bit & 1, value >> bit & 1) {
            (0, _) => '.',
            (_, 0) => '0',
            _ => '1',
        })
        .collect()
}

/// All rules by stage.
pub(crate) fn rule_list() -> String {
    let widest = inspection::rules().map(|rule| rule.name.len()).max().unwrap_or(0);
    let stages = Stage::ALL.iter().filter_map(|stage| {
        let rules: Vec<String> = inspection::rules()
            .filter(|rule| rule.stage == *stage)
            .map(|rule| format!("  {:<widest$}  {}", rule.name, rule.severity))
            .collect();
        (!rules.is_empty()).then(|| format!("{}\n{}", stage.words(), rules.join("\n")))
    });
    stages.collect::<Vec<_>>().join("\n")
}

/// One rule in full.
pub(crate) fn rule(rule: &Rule, style: Style) -> String {
    let (bold, plain) = match style {
        Style::Plain => ("", ""),
        Style::Coloured => ("\u{1b}[1m", "\u{1b}[0m"),
    };
    let rows: Vec<String> = rule.rows.iter().map(u8::to_string).collect();
    let mut parts =
        vec![format!("{bold}{}{plain}: {}, at the {}", rule.name, rule.severity, rule.stage.words())];
    let texts = [
        ("what it checks", rule.checks),
        ("why it matters", rule.matters),
        ("example", rule.example),
        ("cure", rule.cure),
        ("source", rule.source),
    ];
    parts.extend(texts.iter().map(|(head, text)| format!("{head}\n{}", wrapped(text, 2))));
    if !rows.is_empty() {
        parts.push(format!("would have caught row {} of the sixty usual failures", rows.join(", ")));
    }
    parts.join("\n\n")
}

/// A cause of a decoder that does not answer, in full.
pub(crate) fn cause(cause: &track::CauseText) -> String {
    let texts = [
        ("why it shows so", cause.why),
        ("to be sure", cause.next_test),
        ("cure", cause.cure),
        ("source", cause.source),
    ];
    let parts: Vec<String> =
        texts.iter().map(|(head, text)| format!("{head}\n{}", wrapped(text, 2))).collect();
    format!("{}: {}\n\n{}", cause.name, cause.what, parts.join("\n\n"))
}

/// Text broken at blanks, each line moved in.
fn wrapped(text: &str, indent: usize) -> String {
    let margin = " ".repeat(indent);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && indent + line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines.push(format!("{margin}{line}"));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines.push(format!("{margin}{line}"));
    lines.join("\n")
}
