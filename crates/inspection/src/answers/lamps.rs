//! Lamps: current, voltage left for the resistor, heat in it.

use datasheets::LampKind;
use finding::Path;
use quantities::{Current, Power, Resistance, Voltage};

use crate::job::{Job, LampFacts};

/// What the decoder's rectifier and output switch take from the track voltage: the lamp common stands at about 12 to
/// 12.5 V where the track has 14 to 15.5 V (practice section 3, LED row).
const LOST_IN_DECODER_VOLTS: f64 = 2.0;

/// A bulb stands a little more than its rated voltage; from half as much again on it dies within minutes (own limit: bulb
/// life falls with about the twelfth power of the voltage, from memory).
pub(crate) const BULB_STANDS: f64 = 1.5;

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
    /// The heat in the resistor that is built in.
    pub built_in_heat: Power,
}

impl LampAnswer {
    /// Whether it dies at once: an LED or a bulb for much less than the supply, without any resistor.
    #[must_use]
    pub fn is_unprotected(&self) -> bool {
        let over = self.supply.as_volts() / self.facts.voltage.as_volts();
        let stands = match self.facts.kind {
            LampKind::Led => 1.0,
            LampKind::Bulb => BULB_STANDS,
        };
        self.series.as_ohms() <= 0.0 && over > stands
    }

    /// The voltage across the lamp itself.
    #[must_use]
    pub fn lamp_voltage(&self) -> Voltage {
        match self.facts.kind {
            LampKind::Bulb => self.current * (self.facts.voltage / self.facts.current),
            LampKind::Led => self.facts.voltage,
        }
    }
}

/// The answers for all lamps whose facts are known.
pub(super) fn answers(job: &Job<'_>) -> Vec<LampAnswer> {
    job.lamps()
        .filter_map(|(path, lamp)| {
            let facts = job.lamp_facts(lamp)?;
            let supply = supply(job);
            let none = Resistance::from_ohms(0.0)?;
            let planned = lamp.resistor.unwrap_or(none);
            let built_in = facts.built_in_resistor.unwrap_or(none);
            let series = planned + built_in;
            let current = current(&facts, supply, series)?;
            Some(LampAnswer {
                path,
                name: lamp.name.to_string(),
                output: lamp.output.to_string(),
                facts,
                supply,
                series,
                current,
                resistor_heat: current * planned * current,
                built_in_heat: current * built_in * current,
            })
        })
        .collect()
}

/// The voltage between common plus and a switched output.
pub(super) fn supply(job: &Job<'_>) -> Voltage {
    let volts = (job.track_voltage().as_volts() - LOST_IN_DECODER_VOLTS).max(0.0);
    Voltage::from_volts(volts).unwrap_or_else(|| unreachable!("less than the track's voltage is in range"))
}

/// The current through lamp and resistor: a bulb is taken as its rated resistance, an LED as its forward voltage. An LED
/// without a resistor is told as the largest current that the type can hold: nothing but the supply limits it.
fn current(facts: &LampFacts, supply: Voltage, series: Resistance) -> Option<Current> {
    match facts.kind {
        LampKind::Bulb => {
            let hot = facts.voltage / facts.current;
            Some(supply / (hot + series))
        }
        LampKind::Led => {
            let left = (supply.as_volts() - facts.voltage.as_volts()).max(0.0);
            Some(Voltage::from_volts(left)? / series)
        }
    }
}
