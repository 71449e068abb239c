//! A decoder whose lock is closed.

use finding::{Path, Severity};

use datasheets::StandardReading;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "decoder-locked",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[39],
    checks: "The lock is open when the key CV15 equals the decoder's own lock number CV16.",
    matters: "A locked decoder refuses every write, and by RCN-225 every reading too; people tear it out as dead. A lock also hints at a second decoder in the model.",
    example: "CV15 = 1, CV16 = 2: this decoder is locked, and the one with lock number 1 listens.",
    cure: "Write CV15 = CV16, do the work, write the old key back.",
    source: "S-9.2.2 CV15, CV16; RCN-225 CV15/16; practice row 39",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let sheet = job.decoder();
    // Where a decoder has no lock, the two CVs mean nothing.
    if sheet.is_some_and(|sheet| !sheet.decoder.lock) {
        return;
    }
    let (Some(key), Some(own)) = (reading(job, 15), reading(job, 16)) else { return };
    if key == own {
        return;
    }
    let is_reading_blocked = sheet.is_some_and(|sheet| sheet.decoder.reading == StandardReading::Rcn);
    found.add(format!("the decoder is locked: CV15 is {key}, its own number CV16 is {own}"), |finding| {
        let finding = finding.at(path(15)).at(path(16)).because(if is_reading_blocked {
            "by RCN-225 both writing and reading are refused while the two differ"
        } else {
            "writes are refused while the two differ (some decoders refuse reading too)"
        });
        let finding = if key == 0 {
            finding.because("CV15 = 0 locks every decoder of the model")
        } else {
            finding.because(format!("the key {key} fits another decoder; 1 is advised for the motor decoder and 2 for a sound decoder"))
        };
        let finding = match sheet {
            Some(_) => finding.at(Path::new("plan.decoder")).because("the programming list opens this lock first and puts the key back at the end"),
            None => finding,
        };
        finding.remedy(format!("write CV15 = {own} before anything else, and note how many decoders are in the model"))
    });
}
