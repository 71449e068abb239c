//! The current budget: what each output has to carry, and everything together.
//!
//! Source: acoustics and electrics digest, section 6.6: motor, lamps, amplifier and keep-alive against the decoder's
//! total.

use std::collections::BTreeMap;

use datasheets::{LampKind, Output, OutputKind};
use finding::Path;
use quantities::{Current, Power, Resistance};
use workorder::LampPlan;

use super::lamps::{LampAnswer, supply};
use super::network::Network;
use crate::job::Job;

/// Share of its input power that a switching amplifier passes on (digest, section 6.6).
const AMPLIFIER_EFFICIENCY: f64 = 0.85;

/// What an output stands where its sheet does not tell (practice row 10, from memory).
const USUAL_OUTPUT_AMPERES: f64 = 0.1;

/// A cold filament has about a tenth of its hot resistance (digest, section 6.1, from memory).
const COLD_SHARE: f64 = 0.1;

/// The least series resistor that tames a cold bulb (practice row 58: 22 to 33 ohm).
const TAMING_OHMS: f64 = 22.0;

/// What the lamps on one output draw.
#[derive(Debug, Clone, PartialEq)]
pub struct OutputLoad {
    /// The output's name.
    pub name: String,
    /// What it can drive.
    pub kind: OutputKind,
    /// What it stands.
    pub rating: Current,
    /// Whether that is a usual figure, because the sheet tells none.
    pub is_rating_assumed: bool,
    /// The lamps that it feeds itself, without a driver in between.
    pub lamps: Vec<Path>,
    /// The lamps among them whose current nobody knows.
    pub unknown: Vec<Path>,
    /// What the known ones draw together. A lamp that dies at once for want of a resistor counts with its rated current.
    pub current: Current,
    /// The bulbs among them without at least 22 ohm in series.
    pub bare_bulbs: Vec<Path>,
    /// What those bulbs draw when hot.
    pub bare_bulb_current: Current,
    /// What those bulbs draw in the moment of switching on, cold.
    pub inrush: Current,
}

/// What the model draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// Each output with lamps on it, in the order of the decoder's sheet.
    pub outputs: Vec<OutputLoad>,
    /// The motor running light, as measured; none where nobody did.
    pub motor_running: Option<Current>,
    /// The held motor at the planned track voltage; none where nobody measured it.
    pub motor_held: Option<Current>,
    /// The lamps that can be on at one time.
    pub lamps: Current,
    /// The sound amplifier at full output.
    pub amplifier: Current,
    /// The keep-alive as it begins to charge, through its resistor; zero where it has none (that current is no matter of
    /// a budget).
    pub keep_alive: Current,
}

impl Budget {
    /// The budget of a plan; none where the decoder has no sheet.
    pub(super) fn of(job: &Job<'_>, lamps: &[LampAnswer], wiring: Option<&Network>) -> Option<Self> {
        let decoder = job.decoder()?;
        let answers: BTreeMap<&Path, &LampAnswer> =
            lamps.iter().map(|answer| (&answer.path, answer)).collect();
        let planned: Vec<&LampPlan> = job.lamps().map(|(_, lamp)| lamp).collect();
        let outputs: Vec<OutputLoad> = decoder
            .output
            .iter()
            .filter(|output| planned.iter().any(|lamp| lamp.output == output.name))
            .map(|output| output_load(job, output, &answers))
            .collect();
        let survey = job.order.survey.as_ref();
        let motor_held = survey.and_then(|survey| {
            let stall = survey.stall_current?;
            let measured_at = survey.stall_voltage.unwrap_or(job.track_voltage()).as_volts();
            // The current of a held motor follows its voltage: practice, section 3.
            Some(if measured_at > 0.0 {
                stall * (job.track_voltage().as_volts() / measured_at)
            } else {
                stall
            })
        });
        let sound: Power = match (&decoder.amplifier, wiring) {
            (Some(_), Some(network)) => network.shares.iter().map(|share| share.power).sum(),
            _ => Power::from_watts(0.0)?,
        };
        let amplifier = if sound.as_watts() > 0.0 {
            sound / AMPLIFIER_EFFICIENCY / supply(job)
        } else {
            Current::from_amperes(0.0)?
        };
        let resistor = job.keep_alive().and_then(|sheet| sheet.keep_alive.charge_resistance);
        let keep_alive = match resistor.filter(|resistor| resistor.as_ohms() > 0.0) {
            Some(resistor) => supply(job) / resistor,
            None => Current::from_amperes(0.0)?,
        };
        Some(Self {
            outputs,
            motor_running: survey.and_then(|survey| survey.running_current),
            motor_held,
            lamps: lamps_at_one_time(job, &answers)?,
            amplifier,
            keep_alive,
        })
    }

    /// Everything together while the model runs; none where the motor was not measured running.
    #[must_use]
    pub fn running(&self) -> Option<Current> {
        Some(self.motor_running? + self.lamps + self.amplifier)
    }

    /// Everything together with the motor held, as the keep-alive begins to charge; none where the motor was not
    /// measured held.
    #[must_use]
    pub fn held(&self) -> Option<Current> {
        Some(self.motor_held? + self.lamps + self.amplifier + self.keep_alive)
    }
}

/// The current of a lamp for sums. One without the resistor that it needs counts with its rated current: a rule of its
/// own judges it.
fn current(lamp: &LampAnswer) -> Current {
    if lamp.is_unprotected() { lamp.facts.current } else { lamp.current }
}

fn output_load(job: &Job<'_>, output: &Output, answers: &BTreeMap<&Path, &LampAnswer>) -> OutputLoad {
    let zero = || Current::from_amperes(0.0).unwrap_or_else(|| unreachable!("0 A is in range"));
    let usual = || Current::from_amperes(USUAL_OUTPUT_AMPERES).unwrap_or_else(zero);
    let mut load = OutputLoad {
        name: output.name.to_string(),
        kind: output.kind,
        rating: output.current.unwrap_or_else(usual),
        is_rating_assumed: output.current.is_none(),
        lamps: Vec::new(),
        unknown: Vec::new(),
        current: zero(),
        bare_bulbs: Vec::new(),
        bare_bulb_current: zero(),
        inrush: zero(),
    };
    let fed = job.lamps().filter(|(_, lamp)| lamp.output == output.name && lamp.driver != Some(true));
    for (path, _) in fed {
        load.lamps.push(path.clone());
        let Some(answer) = answers.get(&path) else {
            load.unknown.push(path);
            continue;
        };
        load.current = load.current + current(answer);
        let is_bulb = answer.facts.kind == LampKind::Bulb && !answer.is_unprotected();
        if is_bulb && answer.series.as_ohms() < TAMING_OHMS {
            let hot: Resistance = answer.facts.voltage / answer.facts.current;
            load.bare_bulbs.push(path);
            load.bare_bulb_current = load.bare_bulb_current + current(answer);
            load.inrush = load.inrush + answer.supply / (hot * COLD_SHARE + answer.series);
        }
    }
    load
}

/// Lamps of both directions, and the more of those that are on forward or backward only.
fn lamps_at_one_time(job: &Job<'_>, answers: &BTreeMap<&Path, &LampAnswer>) -> Option<Current> {
    let sum = |when: Option<datasheets::Travel>| -> Current {
        job.lamps()
            .filter(|(_, lamp)| lamp.when == when)
            .filter_map(|(path, _)| answers.get(&path).copied())
            .map(current)
            .sum()
    };
    let one_way = datasheets::Travel::ALL
        .iter()
        .map(|way| sum(Some(*way)))
        .fold(Current::from_amperes(0.0)?, |most, next| if next > most { next } else { most });
    Some(sum(None) + one_way)
}
