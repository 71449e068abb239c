//! Two edits of one order.

use super::{ChangedBy, FieldDifference, Merge, Side, compare, merge, merge_choosing};
use crate::demo::order_schema;

const BASE: &str = "[order]\nnumber = \"V-1\" # ours\nscale = \"HO\"\n\n[[survey.speaker]]\nname = \"A\"\npart = \"x\"\n\n\
                    [[survey.speaker]]\nname = \"B\"\npart = \"x\"\n\n[[survey.wire]]\nfrom = \"A.1\"\nto = \"board.S1\"\n\n\
                    # the second\n[[survey.wire]]\nfrom = \"A.2\"\nto = \"board.S2\"\n\n[keys]\nF0 = \"headlight\"\n";

fn told(differences: &[FieldDifference]) -> Vec<String> {
    let word = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".to_owned());
    differences
        .iter()
        .map(|d| {
            let who = match d.changed_by {
                ChangedBy::Ours => "ours",
                ChangedBy::Theirs => "theirs",
                ChangedBy::Both => "BOTH",
            };
            format!("{who} {}: {} | {} | {}", d.path, word(&d.base), word(&d.ours), word(&d.theirs))
        })
        .collect()
}

#[track_caller]
fn merged(ours: &str, theirs: &str) -> String {
    match merge(&order_schema(), BASE, ours, theirs).unwrap() {
        Merge::Merged { text, .. } => text,
        Merge::Conflict(conflicts) => panic!("{:#?}", told(&conflicts)),
    }
}

#[track_caller]
fn conflicts(ours: &str, theirs: &str) -> Vec<String> {
    match merge(&order_schema(), BASE, ours, theirs).unwrap() {
        Merge::Merged { text, .. } => panic!("{text}"),
        Merge::Conflict(conflicts) => told(&conflicts),
    }
}

/// Replaces what must be there.
#[track_caller]
fn edit(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    text.replacen(from, to, 1)
}

#[test]
fn edits_of_different_fields_come_together() {
    let ours = edit(BASE, "scale = \"HO\"", "scale = \"N\" # ours too");
    let theirs =
        edit(BASE, "name = \"B\"\npart = \"x\"", "name = \"B\"\npart = \"y\"\npolarity = \"marked\"");
    let expected =
        edit(&ours, "name = \"B\"\npart = \"x\"", "name = \"B\"\npart = \"y\"\npolarity = \"marked\"");
    assert_eq!(merged(&ours, &theirs), expected);
    assert_eq!(
        told(&compare(BASE, &ours, &theirs).unwrap()),
        [
            "ours order.scale: HO | N | HO",
            "theirs survey.speaker.B.part: x | x | y",
            "theirs survey.speaker.B.polarity: - | - | marked",
        ]
    );
    assert_eq!(merged(BASE, &theirs), theirs);
    assert_eq!(merged(&ours, BASE), ours);
    assert_eq!(merged(&ours, &ours), ours);
    assert!(compare(BASE, &ours, &ours).unwrap().is_empty());
}

#[test]
fn fields_of_one_entry_come_together_too() {
    let ours = edit(BASE, "to = \"board.S2\"", "to = \"board.S2\"\ncolour = \"red\"");
    let theirs = edit(BASE, "to = \"board.S2\"", "to = \"frame\"");
    assert_eq!(merged(&ours, &theirs), edit(&ours, "board.S2", "frame"));
}

#[test]
fn one_field_changed_by_both_is_a_conflict() {
    let ours = edit(BASE, "\"HO\"", "\"N\"");
    let theirs = edit(BASE, "\"HO\"", "\"TT\"");
    assert_eq!(conflicts(&ours, &theirs), ["BOTH order.scale: HO | N | TT"]);
    // What one takes away and the other works on is one too.
    let ours = edit(BASE, "[[survey.speaker]]\nname = \"B\"\npart = \"x\"\n\n", "");
    let theirs = edit(BASE, "name = \"B\"", "name = \"B\"\nat = \"3 mm\"");
    assert_eq!(
        conflicts(&ours, &theirs),
        ["BOTH survey.speaker.B: name B, part x | - | name B, at 3 mm, part x"]
    );
    let ours = edit(BASE, "\n[keys]\nF0 = \"headlight\"\n", "");
    let theirs = edit(BASE, "F0 = ", "F1 = \"bell\"\nF0 = ");
    assert_eq!(conflicts(&ours, &theirs), ["BOTH keys: F0 headlight | - | F1 bell, F0 headlight"]);
}

#[test]
fn both_make_the_same_section() {
    let ours = edit(BASE, "[keys]", "[plan]\ndecoder = \"a\"\n\n[keys]");
    let theirs = edit(
        BASE,
        "[keys]",
        "[plan]\ntrack-voltage = \"15 V\"\n\n[[plan.wire]]\nfrom = \"A.1\"\nto = \"A.2\"\n\n[voice]\nhorn = { chimes = 2 }\n\n[keys]",
    );
    let expected = edit(&theirs, "[plan]\n", "[plan]\ndecoder = \"a\"\n");
    assert_eq!(merged(&ours, &theirs), expected);
    let theirs = edit(BASE, "[keys]", "[plan]\ndecoder = \"b\"\n\n[keys]");
    assert_eq!(conflicts(&ours, &theirs), ["BOTH plan.decoder: - | a | b"]);
}

#[test]
fn entries_come_and_go_on_both_sides() {
    let speaker = |name: &str| format!("[[survey.speaker]]\nname = \"{name}\"\n\n");
    let ours = edit(BASE, "[[survey.wire]]", &format!("{}[[survey.wire]]", speaker("C")));
    let theirs = edit(BASE, "[[survey.wire]]", &format!("{}[[survey.wire]]", speaker("D")));
    let theirs = edit(&theirs, "[[survey.speaker]]\nname = \"A\"\npart = \"x\"\n\n", "");
    let expected = edit(BASE, "[[survey.wire]]", &format!("{}{}[[survey.wire]]", speaker("C"), speaker("D")));
    let expected = edit(&expected, "[[survey.speaker]]\nname = \"A\"\npart = \"x\"\n\n", "");
    assert_eq!(merged(&ours, &theirs), expected);

    let wire = |to: &str| format!("[[survey.wire]]\nfrom = \"A.3\"\nto = \"{to}\"\n\n");
    let ours = edit(BASE, "[keys]", &format!("{}[keys]", wire("frame")));
    let theirs = edit(BASE, "[keys]", &format!("{}[keys]", wire("motor.1")));
    assert_eq!(merged(&ours, &theirs), edit(&ours, "[keys]", &format!("{}[keys]", wire("motor.1"))));
    assert_eq!(
        told(&compare(BASE, &ours, &theirs).unwrap()),
        [
            "ours survey.wire.3: - | from A.3, to frame | -",
            "theirs survey.wire.3: - | - | from A.3, to motor.1"
        ]
    );
    // Their removal of the first wire and our edit of the second.
    let ours = edit(BASE, "board.S2", "frame");
    let theirs = edit(BASE, "[[survey.wire]]\nfrom = \"A.1\"\nto = \"board.S1\"\n\n", "");
    assert_eq!(conflicts(&ours, &theirs).len(), 1);
}

#[test]
fn wires_that_changed_places_are_not_edited_by_number() {
    let swapped = "from = \"A.1\"\nto = \"board.S2\"\n\n# the second\n[[survey.wire]]\nfrom = \"A.1\"\nto = \"board.S1\"";
    let base = edit(BASE, "from = \"A.2\"", "from = \"A.1\"");
    let start = base.find("from = \"A.1\"").unwrap();
    let end = base.find("\n\n[keys]").unwrap();
    let ours = format!("{}{swapped}{}", &base[..start], &base[end..]);
    let theirs = edit(&base, "from = \"A.1\"", "from = \"B.1\"");
    let Merge::Conflict(list) = merge(&order_schema(), &base, &ours, &theirs).unwrap() else {
        panic!("the edit was put on the wrong wire")
    };
    assert_eq!(list[0].path.as_str(), "survey.wire");
}

#[test]
fn order_of_named_entries() {
    let text =
        |names: [&str; 3]| names.map(|name| format!("[[survey.speaker]]\nname = \"{name}\"\n")).join("\n");
    let (base, ours, theirs) = (text(["A", "B", "C"]), text(["A", "C", "B"]), text(["C", "A", "B"]));
    let run = |ours: &str, theirs: &str| merge(&order_schema(), &base, ours, theirs).unwrap();
    let merged =
        |merge: Merge| if let Merge::Merged { text, .. } = merge { text } else { panic!("conflict") };
    assert_eq!(merged(run(&base, &theirs)), theirs);
    assert_eq!(merged(run(&ours, &base)), ours);
    let edited = edit(&base, "name = \"B\"", "name = \"B\"\npart = \"x\"");
    assert_eq!(merged(run(&edited, &theirs)), edit(&theirs, "name = \"B\"", "name = \"B\"\npart = \"x\""));
    let Merge::Conflict(list) = run(&ours, &theirs) else { panic!("no conflict") };
    assert_eq!(told(&list), ["BOTH survey.speaker: A, B, C | A, C, B | C, A, B"]);
}

fn plan_gone() -> FieldDifference {
    let there = Some("{}".to_owned());
    FieldDifference {
        path: finding::Path::new("plan"),
        label: "Plan".to_owned(),
        base: there.clone(),
        ours: there,
        theirs: None,
        changed_by: ChangedBy::Theirs,
    }
}

#[test]
fn tables_that_hold_nothing_make_no_difference() {
    let base = "[[survey.wire]]\nvoice = { horn.chimes = 5, bell = {} }\n";
    let run = |ours: &str, theirs: &str| match merge(&order_schema(), base, ours, theirs).unwrap() {
        Merge::Merged { text, .. } => text,
        Merge::Conflict(conflicts) => panic!("{:#?}", told(&conflicts)),
    };
    assert_eq!(run(base, base), base);
    assert_eq!(
        merge(&order_schema(), "[plan]\n", "[plan]\n", ""),
        Ok(Merge::Merged { text: String::new(), differences: vec![plan_gone()] })
    );
    let theirs = format!("{base}[keys]\nF0 = \"horn\"\n");
    assert_eq!(run(base, &theirs), format!("{base}\n[keys]\nF0 = \"horn\"\n"));
}

#[test]
fn a_person_decides() {
    let ours = edit(BASE, "\"HO\"", "\"N\"");
    let theirs = edit(&edit(BASE, "\"HO\"", "\"TT\""), "F0 = ", "F1 = \"bell\"\nF0 = ");
    let decide =
        |side: Side| match merge_choosing(&order_schema(), BASE, &ours, &theirs, &|_| Some(side)).unwrap() {
            Merge::Merged { text, differences } => {
                assert_eq!(differences.iter().filter(|difference| difference.is_conflict()).count(), 1);
                text
            }
            Merge::Conflict(_) => panic!("it was decided"),
        };
    let with_key = edit(&ours, "F0 = \"headlight\"\n", "F0 = \"headlight\"\nF1 = \"bell\"\n");
    assert_eq!(decide(Side::Ours), with_key);
    assert_eq!(decide(Side::Theirs), edit(&with_key, "\"N\"", "\"TT\""));
}

#[test]
fn texts_that_are_not_toml_are_refused() {
    for texts in [["[", "", ""], ["", "[", ""], ["", "", "["]] {
        assert!(compare(texts[0], texts[1], texts[2]).is_err());
        assert!(merge(&order_schema(), texts[0], texts[1], texts[2]).is_err());
    }
}
