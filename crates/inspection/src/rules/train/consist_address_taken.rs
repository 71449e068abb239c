//! A consist address that is a unit's own address.

use finding::{Path, Severity};
use workorder::AddressForm;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "consist-address-taken",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[],
    checks: "The consist address must not be the own short address of one of the units.",
    matters: "That unit cannot be driven alone without moving the whole train, and its functions answer twice.",
    example: "Consist address 35 for a train with a van on short address 35.",
    cure: "A number that no vehicle has.",
    source: "S-9.2.2 CV19: consist and short addresses are the same numbers; common practice",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let (Some(place), Some(address)) = (&job.train, &job.order.address) else { return };
    let consist = place.train.train.consist_address.get();
    if address.form == AddressForm::Short && address.number.get() == consist {
        found.add(format!("{consist} is both this unit's own address and the train's consist address"), |finding| {
            finding
                .at(Path::new("address.number"))
                .because("a consist address is sent as a short address: whoever drives this unit alone drives the whole train")
                .remedy("choose a consist address that no vehicle has")
        });
    }
}
