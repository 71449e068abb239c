//! Names followed through a work order.

use finding::Path;
use workorder::{Terminal, read_order};

use super::{KINDS, TAKEN, rename};
use crate::demo::{order, order_schema};
use crate::error::EditError;
use crate::schema::{Schema, Shape};

fn renamed(text: &str, at: &str, new: &str) -> Result<super::Renamed, EditError> {
    rename(&order_schema(), text, &Path::new(at), new)
}

#[test]
fn wires_follow_a_speaker() {
    let demo = order("V-0031");
    for at in ["survey.speaker.A", "survey.speaker.A.name", "survey.speaker.1"] {
        let done = renamed(&demo.text, at, "front").unwrap();
        assert_eq!(done.path.as_str(), "survey.speaker.front");
        assert_eq!(done.text, demo.text.replace("\"A\"", "\"front\"").replace("\"A.", "\"front."));
        let references: Vec<&str> = done.references.iter().map(Path::as_str).collect();
        assert_eq!(
            references,
            ["survey.wire.1.from", "survey.wire.2.from", "plan.wire.1.from", "plan.wire.2.from"]
        );
    }
}

#[test]
fn what_is_taken_out_and_lamps_and_pads_follow() {
    let text = "[[survey.speaker]]\nname = \"old\" # found\n[[survey.pad]]\nname = \"S1\"\n[[survey.lamp]]\nname = \"old\"\n\
                [[survey.wire]]\nfrom = \"board.S1\"\nto = \"old.red\"\n[plan]\nremove = [\"old\"] # out\n\
                [[plan.lamp]]\nname = \"old\"\nfound = \"old\"\n";
    let speaker = renamed(text, "survey.speaker.old", "B").unwrap().text;
    assert!(
        speaker.contains("name = \"B\" # found\n") && speaker.contains("remove = [\"B\"] # out\n"),
        "{speaker}"
    );
    assert!(speaker.contains("to = \"B.red\"") && speaker.contains("found = \"old\""), "{speaker}");
    let lamp = renamed(text, "survey.lamp.old", "B").unwrap();
    assert_eq!(lamp.references, [Path::new("plan.lamp.old.found")]);
    assert!(lamp.text.contains("remove = [\"old\"]"), "{}", lamp.text);
    let pad = renamed(text, "survey.pad.S1", "S2").unwrap().text;
    assert!(pad.contains("from = \"board.S2\""), "{pad}");
}

#[test]
fn entries_without_a_name_get_one() {
    let done = renamed("[[survey.speaker]]\npart = \"x\"\n", "survey.speaker.1", "A").unwrap();
    assert_eq!(done.text, "[[survey.speaker]]\nname = \"A\"\npart = \"x\"\n");
    assert_eq!(done.path.as_str(), "survey.speaker.A");
    assert_eq!(renamed(&done.text, "survey.speaker.A", "A").unwrap().text, done.text);
}

#[test]
fn names_that_would_mix_things_up_are_refused() {
    let two = "[[survey.speaker]]\nname = \"A\"\n[[plan.speaker]]\nname = \"B\"\n";
    assert!(matches!(renamed(two, "survey.speaker.A", "B"), Err(EditError::NameTaken { .. })));
    assert!(matches!(renamed(two, "survey.speaker.A", "board"), Err(EditError::NameTaken { .. })));
    assert!(matches!(renamed(two, "survey.speaker.A", "a b"), Err(EditError::WrongKind { .. })));
    assert!(matches!(renamed(two, "survey.speaker.A", ""), Err(EditError::WrongKind { .. })));
    assert!(matches!(renamed(two, "survey.speaker.C", "D"), Err(EditError::NoSuchEntry { .. })));
    assert!(matches!(renamed(two, "survey", "D"), Err(EditError::NoSuchEntry { .. })));
    let same = two.replace('B', "A");
    assert!(matches!(renamed(&same, "survey.speaker.A", "B"), Err(EditError::NameUnclear { .. })));
    let odd = two.replace('A', "board");
    assert!(matches!(renamed(&odd, "survey.speaker.board", "A"), Err(EditError::NameUnclear { .. })));
}

#[test]
fn the_table_of_references_agrees_with_the_work_order() {
    assert_eq!(TAKEN, Terminal::TAKEN);
    let root = order_schema();
    let there = |path: &str| {
        path.split('.').try_fold(Schema::new(&root), |schema, step| match schema.shape() {
            Shape::Record(record) => record.field(step),
            Shape::Entries(entry) if step == "*" => Some(entry),
            Shape::Plain(_) if step == "*" => Some(schema),
            _ => None,
        })
    };
    for kind in &KINDS {
        for list in kind.lists {
            assert!(there(&format!("{list}.*.name")).is_some(), "{list}");
        }
        for field in kind.references.iter().flat_map(|reference| reference.fields) {
            assert!(there(field).is_some(), "{field}");
        }
    }
}

#[test]
fn every_name_of_the_demo_s_orders_can_change() {
    let shelf = crate::demo::shelf();
    let mut count = 0;
    for demo in crate::demo::demos().iter().filter(|demo| demo.name.starts_with("V-")) {
        let before = read_order(&demo.name, &demo.text, &shelf).unwrap();
        for kind in &KINDS {
            for list in kind.lists {
                let layout = crate::layout::Layout::parse(&demo.text).unwrap();
                let trail = crate::address::find(&layout.root, &Path::new(*list));
                for entry in trail.found().map_or(&[][..], |list| list.entries()) {
                    let name = crate::address::entry_name(entry).unwrap();
                    let done = renamed(&demo.text, &format!("{list}.{name}"), "renamed-1").unwrap();
                    let after = read_order(&demo.name, &done.text, &shelf)
                        .unwrap_or_else(|faults| panic!("{list}.{name}: {faults}"));
                    assert_ne!(before.value, after.value);
                    let back = renamed(&done.text, done.path.as_str(), name).unwrap();
                    assert_eq!(back.text, demo.text);
                    count += 1;
                }
            }
        }
    }
    assert!(count > 30, "{count}");
}
