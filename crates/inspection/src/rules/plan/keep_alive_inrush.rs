//! A keep-alive that charges too greedily.

use finding::{Path, Severity};
use quantities::Resistance;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "keep-alive-inrush",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[14],
    checks: "A keep-alive must charge through a resistor: 100 ohm up to 2200 µF, 220 ohm up to 4700 µF, 470 ohm above.",
    matters: "Empty capacitors are a short at switch-on: a few models with them trip the booster, one hides the acknowledgement.",
    example: "14 V straight through 1 ohm of wires is 14 A; through 100 ohm it is 140 mA.",
    cure: "A charge resistor in series with a diode across it for discharging, or a part that has them built in.",
    source: "practice row 14; acoustics and electrics digest, section 6.4",
    check,
};

/// Charge resistor by capacitance, in farads and ohms.
const TABLE: [(f64, f64); 2] = [(2200e-6, 100.0), (4700e-6, 220.0)];
const ABOVE_OHMS: f64 = 470.0;

/// Wires, wheels and rectifier, where nothing else limits (digest, section 6.4).
const WIRES_OHMS: f64 = 1.0;

fn wanted(farads: f64) -> f64 {
    // A printed 2200 µF must not fall on the far side of the table's own 2200 µF by rounding.
    let row = TABLE.iter().find(|(most, _)| farads <= most * (1.0 + 1e-9));
    row.map_or(ABOVE_OHMS, |(_, ohms)| *ohms)
}

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(keep_alive) = job.keep_alive() else { return };
    let data = &keep_alive.keep_alive;
    let wanted = wanted(data.capacitance.as_farads());
    let has = data.charge_resistance.map_or(0.0, Resistance::as_ohms);
    if has >= wanted {
        return;
    }
    let Some(path) = Resistance::from_ohms(has + WIRES_OHMS) else { return };
    let inrush = job.track_voltage() / path;
    found.add(
        format!("the keep-alive {} draws up to {inrush} at switch-on", keep_alive.part.name),
        |finding| {
            finding
                .at(Path::new("plan.keep-alive"))
                .because(format!(
                    "{} charge through {}; {wanted} ohm are advised",
                    data.capacitance,
                    if has > 0.0 { format!("{has} ohm") } else { "the wires alone".to_owned() }
                ))
                .remedy(format!("put {wanted} ohm in series with a diode across it for discharging, and note it in the part's sheet"))
        },
    );
}
