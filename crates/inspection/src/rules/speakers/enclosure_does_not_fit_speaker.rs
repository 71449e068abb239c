//! A box made for another speaker.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "enclosure-does-not-fit-speaker",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "The box's sheet must name the speaker; where it names none, the speaker must not stand out over the box.",
    matters: "A speaker that does not sit tight leaks all round, and one that is forced in jams its cone.",
    example: "`box-20` is made for a 20 mm round part; a 28 mm one covers it and leaks.",
    cure: "The box that belongs to the speaker.",
    source: "the box's sheet; common practice",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    for (path, speaker) in job.order.planned_speakers() {
        let Some(sheet) = job.enclosure(speaker) else { continue };
        let (name, fits) = (&speaker.name, &sheet.enclosure.fits);
        let reason = if fits.is_empty() {
            let (Some(part), Some(outer)) = (job.speaker_sheet(speaker), &sheet.enclosure.size) else {
                continue;
            };
            let size = &part.speaker.size;
            let covers = (size.length <= outer.length && size.width <= outer.width)
                || (size.width <= outer.length && size.length <= outer.width);
            if covers {
                continue;
            }
            format!(
                "the speaker has {} × {}, the box {} × {}",
                size.length, size.width, outer.length, outer.width
            )
        } else {
            let Some(part) = &speaker.part else { continue };
            if fits.contains(part) {
                continue;
            }
            let made_for: Vec<&str> = fits.iter().map(documents::Name::as_str).collect();
            format!("{} is made for {}, not for {part}", sheet.part.name, made_for.join(", "))
        };
        found.add(format!("the box {} does not fit speaker {name}", sheet.part.name), |finding| {
            finding
                .at(path.join("enclosure"))
                .at(path.join("part"))
                .because(reason)
                .remedy("choose the box that belongs to the speaker")
        });
    }
}
