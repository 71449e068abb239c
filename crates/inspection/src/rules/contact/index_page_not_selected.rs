//! Readings of CV257 to CV512 of which nobody knows the page.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "index-page-not-selected",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[47],
    checks: "Readings of CV257 to CV512 must stand beside the page in CV31 and CV32 that they were read through, and that must be a page on which the decoder has settings.",
    matters: "Each of these CVs exists once a page: read or written through the wrong one, a value has no effect or spoils another.",
    example: "CV257 = 100 means master level on page 16/2 and engine recording on page 16/1; without CV31 and CV32 it means nothing.",
    cure: "Write CV31 and CV32, read both back, then read the block.",
    source: "S-9.2.2 CV31, CV32; RCN-225 CV31/32; practice row 47",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(contact) = &job.order.contact else { return };
    let Some(first) = contact.cv.0.iter().map(|(key, _)| key.number()).find(|cv| (257..=512).contains(cv))
    else {
        return;
    };
    if reading(job, first).is_none() {
        return;
    }
    let (Some(high), Some(low)) = (reading(job, 31), reading(job, 32)) else {
        found.add_as(Severity::Open, format!("CV{first} was read, but nobody knows through which page"), |finding| {
            finding
                .at(path(first))
                .because("CV257 to CV512 exist once for each page that CV31 and CV32 select")
                .remedy("read CV31 and CV32 and note them; if they are not as wanted, write both, read them back and read the block again")
        });
        return;
    };
    let Some(sheet) = job.decoder() else { return };
    let mut pages: Vec<(u8, u8)> =
        sheet.content_on_delivery().keys().filter_map(|place| place.page).collect();
    pages.dedup();
    if !pages.is_empty() && !pages.contains(&(high, low)) {
        let told: Vec<String> = pages.iter().map(|(high, low)| format!("{high}/{low}")).collect();
        found.add(
            format!("CV{first} was read through page {high}/{low}, where this decoder has no settings"),
            |finding| {
                finding
                    .at(path(31))
                    .at(path(32))
                    .at(path(first))
                    .because(format!("`{}` has its settings on pages {}", sheet.part.name, told.join(", ")))
                    .remedy(
                        "write CV31 and CV32 of the wanted page, read both back, then read the block again",
                    )
            },
        );
    }
}
