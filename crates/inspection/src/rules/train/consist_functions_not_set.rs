//! Keys that are dead at the consist address.

use datasheets::{CvPlace, StandardReading};
use finding::{Path, Severity};

use crate::answers::{Answers, consist_bits};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::reading;
use crate::rules::listed;
use crate::rules::train::own;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "consist-functions-not-set",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[52],
    checks: "CV21 and CV22 must have the bits of the keys that the unit shall answer to at the consist address: the lead unit blows, rings and shows the headlight, the last one the rear, one supplies the train, all follow engine and mute.",
    matters: "Horn and bell are dead while the train is driven; called by its own address the unit answers, which hides the cause.",
    example: "F1 bell and F2 horn on the lead unit: CV21 = 1 + 2 = 3. F0 and F9: CV22 = 3 + 4 = 7.",
    cure: "Write both per unit, and test at the consist address and at the own address.",
    source: "S-9.2.2 CV21, CV22; RCN-225 CV21, CV22; who does what: practice stage 19; practice row 52",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(own), Some(sheet)) = (own(job, answers), job.decoder()) else { return };
    let keys = &own.keys;
    if keys.cv21 == 0 && keys.cv22 == 0 {
        return;
    }
    let is_rcn = sheet.decoder.reading == StandardReading::Rcn;
    let standard = if is_rcn {
        "this decoder follows RCN-225: a key whose bit is set answers at the consist address only; other decoders answer at both"
    } else {
        "this decoder follows S-9.2.2: a key whose bit is set answers at the consist address as well; by RCN-225 it would answer there only"
    };
    let has = |cv| sheet.has(CvPlace { page: None, cv });
    if (keys.cv21 != 0 && !has(21)) || (keys.cv22 != 0 && !has(22)) {
        found.add(format!("`{}` cannot carry keys at the consist address: its sheet has no CV21 and CV22", sheet.part.name), |finding| {
            finding
                .at(Path::new("plan.decoder"))
                .because(format!("{} should answer there", listed(&keys.wanted)))
                .remedy("look into the decoder's manual how it ties keys to the consist address, or choose another decoder")
        });
        return;
    }
    let read = reading(job, 21).zip(reading(job, 22));
    let remedy = format!(
        "write CV21 = {} and CV22 = {} into this unit, then try each key at the consist address and at its own",
        keys.cv21, keys.cv22
    );
    let Some((cv21, cv22)) = read else {
        found.add_as(
            Severity::Note,
            format!(
                "{} should answer at the consist address, which the programming list does not set",
                listed(&keys.wanted)
            ),
            |finding| finding.at(Path::new("keys")).because(standard).remedy(remedy),
        );
        return;
    };
    let dead: Vec<_> = keys
        .wanted
        .iter()
        .filter(|key| {
            consist_bits(**key, is_rcn)
                .is_some_and(|(first, second)| first & !cv21 != 0 || second & !cv22 != 0)
        })
        .collect();
    if dead.is_empty() {
        return;
    }
    let mended = if keys.cv21 & !cv21 == 0 { 22 } else { 21 };
    found.add(format!("dead at the consist address: {}", listed(&dead)), |finding| {
        finding
            .at(Path::new(format!("contact.cv.CV{mended}")))
            .at(Path::new("keys"))
            .because(format!(
                "CV21 reads {cv21} and CV22 reads {cv22}; wanted are the bits {} and {}",
                keys.cv21, keys.cv22
            ))
            .because(standard)
            .remedy(remedy)
    });
}
