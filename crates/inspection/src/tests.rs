//! Each rule against the order seeded with its fault and against that order's sound twin.
//!
//! A case is a folder `cases/RULE/` with `fault.toml` and `sound.toml`, and more pairs `fault-2.toml` …; both are whole
//! orders. The fault's order marks the line that earns the finding with `# finding`, and with `# finding: stop` where the
//! severity is to be checked too. A case with trains has
//! `train.toml` and `unit-1.toml` … beside it, and `train-fault-2.toml` where one of its orders needs another train.
//! Part sheets that the demo's shelf lacks lie in `parts/`.

mod any_order;
mod any_wiring;
mod demo;

use std::fs;
use std::path::{Path as FilePath, PathBuf};

use datasheets::{Shelf, read_sheet};
use documents::Document;
use finding::Finding;
use workorder::{WorkOrder, read_order, read_train};

use crate::{Coverage, Inspection, Job, TrainPlace, coverage, inspect, rules};

fn here(path: &str) -> PathBuf {
    FilePath::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn files(folder: &FilePath) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    files
}

/// The demo's shelf, with the sheets that a case brings along in its folder `parts`.
fn shelf(case: Option<&FilePath>) -> Shelf {
    let mut shelf = Shelf::standard();
    let own = case.map(|case| case.join("parts")).filter(|folder| folder.is_dir());
    for file in
        files(&here("../../demo/parts")).into_iter().chain(own.iter().flat_map(|folder| files(folder)))
    {
        let text = fs::read_to_string(&file).unwrap();
        shelf.add(
            read_sheet(&file.display().to_string(), &text).unwrap_or_else(|faults| panic!("{faults}")).value,
        );
    }
    shelf
}

fn order(file: &FilePath, shelf: &Shelf) -> Document<WorkOrder> {
    let text = fs::read_to_string(file).unwrap();
    read_order(&file.display().to_string(), &text, shelf).unwrap_or_else(|faults| panic!("{faults}"))
}

/// Inspects an order with the train beside it, if there is one.
fn inspected(file: &FilePath, shelf: &Shelf) -> (Document<WorkOrder>, Inspection) {
    let document = order(file, shelf);
    let folder = file.parent().unwrap();
    let own_train = folder.join(format!("train-{}", file.file_name().unwrap().to_string_lossy()));
    let train_file = if own_train.exists() { own_train } else { folder.join("train.toml") };
    if !train_file.exists() {
        let inspection = inspect(&Job { order: &document.value, shelf, train: None });
        return (document, inspection);
    }
    let units = files(folder)
        .into_iter()
        .filter(|other| other.file_name().unwrap().to_string_lossy().starts_with("unit-"))
        .map(|other| order(&other, shelf).value);
    let at_hand: Vec<WorkOrder> = units.chain([document.value.clone()]).collect();
    let inspection = inspected_in(&document.value, &at_hand, &train_file, shelf);
    (document, inspection.unwrap_or_else(|| panic!("{} is not in its train", file.display())))
}

/// Inspects an order as a unit of a train; none where it is not in it.
fn inspected_in(
    order: &WorkOrder,
    at_hand: &[WorkOrder],
    train_file: &FilePath,
    shelf: &Shelf,
) -> Option<Inspection> {
    let numbers: Vec<_> = at_hand.iter().map(|order| order.order.number.clone()).collect();
    let text = fs::read_to_string(train_file).unwrap();
    let train = read_train(&train_file.display().to_string(), &text, &numbers)
        .unwrap_or_else(|faults| panic!("{faults}"))
        .value;
    let orders: Vec<Option<&WorkOrder>> =
        train.unit.iter().map(|unit| at_hand.iter().find(|order| order.order.number == unit.order)).collect();
    let index = train.unit.iter().position(|unit| unit.order == order.order.number)?;
    let place = TrainPlace { train: &train, index, orders: &orders };
    Some(inspect(&Job { order, shelf, train: Some(place) }))
}

/// All failures at once, each with its file.
#[test]
fn every_rule_catches_its_fault_and_is_silent_on_the_sound_twin() {
    let mut n_pairs = 0;
    let mut failures = Vec::new();
    for rule in rules() {
        let folder = here("cases").join(rule.name);
        if !folder.is_dir() {
            failures.push(format!("{} has no cases", rule.name));
            continue;
        }
        let shelf = shelf(Some(&folder));
        for file in files(&folder) {
            let name = file.file_name().unwrap().to_string_lossy().into_owned();
            if name.starts_with("fault") {
                n_pairs += 1;
                failures.extend(check_fault(rule.name, &file, &shelf).err());
                let twin = folder.join(name.replace("fault", "sound"));
                if twin.exists() {
                    failures.extend(check_sound(rule.name, &twin, &shelf).err());
                } else {
                    failures.push(format!("{} has no sound twin", file.display()));
                }
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
    assert!(n_pairs >= rules().count());
}

fn told(findings: &[&Finding]) -> String {
    findings.iter().map(|finding| format!("\n  {finding}")).collect()
}

fn check_fault(rule: &str, file: &FilePath, shelf: &Shelf) -> Result<(), String> {
    let (document, inspection) = inspected(file, shelf);
    let findings: Vec<_> = inspection.findings.iter().filter(|finding| finding.rule == rule).collect();
    let shown = file.display();
    let lines: Vec<usize> = document
        .source
        .text
        .lines()
        .enumerate()
        .filter(|(_, line)| line.contains("# finding"))
        .map(|(index, _)| index + 1)
        .collect();
    if lines.is_empty() {
        return Err(format!("{shown} marks no line with `# finding`"));
    }
    let mut found: Vec<usize> =
        findings.iter().map(|finding| document.position(&finding.places[0]).line).collect();
    found.sort_unstable();
    found.dedup();
    if found != lines {
        return Err(format!(
            "{shown} marks lines {lines:?}, but {rule} speaks on {found:?}{}",
            told(&findings)
        ));
    }
    for line in &lines {
        let text = document.source.text.lines().nth(line - 1).unwrap_or_default();
        let Some((_, word)) = text.split_once("# finding: ") else { continue };
        let severities: Vec<&str> = findings
            .iter()
            .filter(|finding| document.position(&finding.places[0]).line == *line)
            .map(|finding| finding.severity.word())
            .collect();
        if !severities.contains(&word.trim()) {
            return Err(format!("{shown} marks line {line} as {word}, but {rule} tells {severities:?}"));
        }
    }
    let thin = findings
        .iter()
        .find(|finding| finding.remedy.is_empty() || finding.reasons.is_empty() || finding.source.is_empty());
    thin.map_or(Ok(()), |thin| Err(format!("{shown}: a finding without reason, remedy or source: {thin}")))
}

fn check_sound(rule: &str, file: &FilePath, shelf: &Shelf) -> Result<(), String> {
    let (_, inspection) = inspected(file, shelf);
    let findings: Vec<_> = inspection.findings.iter().filter(|finding| finding.rule == rule).collect();
    if findings.is_empty() {
        return Ok(());
    }
    Err(format!("{rule} speaks on {}{}", file.display(), told(&findings)))
}

#[test]
fn rules_have_names_of_their_own_and_whole_texts() {
    for (index, rule) in rules().enumerate() {
        assert!(rules().take(index).all(|other| other.name != rule.name), "{} is there twice", rule.name);
        for text in [rule.checks, rule.matters, rule.example, rule.cure, rule.source] {
            assert!(text.len() > 15, "{} has a thin text: {text}", rule.name);
        }
        assert!(rule.rows.iter().all(|row| (1..=60).contains(row)));
    }
}

#[test]
fn every_one_of_the_sixty_failures_is_accounted_for_once() {
    for row in 1..=60 {
        let told = coverage(row);
        assert!(told.is_some(), "row {row} is not accounted for");
        let is_listed_as_not_caught = crate::catalogue::NOT_CAUGHT.iter().any(|(number, _)| *number == row);
        assert!(
            !(is_listed_as_not_caught && matches!(told, Some(Coverage::Caught(_)))),
            "row {row} is caught and listed as not caught"
        );
    }
}

#[test]
fn the_pages_in_the_docs_are_made_from_the_rules() {
    for (file, page) in
        [("../../docs/rules.md", crate::rules_page()), ("../../docs/coverage.md", crate::coverage_page())]
    {
        let file = here(file);
        if std::env::var_os("BACKSHOP_WRITE_DOCS").is_some() {
            fs::write(&file, &page).unwrap();
        }
        assert!(
            fs::read_to_string(&file).unwrap_or_default() == page,
            "{} is stale: run the tests with BACKSHOP_WRITE_DOCS=1",
            file.display()
        );
    }
}
