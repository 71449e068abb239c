//! An order whose consist address is not the train's.

use datasheets::CvPlace;
use finding::{Path, Severity};
use workorder::UnitDirection;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::train::own_unit;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "consist-address-differs",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[],
    checks: "Each unit's order must wish the consist address of its train.",
    matters: "A unit with another consist address, or with none, stands still while the others pull; lamps and sound work, so it looks like a dead motor.",
    example: "The train says 70, the order says 7: CV19 = 7, and the unit does not move.",
    cure: "The same number in each order; 0 in all of them again when the train is broken up.",
    source: "S-9.2.2 CV19; practice stage 19",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(place) = &job.train else { return };
    // Where the decoder has no CV19, that is the finding.
    if job.decoder().is_some_and(|sheet| !sheet.has(CvPlace { page: None, cv: 19 })) {
        return;
    }
    let train = place.train.train.consist_address.get();
    let name = &place.train.train.name;
    let wished = job.order.address.as_ref().and_then(|address| address.consist).map(|consist| consist.get());
    let at = Path::new("address.consist");
    match wished {
        Some(wished) if wished == train => {}
        Some(wished) if wished > 0 => {
            found.add(
                format!("the order wishes consist address {wished}; the train {name} has {train}"),
                |finding| {
                    finding
                        .at(at)
                        .because(format!(
                            "driven by {train}, this unit stands still while its lamps and sounds work"
                        ))
                        .remedy(format!("write `consist = {train}`, or change the train"))
                },
            );
        }
        _ => {
            let is_reversed = own_unit(place).is_some_and(|unit| unit.direction == UnitDirection::Reversed);
            let facing = if is_reversed { " and `consist-reversed = true`" } else { "" };
            found.add_as(Severity::Open, format!("nobody has wished the consist address {train} of the train {name}"), |finding| {
                finding
                    .at(at)
                    .because("an order without one has CV19 = 0 in its programming list, and the unit then hears its own address only")
                    .remedy(format!("write `consist = {train}`{facing} into `[address]`; leave it out only where the command station drives each unit by its own address"))
            });
        }
    }
}
