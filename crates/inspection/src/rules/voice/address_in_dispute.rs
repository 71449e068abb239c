//! Addresses that systems read differently.

use finding::{Path, Severity};
use workorder::AddressForm;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "address-in-dispute",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[44],
    checks: "The address must be one that every system can send in the form that the decoder expects.",
    matters: "Systems draw the line between short and long differently, at 99, 100 or 127: the model answers at home and is dead on the friend's layout.",
    example: "Long address 99: many systems send 99 as a short address, and the decoder does not listen. Short 120: some systems send it as a long one.",
    cure: "Short addresses up to 99, long ones from 128 to 9999; never 3.",
    source: "practice row 44; S-9.2.1 section A; RCN-225 CV17/18 (0 is no address); RCN-218 annex D; four digits: common practice",
    check,
};

/// The last number that every system takes as a short address.
const LAST_SURELY_SHORT: u16 = 99;
/// The last short address of the standard.
const LAST_SHORT: u16 = 127;
/// What handhelds with four digits can reach.
const LAST_OF_FOUR_DIGITS: u16 = 9999;
/// What every new decoder answers to.
const ON_DELIVERY: u16 = 3;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(address) = &job.order.address else { return };
    let number = address.number.get();
    let at = Path::new("address.number");
    let long_remedy = "choose a long address from 128 to 9999, or write `form = \"short\"` for this number";
    match address.form {
        AddressForm::Short if number > LAST_SURELY_SHORT => {
            found.add_as(Severity::Note, format!("short address {number} works on some systems only"), |finding| {
                finding
                    .at(at)
                    .because("100 to 127 exist as short and as long addresses, and some systems send only the long ones")
                    .remedy("for a model that travels choose 1 to 99, or a long address from 128; else write the form on the box")
            });
        }
        AddressForm::Short if number == ON_DELIVERY => {
            found.add_as(Severity::Note, "address 3 is what every new decoder answers to", |finding| {
                finding
                    .at(at)
                    .because("the next new model on the layout moves together with this one")
                    .remedy("choose another number")
            });
        }
        AddressForm::Long if number == 0 => found.add("long address 0 is no locomotive's", |finding| {
            finding
                .at(at)
                .because("the standards keep it out of use, and systems cannot send it")
                .remedy(long_remedy)
        }),
        AddressForm::Long if number <= LAST_SHORT => {
            found.add(format!("many systems cannot send long address {number}"), |finding| {
                finding
                    .at(at)
                    .because("numbers up to 127 are sent as short addresses there, which this decoder would not heed")
                    .remedy(long_remedy)
            });
        }
        AddressForm::Long if number > LAST_OF_FOUR_DIGITS => {
            found.add_as(Severity::Note, format!("long address {number} has five digits"), |finding| {
                finding
                    .at(at)
                    .because("the standard goes to 10239, but many throttles show four digits")
                    .remedy("choose a long address from 128 to 9999")
            });
        }
        AddressForm::Short | AddressForm::Long => {}
    }
}
