//! The catalogue: the rules' own texts as pages, and which of the sixty usual failures they cover.

use crate::failures::SYMPTOMS;
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
pub(crate) const NOT_CAUGHT: &[(u8, Coverage)] = &[
    (2, Coverage::Waits("noting the cold checks a second time, with the shell on and pressed")),
    (11, Coverage::Unseen("the leak is in the soldering iron; only a meter at its hot tip shows it")),
    (
        12,
        Coverage::Waits(
            "noting the resistance from each wheel to the decoder, and a creep over a dead rail against the stopwatch",
        ),
    ),
    (
        15,
        Coverage::Waits(
            "the proof after closing: a quarter of an hour under load, shell on, and how warm it got",
        ),
    ),
    (
        17,
        Coverage::Waits(
            "the proof after closing: the running current again, within 10 % of the one before fitting",
        ),
    ),
    (
        26,
        Coverage::Unseen(
            "cement on a cone is seen by eye or heard; nothing that is written down beforehand tells it",
        ),
    ),
    (27, Coverage::Waits("measuring with the microphone: a slow sweep before closing")),
    (28, Coverage::Waits("measuring with the microphone: the sweep of today against the stored one")),
    (32, Coverage::Waits("fit under the shell: the weight that is taken out and the pull that is left")),
    (33, Coverage::Unseen("how stiff wires are in a curve is felt by hand")),
    (34, Coverage::Waits("the dossier: how the shell of this type comes off")),
    (35, Coverage::Unseen("whether parts can be taken out again is in the fitter's hand")),
    (
        42,
        Coverage::Waits(
            "the link to the track: an isolated track with one vehicle, stated before anything is written",
        ),
    ),
    (49, Coverage::Waits("the store: what a decoder holds after a derailment against the stored copy")),
    (
        50,
        Coverage::Waits(
            "the store: CV3 and CV4 of today against the stored copy; and a caution on the handover sheet",
        ),
    ),
    (
        53,
        Coverage::Waits(
            "measuring with the stopwatch: each unit's seconds alone, and again with CV19 written",
        ),
    ),
    (
        60,
        Coverage::Waits(
            "measuring with stopwatch and microphone: the load calibration, run light on level track in both directions",
        ),
    ),
];

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
    let mut page = String::from(
        "# The sixty usual failures\n\nWhat goes wrong most often when sound is fitted, gathered from the trade (the \"practice rows\" that rules \
         name), and what becomes of each here. Made from the rules; do not edit by hand.\n\n| row | what is seen | what becomes of it |\n\
         | --- | --- | --- |\n",
    );
    for (row, symptom) in (1..=60).zip(SYMPTOMS) {
        let told = match coverage(row) {
            Some(Coverage::Caught(rules)) => format!("caught by {}", rules.join(", ")),
            Some(Coverage::Waits(what)) => format!("waits: {what}"),
            Some(Coverage::Unseen(why)) => format!("no program can see it: {why}"),
            None => "not told".to_owned(),
        };
        page += &format!("| {row} | {symptom} | {told} |\n");
    }
    page
}
