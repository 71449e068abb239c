//! The meter: what an ohm-meter shows on the real wiring.
//!
//! What it is: a hand-held meter with its resolution and its upper end.
//! What it is not: a judgement of the reading, nor what the work order says it should be.
//!
//! Source: reference text on acoustics and electrics, section 1.5; resolution and range of a common meter are from memory.

use electrics::{Netlist, SolveError};
use quantities::{MeterReading, Resistance, Voltage};

/// The least step that the meter shows, in ohms.
const RESOLUTION_OHMS: f64 = 0.1;
/// Above this it shows no connection, in ohms.
const TOP_OHMS: f64 = 40e6;
/// Digits that it shows.
const DIGITS: usize = 3;

/// What the meter shows between two terminals of a circuit.
pub(crate) fn reading(netlist: &Netlist, from: &str, to: &str) -> MeterReading {
    match ohms(netlist, from, to) {
        None => MeterReading::Open,
        Some(ohms) if ohms > TOP_OHMS => MeterReading::Open,
        Some(ohms) => shown(ohms),
    }
}

/// The resistance between two terminals; none where nothing connects them.
pub(crate) fn ohms(netlist: &Netlist, from: &str, to: &str) -> Option<f64> {
    let mut probed = netlist.clone();
    let volt = Voltage::from_volts(1.0)?;
    // A truth has no amplifier of its own in the circuit, so that the probes are the only source.
    probed.amplifier(from, to, volt).ok()?;
    match probed.solve_dc() {
        Ok(solution) => solution.impedance().map(|impedance| impedance.re),
        Err(SolveError::DeadShort { .. }) => Some(0.0),
        // Coils without resistance that bridge the probes are a short for a meter as well.
        Err(SolveError::InductorRing { .. }) => Some(0.0),
        Err(SolveError::NoAmplifier | SolveError::Cancelled { .. }) => None,
    }
}

fn shown(ohms: f64) -> MeterReading {
    let resolution = Resistance::from_ohms(RESOLUTION_OHMS);
    let in_steps = (ohms / RESOLUTION_OHMS).round() * RESOLUTION_OHMS;
    let rounded: f64 = quantities::significant(in_steps, DIGITS).parse().unwrap_or(in_steps);
    match (Resistance::from_ohms(rounded), resolution) {
        (Some(_), Some(least)) if rounded < RESOLUTION_OHMS / 2.0 => MeterReading::Below(least),
        (Some(value), _) => MeterReading::Exactly(value),
        (None, _) => MeterReading::Open,
    }
}
