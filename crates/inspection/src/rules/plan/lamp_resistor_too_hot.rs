//! A resistor that gets hotter than the shell likes.

use std::collections::BTreeMap;

use finding::{Path, Severity};
use quantities::Power;
use workorder::LampPlan;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::plan::lamp_without_resistor::rating_for;

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamp-resistor-too-hot",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[58],
    checks: "Each lamp's resistor may turn at most half its rating into heat; more than the rating stops the job.",
    matters: "Under a shell no air moves: at its full rating a resistor is well above 100 °C, and plastic softens from 70 °C (from memory).",
    example: "1.5 V bulb, 15 mA, from 13 V: 11.5 V × 15 mA = 0.17 W; a quarter-watt part is too small, half a watt is right.",
    cure: "A larger rating, two resistors that share the heat, an LED instead of the bulb; off the plastic in any case.",
    source: "half-rating rule: common practice; acoustics and electrics digest, section 6.1: inside a plastic shell use half",
    check,
};

/// The smallest rating in use under shells: 0603 chips (digest, section 6.1). Half of it needs no rating told.
const SMALLEST_RATING_WATTS: f64 = 0.1;

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let planned: BTreeMap<Path, &LampPlan> = job.lamps().collect();
    for lamp in &answers.lamps {
        let Some(plan) = planned.get(&lamp.path) else { continue };
        let resistors = [
            ("resistor", lamp.path.join("resistor-rating"), lamp.resistor_heat, plan.resistor_rating),
            ("built-in resistor", lamp.path.join("part"), lamp.built_in_heat, lamp.facts.built_in_rating),
        ];
        for (what, place, heat, rating) in resistors {
            judge(&format!("the {what} of lamp {}", lamp.name), place, heat, rating, found);
        }
    }
}

fn judge(what: &str, place: Path, heat: Power, rating: Option<Power>, found: &mut Found<'_>) {
    let wanted = heat * 2.0;
    let market = rating_for(heat.as_watts());
    match rating {
        Some(rating) if heat > rating => {
            found.add(format!("{what} turns {heat} into heat; it is rated {rating}"), |finding| {
                finding
                    .at(place)
                    .because(format!("it would burn; under a shell it should be rated {wanted} at least"))
                    .remedy(format!(
                        "take one rated {market} or more, clear of plastic, or an LED that needs less"
                    ))
            });
        }
        Some(rating) if wanted > rating => {
            found.add_as(
                Severity::Rework,
                format!("{what} turns {heat} into heat; it is rated {rating}"),
                |finding| {
                    finding
                        .at(place)
                        .because(format!("under a shell half the rating is the limit, here {}", rating / 2.0))
                        .remedy(format!("take one rated {market} or more, clear of plastic"))
                },
            );
        }
        None if wanted.as_watts() > SMALLEST_RATING_WATTS => {
            found.add_as(
                Severity::Open,
                format!("nobody says what {what} stands; it turns {heat} into heat"),
                |finding| {
                    finding
                        .at(place)
                        .because(format!("under a shell it should be rated {wanted} at least"))
                        .remedy("note its rating: chips 0603 0.1 W, 0805 0.125 W, 1206 0.25 W; leaded ones by their length")
                },
            );
        }
        Some(_) | None => {}
    }
}
