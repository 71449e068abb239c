//! A lamp that is driven too hard.

use datasheets::LampKind;
use finding::Severity;

use crate::answers::{Answers, BULB_STANDS, LampAnswer};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::plan::lamp_without_resistor::{exact, least_rating, ohms, preferred};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamp-current-too-high",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[56, 57],
    checks: "With its resistor an LED must stay within its rated current, a bulb within its rated voltage, both with 10 % of tolerance.",
    matters: "Overdriven LEDs fade and turn blue, bulbs blacken and warp the plastic beside them; at twice the current both die.",
    example: "Warm white LED, 5 mA: 1 kohm on 13 V lets 10 mA through; 2.2 kohm keeps it at 4.5 mA.",
    cure: "The larger resistor that the finding names.",
    source: "acoustics and electrics digest, section 6.1; tolerance of resistors and supply 10 %, common practice; limits for damage from memory",
    check,
};

/// Resistors and supply may be off by this much together.
const TOLERANCE: f64 = 1.1;
/// From this share of its rated current on an LED dies soon (from memory).
const LED_DIES_ABOVE: f64 = 2.0;

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for lamp in &answers.lamps {
        let bare = lamp.series.as_ohms() <= 0.0;
        let (share, dies_above, figures) = match lamp.facts.kind {
            LampKind::Led => (
                lamp.current.as_amperes() / lamp.facts.current.as_amperes(),
                LED_DIES_ABOVE,
                format!("gets {}, rated {}", lamp.current, lamp.facts.current),
            ),
            LampKind::Bulb => (
                lamp.lamp_voltage().as_volts() / lamp.facts.voltage.as_volts(),
                BULB_STANDS,
                format!("gets {}, rated {}", lamp.lamp_voltage(), lamp.facts.voltage),
            ),
        };
        // A lamp that dies at once for want of a resistor is another rule's matter.
        if share <= TOLERANCE || lamp.is_unprotected() {
            continue;
        }
        let severity = if share > dies_above { Severity::Stop } else { Severity::Rework };
        found.add_as(severity, format!("lamp {} {figures}", lamp.name), |finding| {
            let in_series = if bare { "nothing".to_owned() } else { lamp.series.to_string() };
            finding
                .at(if bare { lamp.path.clone() } else { lamp.path.join("resistor") })
                .because(format!(
                    "{} between common plus and output {}, {in_series} in series",
                    lamp.supply, lamp.output
                ))
                .remedy(advice(lamp))
        });
    }
}

fn advice(lamp: &LampAnswer) -> String {
    let wanted = preferred(exact(lamp));
    let built_in = lamp.facts.built_in_resistor;
    match built_in {
        Some(built_in) => {
            format!("bring the series resistance to {}, {built_in} of it built in", ohms(wanted))
        }
        None => format!("take {}, rated {} or more", ohms(wanted), least_rating(lamp)),
    }
}
