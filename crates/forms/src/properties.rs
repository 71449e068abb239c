//! What holds for every document, field and edit: the demo's documents one by one, and texts and edits by chance.

use finding::Path;
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::address::find;
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

/// How many bytes of the old text are gone: all but what both texts begin and end with.
fn n_gone(old: &str, new: &str) -> usize {
    let start = old.bytes().zip(new.bytes()).take_while(|(old, new)| old == new).count();
    let rest = old.len().min(new.len()) - start;
    let end = old.bytes().rev().zip(new.bytes().rev()).take(rest).take_while(|(old, new)| old == new).count();
    old.len() - start - end
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
        assert_eq!(n_gone(&demo.text, &edited), 0, "{}", at("bytes"));
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

/// Pieces of orders, in all the ways in which tables can be written.
const PIECES: [&str; 32] = [
    "survey.socket = \"x\"\n",
    "survey.decoder-space.width = \"1 mm\" # dotted\n",
    "voice = { horn.chimes = 5, bell = {} }\n",
    "voice.horn = { chimes = 5 }\n",
    "keys = { F0 = \"horn\", \"F2\" = ['bell'] } # braces\n",
    "  address = {\n    # which\n    form = \"long\", # form\n    number = 1_000\n  }\n",
    "plan = { wire = [{ from = \"A.1\" }, { to = \"frame\" },] }\n",
    "plan.remove = [\"A\", # a\n  \"B\"\n]\n",
    "unknown = 2026-01-01\n",
    "\"odd.key\".x = '''\n# text\n'''\n",
    "# a comment\n",
    "\n",
    "[order]\nnumber = \"V-1\" # ours\nmodel = \"\"\"\nrail\ncar\"\"\"\n",
    "[survey]\n",
    "[survey] # found\nstall-current = \"1 A\"\n\n",
    "  [survey.decoder-space]\n  length = \"1 mm\"\n",
    "# wire\n[[survey.wire]]\nfrom = \"A.red\"\nto = \"frame\"\n\n",
    "[[survey.wire]]\n",
    "[[ survey . speaker ]]\nname = \"A\"\nterminals = [ \"red\", \"black\" ]\n",
    "[[survey.speaker]]\nname = 'A'\nfaces = \"out\" # second of the name\n",
    "[[survey.speaker]]\nname = \"B\"\n\n# end\n",
    "[plan]\ndecoder = \"x\"\nlamp = [\n  { name = \"l\", does = \"horn\" }, # one\n  { name = \"m\" } # two\n]\n",
    "[plan]\n",
    "[[plan.lamp]]\nname = \"l\"\n[[plan.wire]]\nfrom = \"A.red\"\n",
    "[voice.horn]\nchimes = 2\n",
    "[voice]\nhorn = {\n  chimes = 5, # five\n  notes = [\"A4\"],\n}\n",
    "[contact.cv]\nCV8 = 13\n\n\n",
    "[keys]\nF0 = \"headlight\"\nF10 = [\n  \"horn\",\n]\n",
    "[levels]\r\nmaster = \"-3 dB\" # c\r\n\r\n",
    "[manners]\nspeed-table = [1,2,3]",
    "[[override]]\nrule = \"r\"\n",
    "[address]\nconsist = \"text\"\n",
];

/// Texts that are TOML, in any order of pieces.
fn texts() -> impl Strategy<Value = String> {
    prop::collection::vec(0..PIECES.len(), 0..10).prop_map(|chosen| {
        chosen.iter().fold(String::new(), |text, piece| {
            let more = format!("{text}{}", PIECES[*piece]);
            if Layout::parse(&more).is_ok() { more } else { text }
        })
    })
}

const PATHS: [&str; 36] = [
    "order.number",
    "order.note",
    "survey.socket",
    "survey.stall-current",
    "survey.decoder-space.length",
    "survey.decoder-space.width",
    "survey.speaker",
    "survey.speaker.A",
    "survey.speaker.A.part",
    "survey.speaker.#2.part",
    "survey.speaker.B.terminals",
    "survey.wire",
    "survey.wire.1",
    "survey.wire.1.to",
    "survey.wire.2.colour",
    "survey.pad",
    "plan",
    "plan.decoder",
    "plan.remove",
    "plan.remove.1",
    "plan.lamp",
    "plan.lamp.l",
    "plan.lamp.m.does",
    "plan.wire",
    "plan.wire.2",
    "plan.wire.1.to",
    "voice.horn",
    "voice.horn.chimes",
    "voice.horn.notes",
    "voice.bell.kind",
    "keys.F0",
    "keys.F10",
    "contact.cv.CV8",
    "address.number",
    "odd.key",
    "override",
];

#[derive(Debug, Clone)]
enum Act {
    Set(usize, usize),
    Unset(usize),
    Add(usize),
    Remove(usize),
    Move(usize, usize),
    Rename(usize),
}

fn acts() -> impl Strategy<Value = Act> {
    let path = 0..PATHS.len();
    prop_oneof![
        4 => (path.clone(), 0_usize..4).prop_map(|(path, value)| Act::Set(path, value)),
        3 => path.clone().prop_map(Act::Unset),
        2 => path.clone().prop_map(Act::Add),
        1 => path.clone().prop_map(Act::Remove),
        1 => (path.clone(), 0_usize..4).prop_map(|(path, place)| Act::Move(path, place)),
        1 => path.prop_map(Act::Rename),
    ]
}

fn perform(schema: &Value, text: &str, act: &Act) -> Result<String, EditError> {
    let path = |index: &usize| Path::new(PATHS[*index]);
    match act {
        Act::Set(at, value) => set(schema, text, &path(at), ["7", "a, b", "two\nlines", ""][*value]),
        Act::Unset(at) => unset(schema, text, &path(at)),
        Act::Add(at) => add_entry(schema, text, &path(at), &[("name", "new")])
            .or_else(|_| add_entry(schema, text, &path(at), &[]))
            .map(|(text, _)| text),
        Act::Remove(at) => remove_entry(schema, text, &path(at)),
        Act::Move(at, place) => move_entry(text, &path(at), *place),
        Act::Rename(at) => rename(schema, text, &path(at), "renamed").map(|renamed| renamed.text),
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
                        prop_assert_eq!(n_gone(&text, &edited), 0, "{:?}\n{}\n---\n{}", act, text, edited);
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
            if changes(&base, &theirs).unwrap().is_empty() {
                prop_assert_eq!(changes(&ours, text).unwrap(), []);
            }
            if changes(&base, &ours).unwrap().is_empty() {
                prop_assert_eq!(changes(&theirs, text).unwrap(), []);
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
