//! Forms of whole, half-finished and broken documents.

use finding::Path;
use serde_json::json;
use workorder::read_order;

use super::{Form, Item, Keyed, Kind, List, Section};
use crate::demo::{demos, kind_of, order, order_schema, shelf};
use crate::vocabulary::KeyKind;

#[track_caller]
fn section<'f>(items: &'f [Item], key: &str) -> &'f Section {
    match items.iter().find(|item| item.key() == key) {
        Some(Item::Section(section)) => section,
        other => panic!("{key}: {other:?}"),
    }
}

#[track_caller]
fn list<'f>(items: &'f [Item], key: &str) -> &'f List {
    match items.iter().find(|item| item.key() == key) {
        Some(Item::List(list)) => list,
        other => panic!("{key}: {other:?}"),
    }
}

#[track_caller]
fn keyed<'f>(items: &'f [Item], key: &str) -> &'f Keyed {
    match items.iter().find(|item| item.key() == key) {
        Some(Item::Keyed(keyed)) => keyed,
        other => panic!("{key}: {other:?}"),
    }
}

fn order_form(text: &str) -> Form {
    let faults = read_order("o.toml", text, &shelf()).err();
    Form::of(&order_schema(), text, faults.as_ref())
}

#[test]
fn an_order_as_a_form() {
    let demo = order("V-0031");
    let form = order_form(&demo.text);
    assert!(form.can_edit() && form.root.faults.is_empty());
    assert_eq!(form.root.label, "work order");
    let field = |path: &str| form.field(&Path::new(path)).unwrap_or_else(|| panic!("{path}"));

    let stall = field("survey.stall-current");
    assert_eq!((stall.label.as_str(), stall.value.as_deref()), ("Stall current", Some("0.62 A")));
    assert_eq!(stall.help, "Current with the motor held, decoder out.");
    let Kind::Quantity { examples, units } = &stall.kind else { panic!("{:?}", stall.kind) };
    assert!(!examples.is_empty() && units.contains(&"mA".to_owned()), "{units:?}");

    let scale = field("order.scale");
    let Kind::Choice(words) = &scale.kind else { panic!("{:?}", scale.kind) };
    assert!(
        scale.is_required && words.iter().any(|word| word.value == "HO" && word.help == "1:87.09 by NMRA.")
    );

    assert_eq!(field("address.number").kind, Kind::Whole { least: Some(0), most: Some(10239) });
    assert_eq!(field("manners.analog").kind, Kind::Flag);
    assert_eq!(field("order.wanted").kind, Kind::LongText);
    assert_eq!(field("order.number").kind, Kind::Name);
    assert!(matches!(field("survey.motor-to-frame").kind, Kind::Reading { .. }));
    assert!(matches!(&field("survey.wire.1.to").kind, Kind::Text { examples, .. } if examples[0] == "A.red"));
    assert!(matches!(&field("keys.F0").kind, Kind::Several { is_one_enough: true, .. }));
    assert!(matches!(&field("voice.horn.notes").kind, Kind::Several { is_one_enough: false, .. }));
    assert_eq!(field("survey.decoder-space.width").value.as_deref(), Some("17 mm"));

    let survey = section(&form.root.items, "survey");
    let wires = list(&survey.items, "wire");
    let titles: Vec<&str> = wires.entries.iter().map(|entry| entry.label.as_str()).collect();
    assert_eq!(
        titles,
        [
            "wire 1: A.red to board.S1",
            "wire 2: A.black to board.S2",
            "wire 3: B.black to board.S1",
            "wire 4: B.red to board.S2"
        ]
    );
    assert!(wires.can_add);
    assert_eq!(wires.blank.len(), 4);
    assert_eq!(wires.blank[0].path().as_str(), "survey.wire.5.from");
    assert_eq!(list(&survey.items, "speaker").entries[1].label, "B");

    let keys = keyed(&form.root.items, "keys");
    assert_eq!(keys.key_kind, KeyKind::FunctionKey);
    assert_eq!(keys.entries[0].key(), "F0");
    assert!(keys.free.contains(&"F4".to_owned()) && !keys.free.contains(&"F2".to_owned()));

    // What is not written down is there all the same.
    let contact = section(&form.root.items, "contact");
    assert!(!contact.is_written && !contact.items.is_empty());
    assert_eq!(keyed(&contact.items, "cv").key_kind, KeyKind::Cv);
    assert_eq!(field("voice.prime-mover.idle").value, None);
}

#[test]
fn every_schema_becomes_a_form_of_known_kinds() {
    for demo in demos() {
        let form = Form::of(&demo.schema, &demo.text, None);
        assert!(form.fields().count() > 3, "{}", demo.name);
        for field in form.fields() {
            assert!(
                !field.help.is_empty() || field.path.as_str().contains("defaults"),
                "{}: {}",
                demo.name,
                field.path
            );
            match &field.kind {
                Kind::Quantity { examples, units } => {
                    assert!(
                        !examples.is_empty() && units.iter().all(|unit| !unit.is_empty()),
                        "{}",
                        field.path
                    );
                }
                Kind::Choice(words) => assert!(words.len() > 1, "{}", field.path),
                Kind::Whole { least, most } => assert!(least < most, "{}", field.path),
                _ => {}
            }
            // Nothing that is written down is shown as something else than what it is.
            let got = crate::edit::get(&demo.schema, &demo.text, &field.path).unwrap();
            assert_eq!(got, field.value, "{}: {}", demo.name, field.path);
        }
    }
}

#[test]
fn the_keys_of_keyed_tables_are_known() {
    fn check(items: &[Item], count: &mut usize) {
        for item in items {
            match item {
                Item::Keyed(keyed) => {
                    assert_ne!(keyed.key_kind, KeyKind::Free, "{}", keyed.path);
                    *count += 1;
                }
                Item::Section(section) => check(&section.items, count),
                Item::List(list) => check(&list.blank, count),
                Item::Field(_) => {}
            }
        }
    }
    let mut count = 0;
    for demo in demos() {
        check(&Form::of(&demo.schema, "", None).root.items, &mut count);
    }
    assert!(count > 5);
    for key in KeyKind::FunctionKey.offered() {
        assert!(key.parse::<datasheets::Key>().is_ok());
    }
    assert_eq!(KeyKind::HIGHEST_KEY, datasheets::Key::HIGHEST);
}

#[test]
fn faults_stand_at_their_fields() {
    let text = "[order]\nnumber = \"V-1\"\nmodel = \"x\"\nscale = \"H1\"\n\n[survey]\nstall-curent = \"1 A\"\nrunning-current = 0.2\n\
                [[survey.speaker]]\nname = \"A\"\nrating = \"8 ohm\"\n[plan]\nremove = [\"A\", \"b c\"]\n[keys]\nF99 = \"horn\"\n";
    let form = order_form(text);
    let headlines = |path: &str| -> Vec<String> {
        form.field(&Path::new(path)).unwrap().faults.iter().map(|fault| fault.headline.clone()).collect()
    };
    assert_eq!(headlines("order.scale"), ["`H1` is not a scale"]);
    assert!(headlines("survey.running-current")[0].contains("no unit"));
    assert_eq!(headlines("survey.speaker.A.rating").len(), 1);
    assert_eq!(headlines("plan.remove").len(), 1, "the fault of an item stands at the list");
    assert_eq!(headlines("keys.F99"), ["`F99` is not a key of keys"]);
    let survey = section(&form.root.items, "survey");
    assert!(survey.faults[0].headline.contains("unknown key `stall-curent`"));
    assert_eq!(
        (survey.unknown[0].path.as_str(), survey.unknown[0].value.as_str()),
        ("survey.stall-curent", "\"1 A\"")
    );
    let shown: usize = form.fields().map(|field| field.faults.len()).sum::<usize>() + survey.faults.len();
    let read = read_order("o.toml", text, &shelf()).unwrap_err();
    assert_eq!(shown, read.list.len(), "{read}");
}

#[test]
fn two_entries_of_one_name_are_two() {
    let text = "[[survey.speaker]]\nname = \"A\"\npart = \"x\"\n[[survey.speaker]]\nname = \"A\"\npart = \"y\"\n[[survey.speaker]]\nname = \"2\"\npart = \"z\"\n";
    let form = order_form(text);
    let speakers = list(&section(&form.root.items, "survey").items, "speaker");
    let paths: Vec<&str> = speakers.entries.iter().map(|entry| entry.path.as_str()).collect();
    assert_eq!(paths, ["survey.speaker.A", "survey.speaker.#2", "survey.speaker.2"]);
    assert_eq!(speakers.entries[1].told.as_str(), "survey.speaker.A");
    for (entry, part) in speakers.entries.iter().zip(["x", "y", "z"]) {
        let path = entry.path.join("part");
        assert_eq!(crate::edit::get(&order_schema(), text, &path).unwrap().as_deref(), Some(part));
        let edited = crate::edit::set(&order_schema(), text, &path, "new").unwrap();
        assert_eq!(edited, text.replace(&format!("\"{part}\""), "\"new\""));
    }
}

#[test]
fn what_stands_in_the_way_is_shown() {
    let form = order_form("survey = 3\nkeys = \"x\"\n[plan]\nwire = \"y\"\n");
    assert_eq!(section(&form.root.items, "survey").obstacle.as_deref(), Some("3"));
    assert_eq!(keyed(&form.root.items, "keys").obstacle.as_deref(), Some("x"));
    let wires = list(&section(&form.root.items, "plan").items, "wire");
    assert_eq!(wires.obstacle.as_deref(), Some("y"));
    assert!(!wires.can_add);
}

#[test]
fn a_text_that_is_not_toml_says_where() {
    let form = order_form("[order]\nnumber = \"V-1\"\nmodel = railcar\n[survey]\nsocket = \"NEM652\"\n");
    assert!(!form.can_edit());
    assert_eq!((form.text_faults[0].line, form.text_faults[0].column), (3, 9));
    // What could be read is shown.
    assert_eq!(form.field(&Path::new("survey.socket")).unwrap().value.as_deref(), Some("NEM652"));
    assert!(!list(&section(&form.root.items, "survey").items, "wire").can_add);
    let told = |faults: &[super::Remark]| {
        faults.iter().filter(|fault| fault.headline == form.text_faults[0].headline).count()
    };
    assert_eq!(told(&form.root.faults), 0, "told once, with its place");
}

#[test]
fn suggestions_are_asked_for_and_kept_once() {
    let demo = order("V-0031");
    let terminals = || vec!["A.red".to_owned(), "frame".to_owned()];
    let form = order_form(&demo.text).with_suggestions(&|path, kind| match (path.as_str(), kind) {
        ("plan.decoder", "name") => vec!["demo-21-sound".to_owned()],
        ("keys", "key") => vec!["F0".to_owned(), "F28".to_owned()],
        (path, "text") if path.contains(".wire.") && (path.ends_with(".from") || path.ends_with(".to")) => {
            terminals()
        }
        _ => Vec::new(),
    });
    assert_eq!(form.suggestions.len(), 2);
    let list_of =
        |path: &str| form.field(&Path::new(path)).unwrap().suggestions.map(|list| &form.suggestions[list]);
    assert_eq!(list_of("survey.wire.2.to"), Some(&terminals()));
    assert_eq!(list_of("plan.decoder").map(Vec::len), Some(1));
    assert_eq!(list_of("order.client"), None);
    let Item::Field(blank) = &list(&section(&form.root.items, "survey").items, "wire").blank[1] else {
        panic!()
    };
    assert!(blank.suggestions.is_some());
    assert_eq!(keyed(&form.root.items, "keys").free, ["F28"]);
}

#[test]
fn records_within_their_like_come_to_an_end() {
    let schema = json!({
        "$ref": "#/$defs/Box",
        "$defs": { "Box": { "type": "object", "properties": {
            "note": { "type": "string" },
            "inner": { "$ref": "#/$defs/Box" },
            "boxes": { "type": "array", "items": { "$ref": "#/$defs/Box" } },
        } } },
    });
    let form =
        Form::of(&schema, "note = \"a\"\n[inner]\nnote = \"b\"\n[[inner.boxes]]\nnote = \"c\"\n", None);
    let values: Vec<&str> = form.fields().filter_map(|field| field.value.as_deref()).collect();
    assert_eq!(values, ["a", "b", "c"]);
    assert_eq!(
        crate::edit::set(&schema, "", &Path::new("inner.inner.note"), "d").unwrap(),
        "[inner.inner]\nnote = \"d\"\n"
    );
    for ring in [
        json!({ "$ref": "#/$defs/A", "$defs": { "A": { "$ref": "#/$defs/A" } } }),
        json!({ "$ref": "#/$defs/A", "$defs": { "A": { "type": "array", "items": { "$ref": "#/$defs/A" } } } }),
        json!({ "$ref": "#/$defs/A", "$defs": { "A": { "anyOf": [{ "$ref": "#/$defs/A" }] } } }),
        json!({ "$ref": "#/nothing" }),
        json!(true),
    ] {
        assert_eq!(Form::of(&ring, "a = 1", None).root.items, []);
    }
}

#[test]
fn sheets_have_their_kind_s_form() {
    let demo = demos().into_iter().find(|demo| demo.name == "demo-8-paged.toml").unwrap();
    assert_eq!(kind_of(&demo.text), datasheets::PartKind::Decoder);
    let form = Form::of(&demo.schema, &demo.text, None);
    let roles = list(&form.root.items, "role");
    assert_eq!(roles.entries[0].label, "role 1: voice.engine, 257");
    let choices = list(&roles.entries[0].items, "choices");
    assert_eq!(choices.entries[1].path.as_str(), "role.1.choices.2");
    let field = form.field(&Path::new("role.1.choices.2.is.cylinders")).unwrap();
    assert_eq!(field.value.as_deref(), Some("3"));
    assert_eq!(form.field(&Path::new("decoder.sockets")).unwrap().value.as_deref(), Some("NEM652, wires"));
}
