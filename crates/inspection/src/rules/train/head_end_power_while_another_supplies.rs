//! A unit with head-end power in a train that another one powers.

use datasheets::{Deed, StandardReading};
use finding::{Path, Severity};

use crate::answers::{Answers, consist_bits};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::reading;
use crate::rules::train::{others, own};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "head-end-power-while-another-supplies",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[55],
    checks: "A unit whose order has head-end power must not answer the head-end key of a train that another unit powers.",
    matters: "All of them would roar for the train at the press of one key.",
    example: "F9 is head-end power in both diesels; the second powers the train, so the first needs bit 2 of CV22 at 0.",
    cure: "Clear the key's bit in CV21 or CV22 of every unit but the supplying one.",
    source: "practice row 55: one unit answers the head-end key; S-9.2.2 CV21, CV22",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(own) = own(job, answers).filter(|own| own.can_supply && !own.supplies) else { return };
    let Some(supplier) = others(job, answers).find(|other| other.supplies) else { return };
    let is_rcn = job.decoder().is_some_and(|sheet| sheet.decoder.reading == StandardReading::Rcn);
    let key =
        job.order.keys.0.iter().find(|(_, deeds)| deeds.0.contains(&Deed::HeadEndPower)).map(|(key, _)| *key);
    let bits = key.and_then(|key| consist_bits(key, is_rcn));
    let at = Path::new("voice.head-end-power");
    let Some((key, (cv21, cv22))) = key.zip(bits) else {
        found.add_as(
            Severity::Note,
            format!("{} powers the train, though {} could too", supplier.number, own.number),
            |finding| {
                finding
                    .at(at)
                    .because("no key of this unit that the consist address carries starts its head-end power")
                    .remedy("nothing to do as long as it stays so; on its own address it still answers")
            },
        );
        return;
    };
    let (cv, bit) = if cv21 != 0 { (21, cv21) } else { (22, cv22) };
    let read = reading(job, cv);
    let remedy = format!(
        "clear bit {} (weight {bit}) of CV{cv} in this unit; on its own address it still answers {key}",
        bit.trailing_zeros()
    );
    match read {
        Some(content) if content & bit != 0 => {
            found.add(
                format!(
                    "{key} starts head-end power in {} too, while {} powers the train",
                    own.number, supplier.number
                ),
                |finding| {
                    finding
                        .at(Path::new(format!("contact.cv.CV{cv}")))
                        .at(at)
                        .because(format!("CV{cv} reads {content}: {key} is answered at the consist address"))
                        .remedy(remedy)
                },
            );
        }
        Some(_) => {}
        None => {
            found.add_as(Severity::Note, format!("{} powers the train: {} must not answer {key} there", supplier.number, own.number), |finding| {
                finding
                    .at(at)
                    .at(Path::new(format!("keys.{key}")))
                    .because(format!("{key} is head-end power in this unit, and nobody has read whether CV{cv} carries it"))
                    .remedy(remedy)
            });
        }
    }
}
