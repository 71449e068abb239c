//! Each command: what it says, and the exit code it promises.

use crate::program::Folder;

#[test]
fn check_tells_findings_at_their_places_and_ends_accordingly() {
    let folder = Folder::with_demo("check");
    let ran = folder.run(&["check", "orders/V-0035.toml"]).ends_with(1);
    let out = ran.out();
    assert!(
        out.contains("stop[motor-not-isolated]: a motor brush touches the frame: the meter shows 0.8 ohm"),
        "{out}"
    );
    assert!(out.contains("--> orders/V-0035.toml:17:1"), "{out}");
    assert!(out.ends_with("do not power\n"), "{out}");
    folder.run(&["check", "--grave", "orders/V-0037.toml"]).ends_with(0);
    folder.run(&["check", "orders/V-9999.toml"]).ends_with(2);
}

#[test]
fn json_is_for_machines() {
    let folder = Folder::with_demo("json");
    let checked = folder.run(&["check", "--format", "json", "orders/V-0035.toml"]).ends_with(1).json();
    assert_eq!(checked["orders"][0]["may-be-powered"], false);
    let stop = &checked["orders"][0]["findings"][0];
    assert_eq!(stop["severity"], "stop");
    assert!(stop["places"][0]["line"].as_u64().unwrap() > 1);
    let settings = folder.run(&["settings", "--format", "json", "orders/V-0036.toml"]).json();
    assert!(settings["settings"].as_array().unwrap().iter().any(|row| row["page"]["CV31"] == 16));
    let faults = folder.run(&["check", "--format", "json", "parts/round-28.toml"]).ends_with(2).json();
    assert!(!faults["faults"].as_array().unwrap().is_empty());
}

#[test]
fn every_rule_is_explained() {
    let folder = Folder::new("explain");
    let rules = folder.run(&["explain", "--format", "json"]).ends_with(0).json();
    let rules = rules["rules"].as_array().unwrap();
    assert!(rules.len() > 25);
    for rule in rules {
        assert!(!rule["source"].as_str().unwrap().is_empty());
    }
    let name = rules[0]["name"].as_str().unwrap();
    let told = folder.run(&["explain", name]).ends_with(0).out();
    assert!(told.contains("why it matters") && told.contains("source"), "{told}");
    let talk = folder.run(&["explain", "motor-not-isolatd"]).ends_with(2).talk();
    assert!(talk.contains("did you mean `motor-not-isolated`?"), "{talk}");
}

#[test]
fn schemas_and_completions_are_written() {
    let folder = Folder::new("schema");
    for kind in ["order", "train", "decoder", "speaker", "enclosure", "lamp", "keep-alive", "socket"] {
        let schema = folder.run(&["schema", kind]).ends_with(0).json();
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema", "{kind}");
    }
    folder.run(&["schema", "ordr"]).ends_with(2);
    for shell in ["bash", "zsh", "fish"] {
        assert!(folder.run(&["completions", shell]).ends_with(0).out().contains("backshop"));
    }
}

#[test]
fn sound_tells_both_wirings_and_the_way() {
    let folder = Folder::with_demo("sound");
    let out = folder.run(&["sound", "orders/V-0031.toml"]).ends_with(0).out();
    for part in [
        "A fights B, 28 mm apart",
        "5 joints; no way takes fewer",
        "METER CARD",
        "must read 13.8 ohm to 14.9 ohm",
    ] {
        assert!(out.contains(part), "{part} is missing: {out}");
    }
    folder.run(&["choose", "orders/V-0036.toml"]).ends_with(0);
    folder.run(&["listen", "orders/V-0031.toml", "--to", "wav"]).ends_with(0);
    for state in ["found", "planned"] {
        let file = std::fs::read(folder.path(&format!("wav/V-0031-{state}-matched.wav"))).unwrap();
        assert!(file.starts_with(b"RIFF") && file.len() > 100_000);
    }
}

#[test]
fn program_prove_undo_and_the_card() {
    let folder = Folder::with_demo("program");
    folder.run(&["prove", "orders/V-0033.toml"]).ends_with(1);
    let programmed = folder
        .run(&["program", "--format", "json", "orders/V-0033.toml", "--card", "card.html"])
        .ends_with(0)
        .json();
    assert_eq!(programmed["fulfilled"], true);
    assert!(
        programmed["rail-microseconds"].as_u64() < programmed["readings-bit-by-bit-microseconds"].as_u64()
    );
    folder.run(&["prove", "orders/V-0033.toml"]).ends_with(0);
    let card = std::fs::read_to_string(folder.path("card.html")).unwrap();
    assert!(
        card.contains("V-0033") && card.contains("7001") && card.contains("five") | card.contains("5 chimes")
    );
    // A second run has nothing to write.
    let again = folder.run(&["program", "--format", "json", "orders/V-0033.toml"]).ends_with(0).json();
    assert_eq!(again["fulfilled"], true);
    assert!(folder.path("runs/V-0033.run-1.jsonl").exists(), "the first journal is kept");
}

#[test]
fn undo_brings_back_what_was_read() {
    let folder = Folder::with_demo("undo");
    folder.run(&["program", "orders/V-0036.toml"]).ends_with(0);
    let memory = |folder: &Folder| std::fs::read_to_string(folder.path("runs/V-0036.memory")).unwrap();
    let programmed = memory(&folder);
    folder.run(&["undo", "orders/V-0036.toml"]).ends_with(0);
    assert_ne!(memory(&folder), programmed);
    folder.run(&["prove", "orders/V-0036.toml"]).ends_with(1);
}

#[test]
fn a_stop_holds_programming_until_it_is_overridden_with_a_reason() {
    let folder = Folder::with_demo("held");
    let talk = folder.run(&["program", "orders/V-0035.toml"]).ends_with(2).talk();
    assert!(talk.contains("is held") && talk.contains("motor-not-isolated"), "{talk}");
    assert!(!folder.path("runs/V-0035.run.jsonl").exists(), "nothing was begun");
}

#[test]
fn a_decoder_that_does_not_answer_is_no_success() {
    let folder = Folder::with_demo("faults");
    for (fault, words) in
        [("no-motor", "no acknowledgement"), ("dead-short", "switched off"), ("open-pickup", "no current")]
    {
        let truth = format!("bench/faults/{fault}.toml");
        let talk = folder
            .run(&["program", "orders/V-0031.toml", "--bench", &truth, "--runs", fault])
            .ends_with(2)
            .talk();
        assert!(talk.contains(words), "{fault}: {talk}");
    }
}
