//! Answers for machines. Field names are stable; what is added later is added beside them.

use documents::Faults;
use finding::Path;
use inspection::Rule;
use serde_json::{Value, json};
use shop::{CheckedOrder, SettingRow, ShopError};

/// What could not be done.
pub(crate) fn error(error: &ShopError) -> Value {
    match error {
        ShopError::Faults { faults } => {
            json!({ "faults": faults.iter().flat_map(document_faults).collect::<Vec<_>>() })
        }
        ShopError::Run { suspects, .. } => json!({
            "error": error.to_string(),
            "help": error.help(),
            "suspects": suspects.iter().map(|finding| json!({
                "cause": finding.rule,
                "headline": finding.headline,
                "reasons": finding.reasons,
                "remedy": finding.remedy,
                "source": finding.source,
            })).collect::<Vec<_>>(),
        }),
        _ => json!({ "error": error.to_string(), "help": error.help() }),
    }
}

fn document_faults(faults: &Faults) -> Vec<Value> {
    let one = |fault: &documents::Fault| {
        let position = faults.source.position(fault.span.start);
        json!({
            "file": faults.source.name,
            "line": position.line,
            "column": position.column,
            "path": fault.path.as_str(),
            "headline": fault.headline,
            "help": fault.help,
        })
    };
    faults.list.iter().map(one).collect()
}

/// An order with its findings.
pub(crate) fn checked_order(order: &CheckedOrder) -> Value {
    let findings: Vec<Value> = order
        .inspection
        .findings
        .iter()
        .map(|finding| {
            let places: Vec<Value> = finding.places.iter().map(|place| at(order, place)).collect();
            json!({
                "rule": finding.rule,
                "severity": finding.severity.word(),
                "headline": finding.headline,
                "places": places,
                "reasons": finding.reasons,
                "remedy": finding.remedy,
                "source": finding.source,
            })
        })
        .collect();
    json!({
        "order": order.document.value.order.number.as_str(),
        "file": order.document.source.name,
        "may-be-powered": order.stops().is_empty(),
        "findings": findings,
    })
}

fn at(order: &CheckedOrder, place: &Path) -> Value {
    let position = order.document.position(place);
    json!({ "path": place.as_str(), "line": position.line, "column": position.column })
}

/// One setting.
pub(crate) fn setting(row: &SettingRow) -> Value {
    let because: Vec<Value> =
        row.because.iter().map(|(wish, words)| json!({ "wish": wish.as_str(), "words": words })).collect();
    json!({
        "cv": row.place.cv,
        "page": row.place.page.map(|(high, low)| json!({ "CV31": high, "CV32": low })),
        "mask": row.mask,
        "value": row.value,
        "before": row.before,
        "whole": row.whole,
        "because": because,
    })
}

/// One rule.
pub(crate) fn rule(rule: &Rule) -> Value {
    json!({
        "name": rule.name,
        "severity": rule.severity.word(),
        "stage": rule.stage.words(),
        "rows": rule.rows,
        "checks": rule.checks,
        "matters": rule.matters,
        "example": rule.example,
        "cure": rule.cure,
        "source": rule.source,
    })
}

/// A cause of a decoder that does not answer.
pub(crate) fn cause(cause: &track::CauseText) -> Value {
    json!({
        "name": cause.name,
        "what": cause.what,
        "why": cause.why,
        "next-test": cause.next_test,
        "cure": cause.cure,
        "source": cause.source,
    })
}
