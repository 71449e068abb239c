//! A decoder that is larger than its room.

use finding::{Path, Severity};

use crate::answers::{Answers, Fit};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "decoder-does-not-fit",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[31],
    checks: "The decoder must lie flat in the free room and leave 0.5 mm of height; where nobody measured, in what the socket's standard reserves.",
    matters: "Tenths of a millimetre keep the shell from seating, or press the board onto metal.",
    example: "5.5 mm of decoder in 8 mm of room: 2.5 mm spare. 6.2 mm in 6.5 mm: only 0.3 mm, the tape alone takes 0.1.",
    cure: "A smaller decoder, another place, metal or plastic taken away; squash putty under the shell to see.",
    source: "practice row 31: free height less part at least 0.5 mm (from memory); reserved spaces of NEM 651, 652, 658, 660 and 662",
    check,
};

/// Height that must be left for tape, wires and the shell's own unevenness.
const SPARE_MILLIMETRES: f64 = 0.5;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(decoder), Some(_)) = (job.decoder(), &job.order.survey) else { return };
    let Some(fit) = &answers.decoder_fit else {
        if decoder.decoder.size.is_none() {
            found.add_as(Severity::Open, "the decoder's sheet does not tell its size", |finding| {
                finding
                    .at(Path::new("plan.decoder"))
                    .because("nobody can say whether the shell will seat")
                    .remedy("measure the decoder with a calliper and put `size` into its sheet")
            });
        } else {
            unmeasured(
                found,
                "nobody has measured the room for the decoder",
                "no standard reserves any here",
            );
        }
        return;
    };
    if fit.is_measured {
        judge(fit, found);
    } else if !(fit.goes_in_flat() && fit.leaves(0.0)) {
        unmeasured(
            found,
            "nobody has measured the room for the decoder",
            &format!("the socket's standard reserves {}, the decoder has {}", fit.space, fit.part),
        );
    }
}

fn unmeasured(found: &mut Found<'_>, headline: &str, reason: &str) {
    found.add_as(Severity::Open, headline, |finding| {
        finding.at(Path::new("survey.decoder-space")).because(reason).remedy(
            "press putty under the shell, measure length, width and height, write them into `decoder-space`",
        )
    });
}

fn judge(fit: &Fit, found: &mut Found<'_>) {
    const REMEDY: &str = "choose a smaller decoder or another place, or make room and measure again";
    let place = Path::new("survey.decoder-space");
    if !fit.goes_in_flat() {
        found.add(
            format!(
                "the decoder does not fit: {} × {} in {} × {}",
                fit.part.length, fit.part.width, fit.space.length, fit.space.width
            ),
            |finding| {
                finding
                    .at(place)
                    .at(Path::new("plan.decoder"))
                    .because(format!(
                        "the part has {}, the room {}; turned by a quarter it does not go in either",
                        fit.part, fit.space
                    ))
                    .remedy(REMEDY)
            },
        );
    } else if !fit.leaves(SPARE_MILLIMETRES) {
        let spare = fit.spare_height_millimetres();
        let headline = if spare < 0.0 {
            format!("the decoder is {} mm too tall", quantities::significant(-spare, 2))
        } else {
            format!("the decoder leaves only {} mm of height", quantities::significant(spare, 2))
        };
        found.add(headline, |finding| {
            finding
                .at(place)
                .at(Path::new("plan.decoder"))
                .because(format!(
                    "{} of part in {} of room; 0.5 mm are to be left for tape and wires",
                    fit.part.height, fit.space.height
                ))
                .remedy(REMEDY)
        });
    }
}
