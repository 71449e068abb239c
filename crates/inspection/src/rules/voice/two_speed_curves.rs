//! A speed table beside start, middle and top level.

use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "two-speed-curves",
    stage: Stage::VoiceAndManners,
    severity: Severity::Note,
    rows: &[],
    checks: "An order should wish a speed table or start, middle and top level, not both.",
    matters: "With the table on, CV2, CV5 and CV6 count in some decoders as a scale for the table and in others not at all: the top speed is a surprise.",
    example: "A table that ends at 255 and a top level of 60 %: 60 % in one decoder, full speed in the next.",
    cure: "Put the wished top speed into the table and leave the levels out.",
    source: "S-9.2.2 CV29 bit 4; RCN-225 CV29 bit 4: whether the levels scale the table is up to the maker",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(manners) = &job.order.manners else { return };
    if manners.speed_table.is_empty() {
        return;
    }
    let levels = [
        ("start-level", manners.start_level),
        ("middle-level", manners.middle_level),
        ("top-level", manners.top_level),
    ];
    for (key, level) in levels.into_iter().filter_map(|(key, level)| Some((key, level?))) {
        found.add(format!("the speed table counts; whether the {} of {level} does too is up to the decoder's maker", key.replace('-', " ")), |finding| {
            finding
                .at(Path::new(format!("manners.{key}")))
                .at(Path::new("manners.speed-table"))
                .because("with CV29 bit 4 set the curve comes from CV67 to CV94, and CV2, CV5 and CV6 may scale it or not")
                .remedy("leave the level out and put what is wished into the table")
        });
    }
}
