//! Address CVs that say one thing and CV29 another.

use datasheets::CvPlace;
use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::contact::{path, reading};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "address-and-configuration-contradict",
    stage: Stage::FirstContact,
    severity: Severity::Rework,
    rows: &[43],
    checks: "CV29 bit 5 must agree with the address CVs: long address CV17/18 within 192 to 231 where it is set, short address CV1 within 1 to 127 where it is not, and no forgotten long address beside CV1 = 3.",
    matters: "The new address is dead and the model still answers to 3, or to nothing at all.",
    example: "CV17 = 196, CV18 = 210 is long address 1234; with CV29 = 6 bit 5 is clear and the decoder answers to CV1 = 3.",
    cure: "Write CV17, then CV18, then CV29 with bit 5 set; or clear bit 5 and write CV1.",
    source: "S-9.2.2 CV1, CV17, CV18, CV29 bit 5; S-9.2.1 section A (192 to 231); RCN-225 CV1, CV17/18; practice row 43",
    check,
};

const LONG_ADDRESS: u8 = 32;
const FIRST_HIGH: u8 = 192;
const LAST_HIGH: u8 = 231;
/// Every new decoder's address (S-9.2.2 CV1).
const ON_DELIVERY: u8 = 3;
/// The long address on delivery (RCN-225 CV17/18).
const LONG_ON_DELIVERY: u16 = 1000;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(configuration) = reading(job, 29) else { return };
    // With an address wished, the programming list puts both in order; then this is only where it can be found now.
    let severity = if job.order.address.is_some() { Severity::Note } else { Severity::Rework };
    let how = if job.order.address.is_some() {
        "the programming list writes CV17 and CV18 or CV1, and CV29 after them; read all of them again then"
    } else {
        "write the wished address into the order (`[address]`): the programming list then writes CV17 and CV18 or CV1, and CV29 after them"
    };
    if configuration & LONG_ADDRESS != 0 {
        let (Some(high), low) = (reading(job, 17), reading(job, 18)) else { return };
        if !(FIRST_HIGH..=LAST_HIGH).contains(&high) {
            found.add_as(severity, format!("CV29 wants the long address, but CV17 is {high}"), |finding| {
                finding
                    .at(path(17))
                    .at(path(29))
                    .because("CV17 holds 192 to 231; with any other value there is no address to answer to")
                    .remedy(how)
            });
        } else if high == FIRST_HIGH && low == Some(0) {
            found.add_as(
                severity,
                "CV29 wants the long address, but CV17 and CV18 hold long address 0",
                |finding| {
                    finding.at(path(18)).at(path(17)).because("long address 0 is no locomotive's").remedy(how)
                },
            );
        }
        return;
    }
    if let Some(short) = reading(job, 1).filter(|short| !(1..=127).contains(short)) {
        found.add_as(severity, format!("CV29 wants the short address, but CV1 is {short}"), |finding| {
            finding
                .at(path(1))
                .at(path(29))
                .because("short addresses are 1 to 127; 0 and more than 127 switch the digital mode off")
                .remedy(how)
        });
        return;
    }
    let (Some(high), Some(low)) = (reading(job, 17), reading(job, 18)) else { return };
    let long = u16::from(high.wrapping_sub(FIRST_HIGH)) << 8 | u16::from(low);
    let is_set_by_somebody =
        (FIRST_HIGH..=LAST_HIGH).contains(&high) && ![0, LONG_ON_DELIVERY, on_delivery(job)].contains(&long);
    if is_set_by_somebody && reading(job, 1) == Some(ON_DELIVERY) {
        found.add_as(
            severity,
            format!("long address {long} is written, but CV29 still wants the short one: it answers to 3"),
            |finding| {
                finding
                    .at(path(29))
                    .at(path(17))
                    .at(path(18))
                    .because(format!("CV29 is {configuration}: bit 5 is clear, so CV1 = 3 counts"))
                    .remedy(how)
            },
        );
    }
}

/// The long address that the sheet says the decoder is delivered with; 0 where it does not say.
fn on_delivery(job: &Job<'_>) -> u16 {
    let content = |cv| job.decoder()?.content_on_delivery().get(&CvPlace { page: None, cv }).copied();
    match (content(17), content(18)) {
        (Some(high), Some(low)) => u16::from(high.wrapping_sub(FIRST_HIGH)) << 8 | u16::from(low),
        _ => 0,
    }
}
