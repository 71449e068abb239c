//! A lamp that nothing protects from the supply.

use finding::Severity;

use crate::answers::{Answers, LampAnswer};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamp-without-resistor",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[56, 57],
    checks: "Each LED, and each bulb for less than the output's voltage, must have a resistor in series, built in or planned.",
    matters: "An LED or a 1.5 V bulb straight on a 12 V output flashes once and is gone; an LED may take the output with it.",
    example: "3 V LED, 5 mA, 13 V between common plus and output: (13 − 3) V / 5 mA = 2 kohm, next larger 2.2 kohm.",
    cure: "The resistor that the finding names, next larger value, rated at twice its heat.",
    source: "acoustics and electrics digest, section 6.1: R = (V − V_F)/I, next larger value of E12 (IEC 60063); practice rows 56 and 57",
    check,
};

/// The preferred values of one decade (IEC 60063, E12; digest, section 6.1).
const E12: [f64; 12] = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for lamp in &answers.lamps {
        if lamp.is_unprotected() {
            let LampAnswer { name, facts, supply, output, .. } = lamp;
            let kind = facts.kind;
            found.add(
                format!("lamp {name} has no resistor: {} {kind} on {supply}", facts.voltage),
                |finding| {
                    finding
                        .at(lamp.path.clone())
                        .because(format!(
                            "{supply} stand between common plus and output {output}, the lamp is for {}",
                            facts.voltage
                        ))
                        .because(format!(
                            "{} need {} in series at {}",
                            lost(lamp),
                            ohms(exact(lamp)),
                            facts.current
                        ))
                        .remedy(format!(
                            "put {} in series, rated {} or more",
                            ohms(preferred(exact(lamp))),
                            least_rating(lamp)
                        ))
                },
            );
        }
    }
}

/// The voltage that the resistor must take.
fn lost(lamp: &LampAnswer) -> String {
    (lamp.supply - lamp.facts.voltage).to_string()
}

/// `(V − V_F)/I` in ohms.
pub(super) fn exact(lamp: &LampAnswer) -> f64 {
    ((lamp.supply - lamp.facts.voltage) / lamp.facts.current).as_ohms()
}

/// The next larger preferred value, in ohms.
pub(super) fn preferred(exact_ohms: f64) -> f64 {
    // The rounding of a quotient must not lift a value that is preferred already.
    let wanted = exact_ohms.max(1.0) * (1.0 - 1e-9);
    (0..12)
        .map(|decade| 10f64.powi(decade))
        .flat_map(|decade| E12.iter().map(move |value| value * decade))
        .find(|value| *value >= wanted)
        .unwrap_or(exact_ohms)
}

/// Ohms as a resistance prints them.
pub(super) fn ohms(value: f64) -> String {
    quantities::Resistance::from_ohms(value).map_or_else(|| format!("{value} ohm"), |ohms| ohms.to_string())
}

/// Ratings of resistors on the market, in watts: chips from 0402 on, leaded parts (digest, section 6.1).
const RATINGS_WATTS: [f64; 9] = [0.0625, 0.1, 0.125, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0];

/// The least rating on the market that is twice the heat in the preferred resistor, for the air under a shell does not
/// move.
pub(super) fn least_rating(lamp: &LampAnswer) -> String {
    let volts = (lamp.supply - lamp.facts.voltage).as_volts();
    let heat = volts * volts / preferred(exact(lamp));
    rating_for(heat)
}

/// The least rating on the market for a resistor that turns so much into heat, in watts.
pub(super) fn rating_for(heat_watts: f64) -> String {
    let wanted = 2.0 * heat_watts;
    let rating = RATINGS_WATTS.into_iter().find(|rating| *rating >= wanted).unwrap_or(wanted);
    quantities::Power::from_watts(rating).map_or_else(String::new, |power| power.to_string())
}

#[cfg(test)]
mod tests {
    use super::preferred;

    #[test]
    fn the_digest_s_e12_column() {
        for (exact, expected) in [
            (880.0, 1000.0),
            (2160.0, 2200.0),
            (1200.0, 1200.0),
            (6400.0, 6800.0),
            (620.0, 680.0),
            (180.0, 180.0),
            (700.0, 820.0),
        ] {
            assert!((preferred(exact) - expected).abs() < 1e-6, "{exact}");
        }
    }
}
