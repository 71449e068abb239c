//! Everything together draws more than the decoder stands.

use finding::{Finding, Path, Severity};
use quantities::Current;

use crate::answers::{Answers, Budget};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "total-current-exceeded",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[],
    checks: "Motor, lamps, amplifier at full output and charging keep-alive together must stay below the decoder's total rating.",
    matters: "Each part alone may be within its rating; the rectifier carries them all and dies of the sum.",
    example: "0.85 A motor held, 14 mA of lamps, 2 W of sound at 13 V (0.18 A): 1.04 A, within 1.6 A.",
    cure: "A decoder with a higher total, LEDs instead of bulbs, a larger charge resistor, a better motor.",
    source: "acoustics and electrics digest, section 6.6: stall + lamps + P/(0.85·V) + charge current at most the total rating",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let (Some(decoder), Some(budget)) = (job.decoder(), &answers.budget) else { return };
    let Some(total) = decoder.decoder.total_current else { return };
    if let Some(running) = budget.running().filter(|running| *running > total) {
        found.add(
            format!("the running model draws {running}; the decoder stands {total} in all"),
            |finding| {
                told(finding, budget, budget.motor_running, "running")
                    .remedy("choose a decoder with a higher total rating, or spare lamps and sound")
            },
        );
    } else if let Some(held) = budget.held().filter(|held| *held > total) {
        found.add_as(
            Severity::Rework,
            format!("with the motor held the model draws {held}; the decoder stands {total} in all"),
            |finding| {
                told(finding, budget, budget.motor_held, "held")
                    .because(format!("the keep-alive takes {} as it begins to charge", budget.keep_alive))
                    .remedy("choose a decoder with a higher total rating, or make sure that nothing can hold the wheels")
            },
        );
    }
}

fn told(finding: Finding, budget: &Budget, motor: Option<Current>, how: &str) -> Finding {
    let finding = finding.at(Path::new("plan.decoder"));
    let finding = match motor {
        Some(motor) => finding.because(format!("the {how} motor takes {motor}")),
        None => finding,
    };
    finding.because(format!(
        "the lamps that can be on together take {}, the amplifier at full output {}",
        budget.lamps, budget.amplifier
    ))
}
