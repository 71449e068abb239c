//! What holds for every document, field and edit: the demo's documents one by one, and texts and edits by chance.

use finding::Path;
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::address::find;
use crate::chance::{Act, PATHS, acts, perform, texts};
use crate::conflict::{Merge, merge};
use crate::demo::{Demo, demos, order, order_schema, shelf};
use crate::difference::changes;
use crate::edit::{add_entry, get, move_entry, remove_entry, set, unset};
use crate::error::EditError;
use crate::form::{Field, Form, Kind};
use crate::layout::Layout;
use crate::rename::rename;

/// Values for a field that differ from each other, as people type them.
fn samples(kind: &Kind) -> [String; 2] {
    match kind {
        Kind::Text { examples, .. } if !examples.is_empty() => [examples[0].clone(), "another".to_owned()],
        Kind::Text { .. } | Kind::LongText => ["a # \"text\" = [1]".to_owned(), "two\nlines".to_owned()],
        Kind::Name => ["name-1".to_owned(), "name-2".to_owned()],
        Kind::Quantity { units, .. } => [format!("1.5 {}", units[0]), format!("2 {}", units[0])],
        Kind::Reading { .. } => ["OL".to_owned(), "> 1 Mohm".to_owned()],
        Kind::Choice(words) => [words[0].value.clone(), words[1].value.clone()],
        Kind::Whole { least, most } => [least.unwrap_or(1).to_string(), most.unwrap_or(2).to_string()],
        Kind::Number => ["0.870".to_owned(), "12".to_owned()],
        Kind::Flag => ["yes".to_owned(), "no".to_owned()],
        Kind::Several { of, .. } => {
            let [one, other] = samples(of);
            [crate::typed::shown(&list(&[&one, &other])), crate::typed::shown(&list(&[&other]))]
        }
    }
}

fn list(items: &[&str]) -> crate::node::Node {
    use crate::node::{Content, Node, Scalar};
    Node::new(Content::List(
        items.iter().map(|item| Node::new(Content::Scalar(Scalar::Text((*item).to_owned())))).collect(),
    ))
}

/// The field's own value, and all others, by path.
fn values(demo: &Demo, text: &str) -> Vec<(Path, Option<String>)> {
    Form::of(&demo.schema, text, None)
        .fields()
        .map(|field| (field.path.clone(), field.value.clone()))
        .collect()
}

/// Whether all of the old text is still there, with new text put in.
fn is_kept(old: &str, new: &str) -> bool {
    let mut letters = new.chars();
    old.chars().all(|letter| letters.any(|other| other == letter))
}

#[test]
fn every_field_s_own_value_changes_nothing() {
    let mut count = 0;
    for demo in demos() {
        for field in Form::of(&demo.schema, &demo.text, None).fields() {
            let Some(value) = &field.value else { continue };
            let edited = set(&demo.schema, &demo.text, &field.path, value).unwrap();
            assert_eq!(edited, demo.text, "{}: {}", demo.name, field.path);
            count += 1;
        }
    }
    assert!(count > 1000, "{count}");
}

/// For every field of a document: what is written is read, nothing else changes, and taking it back leads to where it began.
fn check_field(demo: &Demo, field: &Field, typed: &str, before: &[(Path, Option<String>)]) {
    if field.key == "name" {
        // A new name makes a new path for all fields of its entry; `rename` has tests of its own.
        return;
    }
    let at = |what: &str| format!("{}: {}: {what}", demo.name, field.path);
    let edited = set(&demo.schema, &demo.text, &field.path, typed)
        .unwrap_or_else(|error| panic!("{}", at(&error.to_string())));
    assert_eq!(
        get(&demo.schema, &edited, &field.path).unwrap().as_deref(),
        Some(typed),
        "{}",
        at("read back")
    );
    let after = values(demo, &edited);
    let others = |list: &[(Path, Option<String>)]| -> Vec<(Path, Option<String>)> {
        list.iter().filter(|(path, _)| *path != field.path).cloned().collect()
    };
    assert_eq!(others(before), others(&after), "{}", at("other fields"));
    if let Some(value) = &field.value {
        let layout = Layout::parse(&demo.text).unwrap();
        let span = find(&layout.root, &field.path).found().unwrap().span.clone();
        assert!(edited.starts_with(&demo.text[..span.start]), "{}", at("bytes before"));
        assert!(edited.ends_with(&demo.text[span.end..]), "{}", at("bytes behind"));
        let back = set(&demo.schema, &edited, &field.path, value).unwrap();
        assert_eq!(changes(&demo.text, &back).unwrap(), [], "{}", at("taken back"));
    } else {
        assert!(is_kept(&demo.text, &edited), "{}", at("bytes"));
        let back = unset(&demo.schema, &edited, &field.path).unwrap();
        assert_eq!(back, demo.text, "{}", at("taken back, byte for byte"));
    }
}

#[test]
fn every_field_of_the_demo_can_be_written_and_taken_back() {
    let mut count = 0;
    for demo in demos() {
        let form = Form::of(&demo.schema, &demo.text, None);
        let before = values(&demo, &demo.text);
        for field in form.fields() {
            let typed = samples(&field.kind);
            let typed = typed.iter().find(|typed| field.value.as_ref() != Some(*typed)).unwrap();
            check_field(&demo, field, typed, &before);
            count += 1;
        }
    }
    assert!(count > 3000, "{count}");
}

#[test]
fn a_document_filled_in_field_by_field_is_the_same_document() {
    for demo in demos() {
        let form = Form::of(&demo.schema, &demo.text, None);
        let mut text = String::new();
        // Entries first, so that fields have where to go.
        let mut known = Vec::new();
        for field in form.fields() {
            let Some(value) = &field.value else { continue };
            let mut path = field.path.parent();
            let mut missing = Vec::new();
            while let Some(here) = path {
                if let Some(list) = here.parent()
                    && is_list(&demo.schema, &demo.text, &list)
                    && !known.contains(&here)
                {
                    missing.push((list, here.clone()));
                }
                path = here.parent();
            }
            for (list, entry) in missing.into_iter().rev() {
                let step = entry.as_str()[list.as_str().len() + 1..].to_owned();
                let name: &[(&str, &str)] = &[("name", step.as_str())];
                let is_named = step.parse::<usize>().is_err();
                let (edited, path) =
                    add_entry(&demo.schema, &text, &list, if is_named { name } else { &[] }).unwrap();
                assert_eq!(path, entry);
                text = edited;
                known.push(entry);
            }
            text = set(&demo.schema, &text, &field.path, value)
                .unwrap_or_else(|error| panic!("{}: {}: {error}\n{text}", demo.name, field.path));
        }
        assert_eq!(changes(&demo.text, &text).unwrap(), [], "{}", demo.name);
    }
}

fn is_list(schema: &Value, text: &str, path: &Path) -> bool {
    !matches!(get(schema, text, path), Err(EditError::NoSuchField { .. }) | Ok(_))
        && find(&Layout::parse(text).unwrap().root, path).found().is_some_and(crate::node::Node::is_list)
}

#[test]
fn the_demo_s_orders_stay_orders() {
    let shelf = shelf();
    for demo in demos().iter().filter(|demo| demo.name.starts_with("V-")) {
        let before = workorder::read_order(&demo.name, &demo.text, &shelf).unwrap();
        let text =
            set(&demo.schema, &demo.text, &Path::new("order.note"), "<script>alert(1)</script>").unwrap();
        let mut after = workorder::read_order(&demo.name, &text, &shelf).unwrap();
        assert_eq!(after.value.order.note.take().as_deref(), Some("<script>alert(1)</script>"));
        assert_eq!(before.value, after.value);
    }
}

fn n_comments(text: &str) -> usize {
    text.lines().filter(|line| line.trim_start().starts_with('#')).count()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn edits_of_texts_written_in_any_way(text in texts(), acts in prop::collection::vec(acts(), 1..6)) {
        let schema = order_schema();
        let mut text = text;
        for act in &acts {
            match perform(&schema, &text, act) {
                Ok(edited) => {
                    // Setting a field loses no comment line, except within the value or table that it takes the place of.
                    if let Act::Set(at, 0..=2) = act && get(&schema, &text, &Path::new(PATHS[*at])).is_ok_and(|old| old.is_none()) {
                        prop_assert!(n_comments(&edited) >= n_comments(&text), "{act:?}\n{text}\n---\n{edited}");
                        prop_assert!(is_kept(&text, &edited), "{:?}\n{}\n---\n{}", act, text, edited);
                    }
                    text = edited;
                }
                Err(error) => prop_assert!(!matches!(error, EditError::Unplaceable { .. }), "{act:?} in\n{text}"),
            }
        }
    }

    #[test]
    fn any_text_is_written_and_read(typed in "\\PC{0,20}|[\\x00-\\x7f]{0,12}|\"{0,4}'{0,4}\n?\\\\?") {
        let schema = order_schema();
        let path = Path::new("order.note");
        let text = set(&schema, "[order]\nnote = \"old\" # why\n", &path, &typed).unwrap();
        let typed = crate::typed::normal(&typed);
        let expected = Some(typed).filter(|typed| !typed.trim().is_empty());
        prop_assert_eq!(get(&schema, &text, &path).unwrap(), expected);
    }

    #[test]
    fn any_items_of_a_list_are_written_and_read(items in prop::collection::vec("[ a,\"\\\\\n\t]{0,4}", 1..4)) {
        let schema = json!({ "type": "object", "properties": { "list": { "type": "array", "items": { "type": "string" } } } });
        let items: Vec<&str> = items.iter().map(String::as_str).collect();
        let text = format!("list = {}", crate::typed::toml_of(&list(&items)));
        let path = Path::new("list");
        let typed = get(&schema, &text, &path).unwrap().unwrap();
        prop_assert_eq!(&set(&schema, &text, &path, &typed).unwrap(), &text);
        let copied = set(&schema, "", &path, &typed).unwrap();
        prop_assert_eq!(changes(&text, &copied).unwrap(), []);
    }

    #[test]
    fn edits_of_different_fields_always_come_together(ours in 0_usize..500, theirs in 0_usize..500) {
        let demo = order("V-0031");
        let form = Form::of(&demo.schema, &demo.text, None);
        let fields: Vec<&Field> = form.fields().filter(|field| field.key != "name").collect();
        let (ours, theirs) = (fields[ours % fields.len()], fields[theirs % fields.len()]);
        prop_assume!(ours.path != theirs.path);
        let change = |text: &str, field: &Field| {
            let typed = samples(&field.kind);
            let typed = typed.iter().find(|typed| field.value.as_ref() != Some(*typed)).unwrap();
            set(&demo.schema, text, &field.path, typed).unwrap()
        };
        let (ours_text, theirs_text) = (change(&demo.text, ours), change(&demo.text, theirs));
        let Merge::Merged { text, differences } = merge(&demo.schema, &demo.text, &ours_text, &theirs_text).unwrap() else {
            panic!("{} and {}", ours.path, theirs.path);
        };
        prop_assert_eq!(differences.len(), 2);
        prop_assert_eq!(changes(&text, &change(&ours_text, theirs)).unwrap(), []);
        prop_assert_eq!(n_comments(&text), n_comments(&demo.text));
    }

    #[test]
    fn any_two_edits_come_together_or_clash(
        base in texts(),
        ours in prop::collection::vec(acts(), 0..4),
        theirs in prop::collection::vec(acts(), 0..4),
    ) {
        let schema = order_schema();
        let apply = |acts: &[Act]| acts.iter().fold(base.clone(), |text, act| perform(&schema, &text, act).unwrap_or(text));
        let (ours, theirs) = (apply(&ours), apply(&theirs));
        let one = merge(&schema, &base, &ours, &theirs).unwrap();
        let other = merge(&schema, &base, &theirs, &ours).unwrap();
        prop_assert_eq!(matches!(one, Merge::Conflict(_)), matches!(other, Merge::Conflict(_)));
        if let Merge::Merged { text, differences } = &one {
            prop_assert!(differences.iter().all(|difference| !difference.is_conflict()));
            // Where one of them changed nothing, the other one's edit is the result.
            let said = |text: &str| Layout::parse(text).unwrap().root.without_empties();
            if said(&base) == said(&theirs) {
                prop_assert_eq!(said(&ours), said(text));
            }
            if said(&base) == said(&ours) {
                prop_assert_eq!(said(&theirs), said(text));
            }
        }
    }

    #[test]
    fn any_bytes_become_a_form(text in "\\PC{0,60}|[a-c\\[\\]{}=.,'\"#\n\r \\\\0-9]{0,60}") {
        let schema = order_schema();
        let faults = workorder::read_order("o", &text, &datasheets::Shelf::default()).err();
        let form = Form::of(&schema, &text, faults.as_ref());
        prop_assert_eq!(form.can_edit(), Layout::parse(&text).is_ok());
        for path in PATHS {
            let path = Path::new(path);
            let _ = (set(&schema, &text, &path, "x"), unset(&schema, &text, &path), add_entry(&schema, &text, &path, &[]));
            let _ = (remove_entry(&schema, &text, &path), move_entry(&text, &path, 1), rename(&schema, &text, &path, "x"));
        }
        let _ = changes(&text, "a = 1");
    }

    #[test]
    fn any_path_is_followed_or_refused(path in "[a-z.#0-9\\PC]{0,30}|(survey|wire|keys|plan|[#.1A]){0,6}") {
        let demo = order("V-0031");
        let path = Path::new(path);
        let _ = get(&demo.schema, &demo.text, &path);
        if let Ok(text) = set(&demo.schema, &demo.text, &path, "1") {
            prop_assert!(get(&demo.schema, &text, &path).is_ok());
        }
        let _ = (unset(&demo.schema, &demo.text, &path), move_entry(&demo.text, &path, 1), remove_entry(&demo.schema, &demo.text, &path));
    }
}
