//! A decoder that cannot run with others by itself.

use datasheets::CvPlace;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "decoder-has-no-consist-address",
    stage: Stage::Train,
    severity: Severity::Rework,
    rows: &[],
    checks: "The decoder of a unit that runs in a train must have CV19.",
    matters: "Without it the unit hears its own address only: the command station must drive it beside the others, and on another layout it stands while they pull.",
    example: "A decoder whose sheet lists CV1 to CV8, CV17, CV18 and CV29: no CV19.",
    cure: "Another decoder, or one own address for all units of the train.",
    source: "S-9.2.2 CV19 (optional); RCN-225 CV19 (recommended)",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(sheet) = job.decoder() else { return };
    let wished =
        job.order.address.as_ref().and_then(|address| address.consist).filter(|consist| consist.get() > 0);
    let consist = job
        .train
        .map(|place| place.train.train.consist_address.get())
        .or_else(|| wished.map(|wished| wished.get()));
    let Some(consist) = consist.filter(|_| !sheet.has(CvPlace { page: None, cv: 19 })) else { return };
    found.add(format!("`{}` has no CV19 for consist address {consist}", sheet.part.name), |finding| {
        finding
            .at(Path::new("plan.decoder"))
            .because("it hears its own address only")
            .remedy("choose a decoder with CV19, or give all units of the train the same own address")
    });
}
