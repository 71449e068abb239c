//! Texts that nobody means well with: huge, deep, full of zeros, of scripts, of other line ends. Nothing panics, nothing is lost.

use std::fmt::Write as _;

use finding::Path;

use crate::conflict::{Merge, compare, merge};
use crate::demo::{demos, order, order_schema};
use crate::difference::changes;
use crate::edit::{add_entry, get, move_entry, remove_entry, set, unset};
use crate::error::EditError;
use crate::form::Form;
use crate::rename::rename;

/// Runs everything on a text; whether it could be edited at all.
fn run_all(text: &str) -> bool {
    let schema = order_schema();
    let form = Form::of(&schema, text, None);
    let path = |text: &str| Path::new(text);
    let edited = set(&schema, text, &path("survey.socket"), "NEM652");
    let _ = unset(&schema, text, &path("survey"));
    let _ = add_entry(&schema, text, &path("survey.wire"), &[("from", "A.red")]);
    let _ = remove_entry(&schema, text, &path("survey.wire.1"));
    let _ = move_entry(text, &path("survey.wire.2"), 1);
    let _ = rename(&schema, text, &path("survey.speaker.A"), "B");
    let _ = changes(text, "a = 1");
    let _ = compare(text, "a = 1", text);
    let _ = merge(&schema, "", text, "a = 1");
    let can_edit = !matches!(edited, Err(EditError::NotToml { .. } | EditError::TooLarge { .. }));
    assert_eq!(form.can_edit(), can_edit);
    can_edit
}

#[test]
fn deep_texts() {
    for depth in [70, 100, 100_000] {
        let dotted = vec!["a"; depth].join(".");
        for text in [
            format!("{dotted} = 1\n"),
            format!("[{dotted}]\n"),
            format!("[[{dotted}]]\n"),
            format!("a = {}{}", "[".repeat(depth), "]".repeat(depth)),
            format!("a = {}", "[".repeat(depth)),
            format!("a = {}1{}", "{ a = ".repeat(depth), "}".repeat(depth)),
            format!("[{dotted}]\n{dotted} = {}1{}", "{ a = ".repeat(depth), "}".repeat(depth)),
        ] {
            let can_edit = run_all(&text);
            assert!(!can_edit || depth == 70, "the parser stops at 80 levels");
        }
    }
    // As deep as the parser lets anybody go, by header, dotted key and braces together.
    let dotted = vec!["a"; 70].join(".");
    let text = format!("[{dotted}]\n{dotted} = {}1{}", "{ a = ".repeat(70), "}".repeat(70));
    assert!(run_all(&text));
    let value = Path::new(vec!["a"; 210].join("."));
    assert_eq!(unset(&order_schema(), &text, &value).unwrap(), "");
}

#[test]
fn texts_that_are_no_texts() {
    for text in [
        "\0",
        "\0\0\0",
        "a = \"\0\"",
        "\u{feff}",
        "\u{feff}\u{feff}",
        "\r",
        "#",
        "# \0",
        "=",
        "[",
        "[[",
        "{",
        "\"",
        "'''",
        "a = '''",
    ] {
        run_all(text);
    }
    assert!(!run_all(&"x".repeat(documents::MOST_BYTES + 1)));
    let form = Form::of(&order_schema(), &"x".repeat(documents::MOST_BYTES + 1), None);
    assert!(form.text_faults[0].headline.contains("it may have at most"));
    // A fault in every line is not told a million times.
    let form = Form::of(&order_schema(), &"x y\n".repeat(1_000_000), None);
    assert!(form.text_faults.len() <= 20);
}

#[test]
fn zeros_and_scripts_are_text_like_any_other() {
    let schema = order_schema();
    for typed in [
        "a\0b",
        "<script>alert('x')</script>",
        "\"\n[order]\nnumber = \"V-2\"",
        "\u{202e}\u{1b}[31m",
        "'''\"\"\"",
        "\\u0000",
    ] {
        for at in [
            "order.model",
            "order.note",
            "order.client",
            "survey.socket",
            "survey.wire.1.note",
            "plan.remove",
        ] {
            let path = Path::new(at);
            let demo = order("V-0031");
            let Ok(text) = set(&schema, &demo.text, &path, typed) else { panic!("{at}: {typed:?}") };
            let shown = get(&schema, &text, &path).unwrap().unwrap();
            if at != "plan.remove" {
                assert_eq!(shown, typed);
            }
            assert_eq!(get(&schema, &text, &Path::new("order.number")).unwrap().as_deref(), Some("V-0031"));
            let faulty = documents::read::<workorder::WorkOrder>("o", &text).is_err();
            assert_eq!(faulty, at == "survey.socket" || at == "plan.remove", "{at}: only names are refused");
            assert_eq!(changes(&text, &demo.text).unwrap().len(), 1);
        }
    }
    assert!(
        set(&schema, "", &Path::new("keys.<script>"), "horn").unwrap().starts_with("[keys]\n\"<script>\" = ")
    );
    assert!(set(&schema, "", &Path::new("keys.a\nb\0"), "horn").unwrap().contains("\"a\\u000Ab\\u0000\" = "));
}

#[test]
fn a_thousand_wires() {
    let schema = order_schema();
    let mut text = String::from("[order]\nnumber = \"V-1\"\n");
    for wire in 0..1000 {
        write!(text, "\n# wire {wire}\n[[survey.wire]]\nfrom = \"board.P{wire}\"\nto = \"frame\"\n").unwrap();
    }
    let form = Form::of(&schema, &text, None);
    assert_eq!(form.fields().filter(|field| field.path.as_str().starts_with("survey.wire.")).count(), 4000);
    let edited = set(&schema, &text, &Path::new("survey.wire.500.to"), "rail.left").unwrap();
    assert_eq!(edited, text.replace("P499\"\nto = \"frame\"", "P499\"\nto = \"rail.left\""));
    let moved = move_entry(&text, &Path::new("survey.wire.1000"), 1).unwrap();
    assert!(moved.contains("number = \"V-1\"\n\n# wire 999\n[[survey.wire]]\nfrom = \"board.P999\""));
    assert_eq!(move_entry(&moved, &Path::new("survey.wire.1"), 1000).unwrap(), text);
    let removed = remove_entry(&schema, &text, &Path::new("survey.wire.1000")).unwrap();
    assert_eq!(changes(&text, &removed).unwrap().len(), 1);
    let mut wires: Vec<&str> = text.split("\n\n").collect();
    wires.reverse();
    // All wires in another order, and one of them edited: that is not decided by number.
    let merged = merge(&schema, &text, &edited, &wires.join("\n\n")).unwrap();
    assert!(matches!(merged, Merge::Conflict(_)));
}

#[test]
fn texts_that_differ_in_everything_are_not_merged_for_ever() {
    let many = |letter: char| -> String { (0..20_000).map(|key| format!("{letter}{key} = 1\n")).collect() };
    let merged = merge(&order_schema(), "", &many('a'), &many('b'));
    assert!(matches!(merged, Err(EditError::TooManyChanges { .. })));
}

#[test]
fn other_line_ends_stay() {
    for demo in demos() {
        let crlf = format!("\u{feff}{}", demo.text.replace('\n', "\r\n"));
        let form = Form::of(&demo.schema, &crlf, None);
        for field in form.fields().step_by(7) {
            let value = field.value.clone().unwrap_or_default();
            assert_eq!(set(&demo.schema, &crlf, &field.path, &value).unwrap(), crlf);
            let Ok(edited) = set(&demo.schema, &crlf, &field.path, "1") else { continue };
            assert!(edited.starts_with('\u{feff}'));
            assert_eq!(
                edited.matches('\n').count(),
                edited.matches("\r\n").count(),
                "{}: {}",
                demo.name,
                field.path
            );
            let back = unset(&demo.schema, &edited, &field.path).unwrap();
            if field.value.is_none() {
                assert_eq!(back, crlf, "{}: {}", demo.name, field.path);
            }
        }
    }
}
