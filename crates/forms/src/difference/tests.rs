//! Changes in words.

use super::changes;

#[track_caller]
fn check(old: &str, new: &str, expected: &[&str]) {
    let told: Vec<String> = changes(old, new).unwrap().iter().map(ToString::to_string).collect();
    assert_eq!(told, expected);
}

#[test]
fn fields() {
    check("a = 1", "a = 0x1 # same", &[]);
    check(
        "[survey]\nstall-current = \"1 A\"",
        "survey = { stall-current = \"2 A\" }",
        &["Survey: stall current: from 1 A to 2 A"],
    );
    check("", "[keys]\nF0 = [\"horn\", \"bell\"]\n", &["Keys: F0: now horn, bell"]);
    check("[voice]\nhorn = { chimes = 5 }", "", &["Voice: horn: chimes: no longer 5"]);
    check("analog = true", "analog = false", &["Analog: from yes to no"]);
    check("n = 4", "n = \"4\"", &["N: from 4 to \"4\""]);
    check("[plan]", "", &["Plan: no longer {}"]);
    check("plan = 3", "[plan]\ndecoder = \"x\"", &["Plan: from 3 to { decoder = \"x\" }"]);
}

#[test]
fn entries() {
    let a = "[[survey.speaker]]\nname = \"A\"\npart = \"x\"\n";
    let b = "[[survey.speaker]]\nname = \"B\"\n";
    check(&format!("{a}{b}"), &format!("{b}{a}"), &["Survey: speaker, order: from A, B to B, A"]);
    check(a, &format!("{b}{a}"), &["Survey: speaker B: now name B"]);
    check(a, b, &["Survey: speaker A: no longer name A, part x", "Survey: speaker B: now name B"]);
    check(a, &a.replace('x', "y"), &["Survey: speaker A: part: from x to y"]);
    let wire = |from: &str, to: &str| format!("[[plan.wire]]\nfrom = \"{from}\"\nto = \"{to}\"\n");
    let [one, two, three] = [wire("A.1", "board.S1"), wire("A.2", "B.1"), wire("B.2", "board.S2")];
    check(
        &format!("{one}{two}{three}"),
        &format!("{one}{three}"),
        &["Plan: wire 2: no longer from A.2, to B.1"],
    );
    check(
        &format!("{one}{three}"),
        &format!("{}{two}{three}", wire("A.1", "frame")),
        &["Plan: wire 1: to: from board.S1 to frame", "Plan: wire 2: now from A.2, to B.1"],
    );
}

#[test]
fn texts_that_are_not_toml_are_refused() {
    assert!(changes("", "[a").is_err());
    assert!(changes("[a", "").is_err());
}
