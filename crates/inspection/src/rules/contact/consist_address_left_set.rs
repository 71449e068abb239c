//! A consist address that somebody left behind.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "consist-address-left-set",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[51],
    checks: "CV19 as read must hold no consist address where the order wishes none.",
    matters: "Lamps and sound obey the model's own address while the motor waits for a consist that was broken up long ago; good decoders are torn out for it.",
    example: "CV19 = 198 is consist address 70, reversed: the model moves only when address 70 is driven, and the other way round.",
    cure: "Write CV19 = 0 (and CV20 = 0 where the decoder has the RCN high part).",
    source: "S-9.2.2 CV19; RCN-225 CV19/20; practice row 51",
    check,
};

const ADDRESS: u8 = 127;
const REVERSED: u8 = 128;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(content) = reading(job, 19) else { return };
    let consist = content & ADDRESS;
    let wished =
        job.order.address.as_ref().and_then(|address| address.consist).map_or(0, |wished| wished.get());
    if consist == 0 || wished != 0 {
        return;
    }
    let facing = if content & REVERSED != 0 { ", reversed" } else { "" };
    // An order with an address has CV19 = 0 in its programming list.
    let is_mended_by_the_list = job.order.address.is_some();
    let severity = if is_mended_by_the_list { Severity::Note } else { Severity::Rework };
    found.add_as(severity, format!("CV19 still holds consist address {consist}{facing}"), |finding| {
        let finding = finding
            .at(path(19))

            .because(format!("as long as it does, the model moves only when address {consist} is driven; lamps and sound obey its own address"));
        finding.remedy(if is_mended_by_the_list {
            "the programming list writes CV19 = 0, since the order wishes no consist; until then drive it by the consist address"
        } else {
            "write the wished address into the order (`[address]`): the programming list then writes CV19 = 0"
        })
    });
}
