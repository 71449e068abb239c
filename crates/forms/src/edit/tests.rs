//! Edits of texts as people write them.

use finding::Path;

use super::{add_entry, get, move_entry, remove_entry, set, unset};
use crate::demo::{order, order_schema};
use crate::error::EditError;

const ORDER: &str = "# Invented.\n\n[order]\nnumber = \"V-1\"   # ours\nmodel  = \"railcar\"\nscale  = \"HO\"\n\n[[survey.speaker]]\nname = \"A\"\nimpedance = \"8 ohm\"\nrating = \"1 W\"\n\n[keys]\nF0 = \"headlight\"\nF10 = [\"horn\", \"bell\"]\n";

fn path(text: &str) -> Path {
    Path::new(text)
}

#[track_caller]
fn after_set(text: &str, at: &str, typed: &str) -> String {
    set(&order_schema(), text, &path(at), typed).unwrap_or_else(|error| panic!("{at}: {error}"))
}

/// The lines that only one of two texts has, `-` before those of the first, `+` before those of the second.
fn changed(old: &str, new: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (old.split('\n').collect(), new.split('\n').collect());
    let same = old.iter().zip(&new).take_while(|(old, new)| old == new).count();
    let rest = old.len().min(new.len()) - same;
    let same_end =
        old.iter().rev().zip(new.iter().rev()).take(rest).take_while(|(old, new)| old == new).count();
    let gone = old[same..old.len() - same_end].iter().map(|line| format!("-{line}"));
    let come = new[same..new.len() - same_end].iter().map(|line| format!("+{line}"));
    gone.chain(come).collect::<Vec<_>>().join("\n")
}

#[track_caller]
fn check_set(text: &str, at: &str, typed: &str, expected: &str) {
    assert_eq!(changed(text, &after_set(text, at, typed)), expected);
}

#[test]
fn a_value_changes_in_place() {
    check_set(ORDER, "order.number", "V-2", "-number = \"V-1\"   # ours\n+number = \"V-2\"   # ours");
    check_set(
        ORDER,
        "survey.speaker.A.impedance",
        " 4 ohm ",
        "-impedance = \"8 ohm\"\n+impedance = \"4 ohm\"",
    );
    check_set(ORDER, "keys.F10", "horn", "-F10 = [\"horn\", \"bell\"]\n+F10 = \"horn\"");
    check_set(ORDER, "keys.F0", "horn, mute", "-F0 = \"headlight\"\n+F0 = [\"horn\", \"mute\"]");
}

#[test]
fn the_same_again_changes_nothing() {
    for (at, typed) in [("order.scale", "HO"), ("keys.F10", "horn, bell"), ("survey.socket", " ")] {
        assert_eq!(after_set(ORDER, at, typed), ORDER);
    }
}

#[test]
fn a_key_goes_where_the_schema_has_it() {
    check_set(ORDER, "survey.speaker.A.part", "oval-15x11", "+part = \"oval-15x11\"");
    let text = after_set(ORDER, "survey.speaker.A.part", "oval-15x11");
    assert!(text.contains("name = \"A\"\npart = \"oval-15x11\"\nimpedance"), "{text}");
    let text = after_set(ORDER, "keys.F2", "horn");
    assert!(text.contains("F0 = \"headlight\"\nF2 = \"horn\"\nF10 = "), "{text}");
    let text = after_set(ORDER, "order.invented", "yes");
    assert!(text.contains("scale  = \"HO\"\ninvented = true\n\n[[survey"), "{text}");
}

#[test]
fn tables_on_the_way_are_made() {
    check_set(ORDER, "survey.socket", "NEM652", "+[survey]\n+socket = \"NEM652\"\n+");
    let text = after_set(ORDER, "survey.socket", "NEM652");
    assert!(text.contains("\n\n[survey]\nsocket = \"NEM652\"\n\n[[survey.speaker]]\n"), "{text}");

    let text = after_set(ORDER, "voice.horn.chimes", "5");
    assert!(text.contains("rating = \"1 W\"\n\n[voice]\nhorn = { chimes = 5 }\n\n[keys]\n"), "{text}");
    let text = after_set(&text, "voice.horn.notes", "A4, C#5");
    assert!(text.contains("[voice]\nhorn = { chimes = 5, notes = [\"A4\", \"C#5\"] }\n\n"), "{text}");
    let text = after_set(&text, "voice.prime-mover.cylinders", "12");
    assert!(text.contains("[voice]\nprime-mover = { cylinders = 12 }\nhorn = "), "{text}");

    let text = after_set(ORDER, "contact.cv.CV8", "13");
    assert!(text.contains("\n[contact.cv]\nCV8 = 13\n\n[keys]\n"), "{text}");
    let text = after_set(&text, "contact.acknowledged", "yes");
    assert!(text.contains("\n[contact]\nacknowledged = true\n\n[contact.cv]\nCV8 = 13\n"), "{text}");
}

#[test]
fn an_empty_document_can_be_filled_in() {
    let mut text = String::new();
    for (at, typed) in [
        ("keys.F0", "headlight"),
        ("order.scale", "HO"),
        ("order.number", "V-9"),
        ("manners.speed-table", "1, 2, 3"),
        ("survey.decoder-space.width", "17 mm"),
        ("order.model", "railcar"),
    ] {
        text = after_set(&text, at, typed);
    }
    assert_eq!(
        text,
        "[order]\nnumber = \"V-9\"\nmodel = \"railcar\"\nscale = \"HO\"\n\n[survey]\ndecoder-space = { width = \"17 mm\" }\n\n\
         [manners]\nspeed-table = [1, 2, 3]\n\n[keys]\nF0 = \"headlight\"\n"
    );
}

#[test]
fn other_ways_of_writing_stay() {
    check_set("survey = { socket = \"x\" } # c\n", "survey.stall-current", "", "");
    check_set(
        "survey = { stall-current = \"1 A\" } # c\n",
        "survey.socket",
        "NEM652",
        "-survey = { stall-current = \"1 A\" } # c\n+survey = { socket = \"NEM652\", stall-current = \"1 A\" } # c",
    );
    check_set("survey.socket = \"x\"\n", "survey.stall-current", "1 A", "+survey.stall-current = \"1 A\"");
    check_set("survey.stall-current = \"1 A\"\n", "survey.socket", "x", "+survey.socket = \"x\"");
    check_set(
        "voice = { horn.chimes = 5 }",
        "voice.horn.notes",
        "A4",
        "-voice = { horn.chimes = 5 }\n+voice = { horn.chimes = 5, horn.notes = [\"A4\"] }",
    );
    check_set(
        "[voice]\nhorn = {\n  chimes = 5, # five\n}\n",
        "voice.horn.notes",
        "A4",
        "+  notes = [\"A4\"],",
    );
    check_set(
        "  [plan]\r\n  decoder = \"a\"\r\n",
        "plan.track-voltage",
        "15 V",
        "+  track-voltage = \"15 V\"\r",
    );
    check_set("\u{feff}[plan]\n", "plan.decoder", "a", "+decoder = \"a\"");
    check_set("[plan]\ndecoder = \"a\"", "plan.track-voltage", "15 V", "+track-voltage = \"15 V\"");
    check_set("[[survey.wire]]\nfrom = \"A.red\"\n", "survey.wire.1.to", "frame", "+to = \"frame\"");
    check_set(
        "'keys'.\"F2\" = 'bell' # c\n",
        "keys.F2",
        "horn",
        "-'keys'.\"F2\" = 'bell' # c\n+'keys'.\"F2\" = \"horn\" # c",
    );
    check_set(
        "[survey.socket]\nx = 1\n[plan]\n",
        "survey.socket",
        "NEM652",
        "-[survey.socket]\n-x = 1\n+[survey]\n+socket = \"NEM652\"\n+",
    );
}

#[test]
fn what_looks_like_a_comment_in_a_text_is_none() {
    let text = "[order]\nnote = \"\"\"\n# not a comment\n# \"\"\"\n[plan]\n";
    let edited = after_set(text, "survey.socket", "x");
    assert!(edited.contains("# \"\"\"\n\n[survey]\nsocket = \"x\"\n\n[plan]"), "{edited}");
}

#[test]
fn fields_are_taken_out_with_what_they_leave_empty() {
    let schema = order_schema();
    for (at, typed) in [
        ("survey.socket", "NEM652"),
        ("voice.horn.chimes", "5"),
        ("contact.cv.CV8", "13"),
        ("keys.F2", "horn"),
        ("plan.remove", "A"),
        ("address.consist", "7"),
        ("survey.speaker.A.part", "x"),
        ("order.note", "two\nlines"),
    ] {
        let edited = after_set(ORDER, at, typed);
        assert_ne!(edited, ORDER);
        assert_eq!(unset(&schema, &edited, &path(at)).unwrap(), ORDER, "{at}");
        assert_eq!(set(&schema, &edited, &path(at), "").unwrap(), ORDER, "{at}");
    }
    // Sections that must be there stay, and so do comments.
    let order = unset(&schema, "[order]\nnumber = \"V\"\n", &path("order.number")).unwrap();
    assert_eq!(order, "[order]\n");
    let plan = unset(&schema, "[plan]\n# soon\ndecoder = \"x\" # best\n", &path("plan.decoder")).unwrap();
    assert_eq!(plan, "[plan]\n# soon\n");
    assert_eq!(unset(&schema, "a = 1\n\"b.c\" = 2", &path("b.c")).unwrap(), "a = 1");
    assert_eq!(unset(&schema, ORDER, &path("survey")).unwrap().matches("survey").count(), 0);
    assert_eq!(unset(&schema, ORDER, &path("nothing.here")).unwrap(), ORDER);
}

#[test]
fn items_in_brackets_come_and_go() {
    let schema = order_schema();
    let check = |text: &str, at: &str, expected: &str| {
        assert_eq!(unset(&schema, text, &path(at)).unwrap(), expected, "{text}");
    };
    let horn = |inside: &str| format!("[voice]\nhorn = {{{inside}}}\nhead-end-power = \"none\"\n");
    check(&horn(" chimes = 5, notes = [] "), "voice.horn.notes", &horn(" chimes = 5 "));
    check(&horn(" chimes = 5, notes = [] "), "voice.horn.chimes", &horn(" notes = [] "));
    check(
        &horn("\n  chimes = 5, # five\n  notes = [] # none\n"),
        "voice.horn.notes",
        &horn("\n  chimes = 5 # five\n"),
    );
    check(
        &horn("\n  chimes = 5, # five\n  # which\n  notes = [],\n"),
        "voice.horn.chimes",
        &horn("\n  # which\n  notes = [],\n"),
    );
    check(&horn("a.b = 1, chimes = 5, a.c = 2"), "voice.horn.a", &horn("chimes = 5"));
    check("[plan]\nremove = [\"A\", \"B\"]\n", "plan.remove.1", "[plan]\nremove = [\"B\"]\n");
    check("[plan]\nremove = [\"A\", \"B\",]\n", "plan.remove.2", "[plan]\nremove = [\"A\",]\n");
    check("[plan]\ndecoder = \"x\"\nremove = [\"A\"]\n", "plan.remove.1", "[plan]\ndecoder = \"x\"\n");
    check(
        "[plan]\nwire = [\n  { from = \"A.1\" },\n  { from = \"B.1\" }\n]\n",
        "plan.wire.2",
        "[plan]\nwire = [\n  { from = \"A.1\" }\n]\n",
    );
}

#[test]
fn entries_are_added_in_the_way_of_their_list() {
    let schema = order_schema();
    let add = |text: &str, list: &str, values: &[(&str, &str)]| {
        let (text, path) = add_entry(&schema, text, &path(list), values).unwrap();
        (text, path.as_str().to_owned())
    };
    let (text, at) = add(ORDER, "survey.speaker", &[("rating", "2 W"), ("name", "B"), ("part", "")]);
    assert_eq!(at, "survey.speaker.B");
    assert_eq!(changed(ORDER, &text), "+[[survey.speaker]]\n+name = \"B\"\n+rating = \"2 W\"\n+");
    let (text, at) = add(ORDER, "survey.wire", &[("to", "frame"), ("from", "A.plus")]);
    assert_eq!(at, "survey.wire.1");
    assert_eq!(changed(ORDER, &text), "+[[survey.wire]]\n+from = \"A.plus\"\n+to = \"frame\"\n+");
    let (text, at) = add(&text, "survey.wire", &[]);
    assert_eq!(at, "survey.wire.2");
    assert!(text.contains("to = \"frame\"\n\n[[survey.wire]]\n\n[keys]"), "{text}");
    let (text, at) = add(ORDER, "plan.lamp", &[("name", "head")]);
    assert_eq!(at, "plan.lamp.head");
    assert!(text.contains("rating = \"1 W\"\n\n[[plan.lamp]]\nname = \"head\"\n\n[keys]"), "{text}");
    // A second entry of a name is told by its place.
    assert_eq!(add(ORDER, "survey.speaker", &[("name", "A")]).1, "survey.speaker.#2");
    assert_eq!(add("", "survey.wire", &[]), ("[[survey.wire]]\n".to_owned(), "survey.wire.1".to_owned()));

    let inline = "survey.wire = [{ from = \"a.b\" }]\n";
    assert_eq!(
        add(inline, "survey.wire", &[("to", "frame")]).0,
        "survey.wire = [{ from = \"a.b\" }, { to = \"frame\" }]\n"
    );
    let lines = "[survey]\nwire = [\n  { from = \"a.b\" }, # one\n]\n";
    assert_eq!(
        add(lines, "survey.wire", &[]).0,
        "[survey]\nwire = [\n  { from = \"a.b\" }, # one\n  {},\n]\n"
    );
    assert_eq!(
        add("survey = {}\n", "survey.wire", &[("to", "frame")]).0,
        "survey = { wire = [{ to = \"frame\" }] }\n"
    );
}

#[test]
fn entries_go_with_their_comments() {
    let schema = order_schema();
    let text = "# top\n[[survey.wire]]\nfrom = \"A.1\"\n\n# the second\n[[survey.wire]]\nfrom = \"B.1\" # b\n\n# plan\n[plan]\n";
    let one = remove_entry(&schema, text, &path("survey.wire.2")).unwrap();
    assert_eq!(one, "# top\n[[survey.wire]]\nfrom = \"A.1\"\n\n# plan\n[plan]\n");
    let other = remove_entry(&schema, text, &path("survey.wire.1")).unwrap();
    assert_eq!(other, "# top\n# the second\n[[survey.wire]]\nfrom = \"B.1\" # b\n\n# plan\n[plan]\n");
    assert!(matches!(
        remove_entry(&schema, text, &path("survey.wire.3")),
        Err(EditError::NoSuchEntry { .. })
    ));
    assert!(matches!(remove_entry(&schema, text, &path("plan")), Err(EditError::NoSuchEntry { .. })));
}

#[test]
fn entries_move_with_their_comments() {
    let text = "[[w]]\na = 1\n\n# two\n[[w]]\na = 2\n[w.x]\nb = 2\n\n\n[[w]]\na = 3";
    let moved = move_entry(text, &path("w.3"), 1).unwrap();
    assert_eq!(moved, "[[w]]\na = 3\n\n[[w]]\na = 1\n\n\n# two\n[[w]]\na = 2\n[w.x]\nb = 2");
    assert_eq!(move_entry(&moved, &path("w.1"), 3).unwrap(), text);
    assert!(move_entry(text, &path("w.1"), 4).is_err());
    assert!(move_entry(text, &path("w.1"), 0).is_err());
    assert_eq!(move_entry(text, &path("w.2"), 2).unwrap(), text);

    let inline = "w = [\n  { name = \"A\" }, # a\n  { name = \"B\" } # b\n]\n";
    assert_eq!(
        move_entry(inline, &path("w.B"), 1).unwrap(),
        "w = [\n  { name = \"B\" }, # b\n  { name = \"A\" } # a\n]\n"
    );
    assert_eq!(move_entry("w = [1, 2, 3] # c\n", &path("w.1"), 3).unwrap(), "w = [2, 3, 1] # c\n");
}

#[test]
fn entries_of_one_list_may_stand_apart() {
    let schema = order_schema();
    let text =
        "[[survey.wire]]\nfrom = \"A.1\"\n[plan]\ndecoder = \"x\"\n[[survey.wire]]\nfrom = \"B.1\"\n[keys]\n";
    let moved = move_entry(text, &path("survey.wire.2"), 1).unwrap();
    assert_eq!(moved, text.replace("A.1", "C.1").replace("B.1", "A.1").replace("C.1", "B.1"));
    let removed = remove_entry(&schema, text, &path("survey.wire.2")).unwrap();
    assert_eq!(removed, "[[survey.wire]]\nfrom = \"A.1\"\n[plan]\ndecoder = \"x\"\n[keys]\n");
}

#[test]
fn refusals_teach() {
    let schema = order_schema();
    let refused = |text: &str, at: &str, typed: &str| {
        let error = set(&schema, text, &path(at), typed).unwrap_err();
        format!("{error}: {}", error.help())
    };
    assert_eq!(
        refused("[order\nnumber = 1", "order.number", "V"),
        "line 1, column 7: unclosed table, expected `]`: mend the text there first; nothing is edited in a text that is not TOML"
    );
    assert_eq!(refused(ORDER, "order.modle", "x"), "there is no field `order.modle`: did you mean `model`?");
    assert!(refused(ORDER, "trailer", "x").contains("the fields here are order, survey, plan"));
    assert_eq!(
        refused(ORDER, "address.number", "many"),
        "`many` is not a whole number from 0 to 10239: write a whole number from 0 to 10239"
    );
    assert_eq!(refused(ORDER, "order.invented", "perhaps"), "`perhaps` is not yes or no: write yes or no");
    assert!(
        refused(ORDER, "survey.speaker.B.part", "x").starts_with("there is no entry `survey.speaker.B.part`")
    );
    assert!(refused(ORDER, "survey.speaker", "x").starts_with("`survey.speaker` is more than one field"));
    assert!(refused(ORDER, "survey.speaker.A", "x").starts_with("`survey.speaker.A` is more than one field"));
    assert!(refused(ORDER, "keys.F0.x", "x").starts_with("there is no"));
    assert_eq!(
        refused("survey = 3", "survey.socket", "x"),
        "`survey` is a bare number where a table belongs: remove `survey` first, then fill in its fields"
    );
    assert!(add_entry(&schema, ORDER, &path("plan.remove"), &[]).unwrap_err().help().contains("commas"));
    assert!(add_entry(&schema, ORDER, &path("survey.wire"), &[("form", "x")]).is_err());
    assert!(add_entry(&schema, "survey.wire = 3", &path("survey.wire"), &[]).is_err());
    assert!(unset(&schema, ORDER, &Path::root()).is_err());
    let huge = "x".repeat(documents::MOST_BYTES);
    assert!(refused(ORDER, "order.note", &huge).contains("a document has at most"));
}

#[test]
fn fields_are_read_as_typed() {
    let schema = order_schema();
    let demo = order("V-0031");
    let read = |at: &str| get(&schema, &demo.text, &path(at)).unwrap();
    assert_eq!(read("keys.F0").as_deref(), Some("headlight, rear light"));
    assert_eq!(read("survey.speaker.B.terminals").as_deref(), Some("red, black"));
    assert_eq!(read("manners.analog").as_deref(), Some("no"));
    assert_eq!(read("address.number").as_deref(), Some("4031"));
    assert_eq!(read("survey.wire.2.to").as_deref(), Some("board.S2"));
    assert_eq!(read("order.note"), None);
    assert!(get(&schema, &demo.text, &path("order.nope")).is_err());
}

#[test]
fn a_text_in_a_number_s_place_is_mended_by_typing_it_again() {
    let text = "[address]\nnumber = \"12\"\nform = \"long\"\n";
    check_set(text, "address.number", "12", "-number = \"12\"\n+number = 12");
    check_set("[address]\nnumber = 0x0C\n", "address.number", "12", "");
}
