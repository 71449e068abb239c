//! Bad input: a clear error, no panic, no hang, nothing overwritten.

use crate::program::Folder;

#[track_caller]
fn refused(content: &[u8], words: &str) {
    let folder = Folder::new("bad");
    let file = folder.write("order.toml", content);
    let ran = folder.run(&["check", "order.toml"]).ends_with(2);
    assert!(ran.talk().contains(words), "{}", ran.talk());
    assert!(!ran.talk().contains("panicked"));
    assert_eq!(std::fs::read(file).unwrap(), content, "the file is as it was");
}

const HEAD: &str = "[order]\nnumber = \"X\"\nmodel = \"x\"\nscale = \"HO\"\n";

#[test]
fn files_that_are_no_documents() {
    refused(b"", "the document is empty");
    refused(&[0x50, 0x4B, 3, 4, 0, 0], "not text: byte 4 is zero");
    refused(b"[order]\nmodel = \"caf\xE9\"", "not in UTF-8: byte 0xE9 in line 2");
    refused(&[0xFF, 0xFE, b'[', 0], "UTF-16");
    refused(b"[order", "order.toml:1");
    refused("[".repeat(5000).as_bytes(), "order.toml:1");
}

#[test]
fn fifty_megabytes_are_refused_at_once() {
    let folder = Folder::new("large");
    folder.write("order.toml", vec![b' '; 50 << 20]);
    let talk = folder.run(&["check", "order.toml"]).ends_with(2).talk();
    assert!(talk.contains("52428800 bytes"), "{talk}");
}

#[test]
fn numbers_that_no_bench_has_seen() {
    for (value, words) in [
        ("\"NaN A\"", "not an electrical current"),
        ("\"1e300 A\"", "out of range"),
        ("\"inf A\"", "not an electrical current"),
        ("nan", "electrical current"),
        ("0.62", "has no unit"),
        ("\"0.62 V\"", "not a unit of electrical current"),
    ] {
        refused(format!("{HEAD}[survey]\nstall-current = {value}\n").as_bytes(), words);
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let folder = Folder::new("all");
    folder.write(
        "order.toml",
        format!("{HEAD}[survey]\nstall-curent = \"1 A\"\nmotor-to-frame = \"4\"\n[keys]\nF99 = \"horn\"\n"),
    );
    let talk = folder.run(&["check", "order.toml"]).ends_with(2).talk();
    for words in ["did you mean `stall-current`?", "has no unit", "`F99` is not a key", "3 faults"] {
        assert!(talk.contains(words), "{words} is missing: {talk}");
    }
}

#[test]
fn wires_in_rings_and_ten_thousand_of_them() {
    let folder = Folder::new("wires");
    let mut text = format!("{HEAD}[survey]\n");
    for name in ["A", "B"] {
        text += &format!("[[survey.speaker]]\nname = \"{name}\"\nimpedance = \"8 ohm\"\nrating = \"1 W\"\n");
    }
    for pad in 0..50 {
        text += &format!("[[survey.pad]]\nname = \"P{pad}\"\nsignal = \"free\"\n");
    }
    for wire in 0..10_000 {
        text += &format!(
            "[[survey.wire]]\nfrom = \"board.P{}\"\nto = \"board.P{}\"\n",
            wire % 50,
            (wire + 1) % 50
        );
    }
    folder.write("order.toml", text);
    let ran = folder.run(&["check", "order.toml"]);
    assert!(matches!(ran.code(), 0 | 1), "{}", ran.talk());
}

#[test]
fn sheets_that_contradict_themselves() {
    let folder = Folder::with_demo("sheets");
    let sheet = std::fs::read_to_string(folder.path("parts/demo-21-sound.toml")).unwrap();
    let overlapping = sheet.replace("bits = \"4-6\"", "bits = \"3-6\"");
    assert_ne!(sheet, overlapping);
    folder.write("parts/demo-21-sound.toml", overlapping);
    let talk = folder.run(&["check", "orders/V-0031.toml"]).ends_with(2).talk();
    assert!(talk.contains("roles `voice.engine` and `voice.horn` overlap in CV123"), "{talk}");
    folder.write("parts/demo-21-sound.toml", sheet.replace("bits = \"4-6\"", "bits = \"4-9\""));
    let talk = folder.run(&["sheets", "parts/demo-21-sound.toml"]).ends_with(2).talk();
    assert!(talk.contains("`4-9` are not bits of a CV"), "{talk}");
}

#[test]
fn a_card_is_never_half_written() {
    let folder = Folder::with_demo("card");
    let kept = folder.write("cards/there/V-0031.html", "somebody's own");
    // The name of a file cannot be made a folder.
    folder.run(&["card", "orders/V-0031.toml", "--to", "cards/there/V-0031.html/x.html"]).ends_with(2);
    assert_eq!(std::fs::read_to_string(kept).unwrap(), "somebody's own");
}
