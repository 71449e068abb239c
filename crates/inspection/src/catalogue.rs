//! The catalogue: the rules' own texts as pages, and which of the sixty usual failures they cover.

use crate::rule::{Rule, Stage};
use crate::rules::rules;

/// What becomes of a row of the sixty usual failures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Coverage {
    /// These rules catch it.
    Caught(Vec<&'static str>),
    /// A later issue brings what is needed.
    Waits(&'static str),
    /// No program can see it from what is written down.
    Unseen(&'static str),
}

/// Rows that no rule catches yet, and rows that none can.
pub(crate) const NOT_CAUGHT: &[(u8, Coverage)] = &[];

/// What becomes of a row, 1 to 60; none for other numbers.
#[must_use]
pub fn coverage(row: u8) -> Option<Coverage> {
    let caught: Vec<&'static str> =
        rules().filter(|rule| rule.rows.contains(&row)).map(|rule| rule.name).collect();
    if !caught.is_empty() {
        return Some(Coverage::Caught(caught));
    }
    NOT_CAUGHT.iter().find(|(number, _)| *number == row).map(|(_, coverage)| coverage.clone())
}

/// A rule by its name.
#[must_use]
pub fn explain(name: &str) -> Option<&'static Rule> {
    rules().find(|rule| rule.name == name)
}

/// One rule as a piece of the catalogue page.
#[must_use]
pub fn rule_text(rule: &Rule) -> String {
    let rows: Vec<String> = rule.rows.iter().map(u8::to_string).collect();
    let caught = if rows.is_empty() {
        String::new()
    } else {
        format!("\n*Would have caught:* row {}\n", rows.join(", "))
    };
    format!(
        "### {}\n\n*{}, at the {}*\n\n**What it checks.** {}\n\n**Why it matters.** {}\n\n**Example.** {}\n\n**Cure.** {}\n\n\
         **Source.** {}\n{caught}",
        rule.name,
        rule.severity,
        rule.stage.words(),
        rule.checks,
        rule.matters,
        rule.example,
        rule.cure,
        rule.source
    )
}

/// The catalogue page in Markdown.
#[must_use]
pub fn rules_page() -> String {
    let mut page = String::from(
        "# The rules\n\nMade from the rules' own texts (`backshop explain NAME` prints the same); do not edit by hand.\n",
    );
    for stage in Stage::ALL {
        let of_stage: Vec<&Rule> = rules().filter(|rule| rule.stage == stage).collect();
        if of_stage.is_empty() {
            continue;
        }
        page += &format!("\n## {}\n", stage.words());
        for rule in of_stage {
            page += &format!("\n{}", rule_text(rule));
        }
    }
    page
}

/// The table of the sixty usual failures in Markdown: which rule catches each, which waits, which no program can see.
#[must_use]
pub fn coverage_page() -> String {
    let mut page =
        String::from("# The sixty usual failures\n\n| row | what becomes of it |\n| --- | --- |\n");
    for row in 1..=60 {
        let told = match coverage(row) {
            Some(Coverage::Caught(rules)) => format!("caught by {}", rules.join(", ")),
            Some(Coverage::Waits(what)) => format!("waits: {what}"),
            Some(Coverage::Unseen(why)) => format!("no program can see it: {why}"),
            None => "not told".to_owned(),
        };
        page += &format!("| {row} | {told} |\n");
    }
    page
}
