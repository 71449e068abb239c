//! What the amplifier is loaded with, and what each speaker gets of it.
//!
//! What it is: the answers of sections 1.1 and 1.4 of the reference digest on acoustics and electrics: the curve of the
//! load with its lowest point, the nominal load, each speaker's share of the power.
//! What it is not: sound. A speaker that gets twice the power is not twice as loud; that is the acoustics room's matter.

use num_complex::Complex64;
use quantities::{Frequency, Power, Resistance};

use crate::circuit::SolveError;
use crate::driver::Load;
use crate::netlist::{Component, ElementId, Netlist};
use crate::saturated::saturated;
use crate::sweep::Sweep;

/// A load over frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadCurve {
    points: Vec<(Frequency, Complex64)>,
    least: LeastLoad,
}

/// The lowest point of a load curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastLoad {
    /// The modulus of the impedance.
    pub modulus: Resistance,
    /// Where it is that low.
    pub at: Frequency,
}

impl LoadCurve {
    /// The load of a sweep; none if no current can flow at any frequency.
    #[must_use]
    pub fn of(sweep: &Sweep) -> Option<Self> {
        let points: Vec<(Frequency, Complex64)> = sweep
            .frequencies()
            .iter()
            .zip(sweep.impedances())
            .filter_map(|(frequency, impedance)| Some((*frequency, (*impedance)?)))
            .collect();
        let (at, lowest) = points.iter().min_by(|(_, a), (_, b)| a.norm_sqr().total_cmp(&b.norm_sqr()))?;
        let least = LeastLoad { modulus: saturated(lowest.norm()), at: *at };
        Some(Self { points, least })
    }

    /// Frequency and impedance in ohms, point by point.
    #[must_use]
    pub fn points(&self) -> &[(Frequency, Complex64)] {
        &self.points
    }

    /// The point of the least modulus; the first of several.
    #[must_use]
    pub fn least(&self) -> LeastLoad {
        self.least
    }
}

/// What one speaker gets, averaged over the frequencies of a sweep, at the voltage of the amplifier.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeakerPower {
    /// The speaker.
    pub speaker: ElementId,
    /// Its mean power over the grid.
    pub mean: Power,
    /// The most it gets at any frequency of the grid.
    pub most: Power,
    /// Its part of the mean power of all speakers, 0 to 1.
    pub share: f64,
}

/// What every speaker gets, in the order of the elements; empty for an empty sweep.
///
/// Each frequency of the sweep counts the same, so that a logarithmic grid gives each octave the same weight.
#[must_use]
pub fn speaker_powers(netlist: &Netlist, sweep: &Sweep) -> Vec<SpeakerPower> {
    if sweep.frequencies().is_empty() {
        return Vec::new();
    }
    let n_frequencies = sweep.frequencies().iter().fold(0.0, |n, _| n + 1.0);
    let speakers =
        netlist.elements().filter(|(_, element)| matches!(element.component, Component::Speaker(_)));
    let mut powers: Vec<SpeakerPower> = speakers
        .map(|(speaker, _)| {
            let watts = || sweep.powers(speaker).map(Power::as_watts);
            let (mean, most) = (watts().sum::<f64>() / n_frequencies, watts().fold(0.0, f64::max));
            SpeakerPower { speaker, mean: saturated(mean), most: saturated(most), share: 0.0 }
        })
        .collect();
    let total: f64 = powers.iter().map(|power| power.mean.as_watts()).sum();
    if total > 0.0 {
        for power in &mut powers {
            power.share = power.mean.as_watts() / total;
        }
    }
    powers
}

/// The nominal load of a circuit, by the arithmetic of the trade: every speaker a resistance of its nominal impedance,
/// capacitors left out and inductors taken for wires. None if no current can flow.
///
/// # Errors
/// As [`Netlist::solve_dc`].
///
/// ```
/// use electrics::{Load, Netlist};
/// use quantities::{Resistance, Voltage};
/// let ohms = |ohms| Resistance::from_ohms(ohms).unwrap();
/// let mut netlist = Netlist::new();
/// netlist.amplifier("S1", "S2", Voltage::from_volts(2.83).unwrap())?;
/// // Two parts whose coils read 7.0 and 7.3 ohm, sold as 8 ohm.
/// netlist.speaker("A", "S1", "S2", Load::Nominal(ohms(7.0)))?;
/// netlist.speaker("B", "S1", "S2", Load::Nominal(ohms(7.3)))?;
/// assert_eq!(electrics::nominal_load(&netlist, |_| ohms(8.0))?.unwrap().to_string(), "4 ohm");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn nominal_load(
    netlist: &Netlist,
    nominal_of: impl Fn(ElementId) -> Resistance,
) -> Result<Option<Resistance>, SolveError> {
    let nominal = netlist.with_loads(|speaker, _| Load::Nominal(nominal_of(speaker)));
    Ok(nominal.solve_dc()?.impedance().map(|impedance| saturated(impedance.re)))
}

#[cfg(test)]
mod tests;
