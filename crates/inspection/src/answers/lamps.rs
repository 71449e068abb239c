//! Lamps: current, voltage left for the resistor, heat in it.

use finding::Path;
use quantities::{Current, Power, Resistance, Voltage};

use crate::job::{Job, LampFacts};

/// What the decoder's rectifier and output switch take from the track voltage: the lamp common stands at about 12 to
/// 12.5 V where the track has 14 to 15.5 V (practice section 3, LED row).
const LOST_IN_DECODER_VOLTS: f64 = 2.0;

/// What a planned lamp does to its output and resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct LampAnswer {
    /// The lamp's path.
    pub path: Path,
    /// Its name.
    pub name: String,
    /// Its output's name.
    pub output: String,
    /// Its electrical facts.
    pub facts: LampFacts,
    /// The voltage between common plus and the switched output.
    pub supply: Voltage,
    /// The resistance in series, built in and planned.
    pub series: Resistance,
    /// The current that will flow.
    pub current: Current,
    /// The heat in the planned resistor.
    pub resistor_heat: Power,
}

/// The answers for all lamps whose facts are known.
pub(super) fn answers(job: &Job<'_>) -> Vec<LampAnswer> {
    job.lamps()
        .filter_map(|(path, lamp)| {
            let facts = job.lamp_facts(lamp)?;
            let supply = supply(job)?;
            let none = Resistance::from_ohms(0.0)?;
            let planned = lamp.resistor.unwrap_or(none);
            let series = planned + facts.built_in_resistor.unwrap_or(none);
            let current = current(&facts, supply, series)?;
            let resistor_heat = Power::from_watts(current.as_amperes().powi(2) * planned.as_ohms())?;
            Some(LampAnswer {
                path,
                name: lamp.name.to_string(),
                output: lamp.output.to_string(),
                facts,
                supply,
                series,
                current,
                resistor_heat,
            })
        })
        .collect()
}

fn supply(job: &Job<'_>) -> Option<Voltage> {
    Voltage::from_volts((job.track_voltage().as_volts() - LOST_IN_DECODER_VOLTS).max(0.0))
}

/// The current through lamp and resistor: a bulb is taken as its rated resistance, an LED as its forward voltage. An LED
/// without a resistor is told as the largest current that the type can hold: nothing but the supply limits it.
fn current(facts: &LampFacts, supply: Voltage, series: Resistance) -> Option<Current> {
    match facts.kind {
        datasheets::LampKind::Bulb => {
            let hot = facts.voltage / facts.current;
            Some(supply / (hot + series))
        }
        datasheets::LampKind::Led => {
            let left = (supply.as_volts() - facts.voltage.as_volts()).max(0.0);
            Some(Voltage::from_volts(left)? / series)
        }
    }
}
