//! A decoder that is not the planned one.

use datasheets::DecoderSheet;
use finding::{Path, Severity};
use workorder::Contact;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{ERROR_AS_VALUE, is_255_everywhere, path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "decoder-is-another",
    stage: Stage::FirstContact,
    severity: Severity::Stop,
    rows: &[41],
    checks: "Maker's number (CV8) and version (CV7) as read must be those of the planned decoder's sheet.",
    matters: "The programming list is made from the sheet. In another decoder every number of it means something else, and a second decoder in the same model may be the one that is overwritten or reset.",
    example: "The sheet says maker 13, version 41; CV8 reads 13 and CV7 reads 87, which is what another sheet on the shelf says: hold.",
    cure: "Name the decoder that really is in the model, or put in the planned one; look for a second decoder.",
    source: "S-9.2.2 CV7, CV8; practice row 41",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(sheet) = job.decoder() else { return };
    let (maker, version) = (reading(job, 8), reading(job, 7));
    let Some(maker) = maker else {
        let is_believable = |contact: &&Contact| {
            contact.acknowledged != Some(false) && contact.cv.0.len() > 1 && !is_255_everywhere(contact)
        };
        if job.order.contact.as_ref().filter(is_believable).is_some() {
            found.add_as(Severity::Open, "nobody has read who the decoder is", |finding| {
                finding
                    .at(path(8))
                    .because(format!("the programming list is made for `{}`", sheet.part.name))
                    .remedy("read CV8 and CV7 twice each and note them; both must repeat")
            });
        }
        return;
    };
    if maker == ERROR_AS_VALUE {
        return;
    }
    let (sheet_maker, sheet_version) = numbers(sheet);
    let other = version.and_then(|version| {
        job.shelf.decoders.values().find(|other| numbers(other) == (u16::from(maker), u16::from(version)))
    });
    let is_other_maker = u16::from(maker) != sheet_maker;
    let is_other_version = version.is_some_and(|version| u16::from(version) != sheet_version);
    if !is_other_maker && !is_other_version {
        return;
    }
    let told = version.map_or_else(String::new, |version| format!(", version {version}"));
    let severity = if is_other_maker || other.is_some() { Severity::Stop } else { Severity::Rework };
    found.add_as(severity, format!("the decoder is not `{}`: it says maker {maker}{told}", sheet.part.name), |finding| {
        let finding = finding
            .at(path(if is_other_maker { 8 } else { 7 }))
            .at(Path::new("plan.decoder"))
            .because(format!("the sheet says maker {sheet_maker}, version {sheet_version}"));
        match other {
            Some(other) => finding
                .because(format!("maker {maker}{told} is what the sheet `{}` says", other.part.name))
                .remedy(format!("write `decoder = \"{}\"` if that one is in the model, else look for a second decoder", other.part.name)),
            None if is_other_maker => finding.remedy("look which decoder is in the model and whether there are two; name its sheet before anything is written or reset"),
            None => finding.remedy("compare the sheet with the manual of this version: CVs move between versions; then note the version in a sheet of its own"),
        }
    });
}

fn numbers(sheet: &DecoderSheet) -> (u16, u16) {
    (sheet.decoder.manufacturer.get(), sheet.decoder.version.get())
}
