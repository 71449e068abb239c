//! What the ohm-meter must read before power, and what a wrong reading means.
//!
//! What it is: section 1.5 of the reference digest on acoustics and electrics: the range of each reading from the spread
//! of the parts and the meter, and the readings that each single fault would give, worked out by making the fault.
//! What it is not: a test of polarity, which no ohm-meter can see, or of two faults at once.

mod card;

use quantities::{MeterReading, Resistance};

use crate::driver::Load;
use crate::netlist::{ElementId, Netlist};
use crate::saturated::saturated;
use crate::{SolveError, Solver};

pub use card::{CheckPoint, Fault, MeterCard, MeterJob, WrongReading, meter_card};

/// DC resistance of a small full-range driver against its nominal impedance: least, expected, most.
///
/// # Source
/// Reference digest on acoustics and electrics, section 1.5, rule derived from its table of published sets.
pub const DC_SHARE_OF_NOMINAL: [f64; 3] = [0.70, 0.88, 1.00];

/// The nominal impedances that small speakers are sold with, in ohms.
///
/// # Source
/// Reference digest on acoustics and electrics, section 1.5.
pub const NOMINALS: [f64; 5] = [4.0, 6.0, 8.0, 16.0, 32.0];

/// Two things that must be apart read more than this, in ohms.
///
/// # Source
/// Reference digest on acoustics and electrics, section 1.5 (common practice).
const ISOLATED: f64 = 1e6;

/// Tolerance of a DC resistance that a part sheet states.
///
/// # Source
/// Reference digest on acoustics and electrics, section 1.5: ±5 % on the sheets met.
const SHEET_TOLERANCE: f64 = 0.05;

/// The nominal impedances that a reading across one speaker may stand for; two of them where their windows overlap, none
/// where it fits no usual part.
///
/// ```
/// use quantities::Resistance;
/// let nominals = |ohms| electrics::nominals_for(Resistance::from_ohms(ohms).unwrap());
/// assert_eq!(nominals(7.0), [Resistance::from_ohms(8.0).unwrap()]);
/// assert_eq!(nominals(5.8).len(), 2);
/// assert!(nominals(50.0).is_empty());
/// ```
#[must_use]
pub fn nominals_for(reading: Resistance) -> Vec<Resistance> {
    let [least, _, most] = DC_SHARE_OF_NOMINAL;
    let fits = |nominal: &f64| (least * nominal..=most * nominal).contains(&reading.as_ohms());
    NOMINALS.into_iter().filter(fits).map(saturated).collect()
}

/// The DC resistance that a speaker may have: least and most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DcSpread {
    /// The least.
    pub low: Resistance,
    /// The most.
    pub high: Resistance,
}

impl DcSpread {
    /// From the nominal impedance alone.
    #[must_use]
    pub fn of_nominal(nominal: Resistance) -> Self {
        let [least, _, most] = DC_SHARE_OF_NOMINAL;
        Self { low: nominal * least, high: nominal * most }
    }

    /// From the DC resistance that a part sheet states.
    #[must_use]
    pub fn of_sheet(dc: Resistance) -> Self {
        Self { low: dc * (1.0 - SHEET_TOLERANCE), high: dc * (1.0 + SHEET_TOLERANCE) }
    }

    /// Measured on this very part, so that only the meter's own error is left.
    #[must_use]
    pub fn measured(dc: Resistance) -> Self {
        Self { low: dc, high: dc }
    }
}

/// An ohm-meter with its leads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Meter {
    /// Its error as a share of the reading.
    pub share: f64,
    /// Its error in last digits, as a resistance.
    pub digits: Resistance,
    /// What probes and wires of the circuit add at most; zeroing takes away the rest.
    pub contact: Resistance,
    /// Above this it shows no connection.
    pub open_above: Resistance,
}

impl Meter {
    /// A cheap one on its 200-ohm range, zeroed.
    ///
    /// # Source
    /// Reference digest on acoustics and electrics, section 1.5: ±(0.8 % + 3 digits), contact 0.1 to 0.3 ohm, isolation above
    /// 1 Mohm (common practice).
    #[must_use]
    pub fn cheap() -> Self {
        Self {
            share: 0.008,
            digits: saturated(0.3),
            contact: saturated(0.3),
            open_above: saturated(ISOLATED),
        }
    }

    /// What it may show for a true resistance between two values.
    #[must_use]
    pub fn shows(self, low: Resistance, high: Resistance) -> ReadingRange {
        if low > self.open_above {
            return ReadingRange::Open;
        }
        let low = low.as_ohms() * (1.0 - self.share) - self.digits.as_ohms();
        let high = (high + self.contact).as_ohms() * (1.0 + self.share) + self.digits.as_ohms();
        ReadingRange::Between { low: saturated(low.max(0.0)), high: saturated(high) }
    }
}

/// What a meter may show at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingRange {
    /// A number in this range.
    Between {
        /// The least.
        low: Resistance,
        /// The most.
        high: Resistance,
    },
    /// No connection: `OL`.
    Open,
}

impl ReadingRange {
    /// Whether a reading lies in the range. A reading that is only known to be above or below something does if it may.
    #[must_use]
    pub fn contains(&self, reading: MeterReading) -> bool {
        match (self, reading) {
            (Self::Open, MeterReading::Open) => true,
            (Self::Open, MeterReading::Above(least)) => least.as_ohms() >= ISOLATED,
            (Self::Open, _) | (Self::Between { .. }, MeterReading::Open) => false,
            (Self::Between { low, high }, MeterReading::Exactly(value)) => (low..=high).contains(&&value),
            (Self::Between { high, .. }, MeterReading::Above(least)) => least <= *high,
            (Self::Between { low, .. }, MeterReading::Below(most)) => most >= *low,
        }
    }

    /// Whether the two cannot be told apart for sure.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Open, Self::Open) => true,
            (Self::Between { low, high }, Self::Between { low: other_low, high: other_high }) => {
                low <= other_high && other_low <= high
            }
            (Self::Open, Self::Between { .. }) | (Self::Between { .. }, Self::Open) => false,
        }
    }
}

impl std::fmt::Display for ReadingRange {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let short = |value: &Resistance| saturated::<Resistance>((value.as_ohms() * 10.0).round() / 10.0);
        match self {
            Self::Between { low, high } if low.as_ohms() < 0.05 => write!(f, "< {}", short(high)),
            Self::Between { low, high } => write!(f, "{} to {}", short(low), short(high)),
            Self::Open => f.write_str("OL"),
        }
    }
}

impl Netlist {
    /// What an ideal ohm-meter reads between two terminals with the amplifier unplugged: speakers as their DC resistance,
    /// inductors as wires, capacitors as breaks. No connection for a terminal that the netlist does not have.
    ///
    /// ```
    /// use electrics::{Load, Netlist};
    /// use quantities::Resistance;
    /// let seven = || Load::Nominal(Resistance::from_ohms(7.0).unwrap());
    /// let mut netlist = Netlist::new();
    /// netlist.speaker("A", "S1", "joint", seven())?;
    /// netlist.speaker("B", "joint", "S2", seven())?;
    /// assert_eq!(netlist.dc_reading("S1", "S2").to_string(), "14 ohm");
    /// assert_eq!(netlist.dc_reading("S1", "frame").to_string(), "OL");
    /// # Ok::<(), electrics::NetlistError>(())
    /// ```
    #[must_use]
    pub fn dc_reading(&self, from: &str, to: &str) -> MeterReading {
        self.reading_with(from, to, |_, load| load.dc_resistance())
    }

    /// As [`Self::dc_reading`], with another resistance for each speaker.
    fn reading_with(
        &self,
        from: &str,
        to: &str,
        resistance_of: impl Fn(ElementId, &Load) -> Resistance,
    ) -> MeterReading {
        let Some(metered) = self.metered(from, to, resistance_of) else { return MeterReading::Open };
        let solved = Solver::new(&metered)
            .and_then(|mut solver| solver.solve(saturated(0.0)).map(|dc| dc.impedance()));
        match solved {
            Ok(Some(impedance)) => MeterReading::Exactly(saturated(impedance.re)),
            Err(SolveError::DeadShort { .. }) => MeterReading::Exactly(saturated(0.0)),
            // The circuit has a source and no inductors; nothing else can fail.
            Ok(None) | Err(_) => MeterReading::Open,
        }
    }

    /// The circuit with the meter in place of the amplifier; none if a terminal is unknown.
    fn metered(
        &self,
        from: &str,
        to: &str,
        resistance_of: impl Fn(ElementId, &Load) -> Resistance,
    ) -> Option<Self> {
        let mut metered = self.with_loads(|id, load| Load::Nominal(resistance_of(id, load)));
        metered.set_probes(self.index_of(from)?, self.index_of(to)?);
        Some(metered)
    }
}

#[cfg(test)]
mod tests;
