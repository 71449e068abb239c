//! A unit that would pull against its train.

use finding::{Path, Severity};
use workorder::UnitDirection;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::train::own_unit;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "consist-direction-differs",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[],
    checks: "A unit that faces the rear of the train must be reversed in its consist address, and no other.",
    matters: "Two units that pull against each other strip gears and burn tyres before anybody has the throttle at zero.",
    example: "Unit 2 faces the rear: CV19 = 70 + 128 = 198. With CV19 = 70 it runs the other way.",
    cure: "`consist-reversed` as the unit faces.",
    source: "S-9.2.2 CV19 bit 7; practice section 3 (reversed unit: CV19 + 128)",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(place) = &job.train else { return };
    let (Some(unit), Some(address)) = (own_unit(place), &job.order.address) else { return };
    let train = place.train.train.consist_address.get();
    // Another address, or none, is a finding of its own.
    if address.consist.map(|consist| consist.get()) != Some(train) {
        return;
    }
    let faces_rear = unit.direction == UnitDirection::Reversed;
    let is_reversed = address.consist_reversed == Some(true);
    if faces_rear == is_reversed {
        return;
    }
    let headline = if faces_rear {
        "the unit faces the rear of the train, but its consist address is not reversed"
    } else {
        "the unit faces the front of the train, but its consist address is reversed"
    };
    found.add(headline, |finding| {
        finding
            .at(Path::new("address.consist-reversed"))
            .because(format!(
                "CV19 would be {}, and the unit would run against its train {}",
                train + if is_reversed { 128 } else { 0 },
                place.train.train.name
            ))
            .remedy(format!("write `consist-reversed = {faces_rear}`, or turn the unit round in the train"))
    });
}
