//! What a card holds, and in which order.

use finding::{Finding, Severity};
use paper::{Card, CardFinding, Head, Key, KeyDeed, PaperSize, card};

use crate::{html, vesper_lake};

fn sections(page: &str) -> Vec<String> {
    let tags = html::check(page).expect("the page is well-formed");
    let sections = tags.iter().filter(|tag| tag.name == "section");
    sections.filter_map(|tag| tag.attribute("id")).map(str::to_owned).collect()
}

#[test]
fn a_full_card_is_well_formed_and_in_the_order_of_use() {
    let full = vesper_lake::sample(&str::to_owned);
    for size in [PaperSize::AsPrinter, PaperSize::A4, PaperSize::Letter] {
        let expected =
            ["findings", "cold-checks", "settings", "cv-list", "keys", "train", "proof", "care", "sources"];
        assert_eq!(sections(&card(&full, size)), expected);
    }
}

#[test]
fn empty_sections_are_left_out_but_for_the_findings() {
    let head = Head { order: "V-1".into(), ..Head::default() };
    let page = card(&Card { head, ..Card::default() }, PaperSize::AsPrinter);
    assert_eq!(sections(&page), ["findings"]);
    assert!(page.contains("None. No rule found anything"));
}

#[test]
fn settings_without_proof_say_that_they_are_not_proven() {
    let full = vesper_lake::sample(&str::to_owned);
    let page = card(&Card { proof: None, ..full }, PaperSize::AsPrinter);
    assert!(page.contains("planned, not proven"));
    assert!(!page.contains("were read back and hold"));
}

#[test]
fn the_proof_counts_and_names_what_the_list_says() {
    let page = card(&vesper_lake::sample(&str::to_owned), PaperSize::AsPrinter);
    let n_rows = vesper_lake::sample(&str::to_owned).settings.list.len();
    // Three CVs of the sample are not proven: one differs, two were not read.
    assert!(page.contains(&format!("<b>{} of {n_rows} CVs</b>", n_rows - 3)));
    assert!(page.contains("CV\u{a0}22 reads\u{a0}0 instead of\u{a0}1"));
    assert!(page.contains("CV\u{a0}105, CV\u{a0}106"));
}

#[test]
fn only_an_open_stop_holds_the_model() {
    let hold = "Do not put power on this model";
    let with = |severity, overridden: Option<&str>| {
        let finding = Finding::new("some-rule", severity, "headline");
        let findings = vec![CardFinding { finding, overridden: overridden.map(str::to_owned) }];
        card(&Card { findings, ..Card::default() }, PaperSize::AsPrinter)
    };
    assert!(with(Severity::Stop, None).contains(hold));
    assert!(!with(Severity::Stop, Some("read again")).contains(hold));
    assert!(!with(Severity::Rework, None).contains(hold));
}

#[test]
fn eight_keys_fill_a_panel_and_the_box_gets_its_label() {
    let panels = |n_keys: u8| {
        let key = |number| Key { number, deeds: vec![KeyDeed::new("horn")], note: None };
        let page =
            card(&Card { keys: (0..n_keys).map(key).collect(), ..Card::default() }, PaperSize::AsPrinter);
        let tags = html::check(&page).unwrap();
        tags.iter().filter(|tag| matches!(tag.attribute("class"), Some("panel" | "panel label"))).count()
    };
    // One panel more is the label for the box.
    assert_eq!([panels(8), panels(9), panels(29)], [2, 3, 5]);
}

#[test]
fn wide_tables_name_their_cells_for_narrow_screens() {
    let tags = html::check(&card(&vesper_lake::sample(&str::to_owned), PaperSize::AsPrinter)).unwrap();
    let mut is_stacking = false;
    let mut n_cells = 0;
    for tag in &tags {
        if tag.name == "table" {
            is_stacking = tag.attribute("class").is_some_and(|class| class.contains("stacks"));
        }
        if tag.name == "td" && is_stacking {
            assert!(tag.attribute("data-label").is_some(), "a cell has no label");
            n_cells += 1;
        }
    }
    assert!(n_cells > 0, "no table stacks");
}
