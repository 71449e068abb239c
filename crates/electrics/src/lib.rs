//! Electrics: circuits of speakers, wires, amplifiers and lamps.
//!
//! What it is: the engine behind "right before the iron is hot". A [`Netlist`] says what is joined to what; a [`Solver`]
//! gives every voltage and current at DC and over frequency. From them follow the [`LoadCurve`] against the
//! [`BridgeAmplifier`], the power of each speaker ([`speaker_powers`]), which cones oppose ([`polarity`]), the best of all
//! arrangements ([`rank_arrangements`]), the fewest joints to get there ([`least_rework`]), and what the ohm-meter must say
//! before power ([`meter_card`]).
//! What it is not: sound, enclosures or judgement. How loud a speaker is comes from outside; what is wrong enough to stop a
//! job is for the room that inspects it. No files, clock or randomness.
//!
//! Voltages and currents inside a circuit are complex RMS phasors, `Complex64` in volts and amperes; impedances are in
//! ohms. Everything else is a quantity with its unit in the type.
//!
//! ```
//! use electrics::{BridgeAmplifier, CoilModel, DriverImpedance, Load, LoadCurve, LoadVerdict, Motional, Netlist};
//! use quantities::{Quantity, Resistance, Voltage};
//! // A 32 mm driver in a sealed box of 10 cm³: reference digest, set S1. Two of them in parallel.
//! let motional = Motional {
//!     bl: Quantity::parse("2.2 T·m")?,
//!     mms: Quantity::parse("0.5 g")?,
//!     cms: Quantity::parse("0.68 mm/N")?,
//!     rms: Quantity::parse("0.30 kg/s")?,
//!     box_stiffness: 2157.3,
//! };
//! let coil = CoilModel::Ideal(Quantity::parse("0.29 mH")?);
//! let driver = Load::Driver(DriverImpedance::new(Quantity::parse("7.0 ohm")?, coil, Some(motional))?);
//! let mut netlist = Netlist::new();
//! netlist.amplifier("board.S1", "board.S2", Voltage::parse("3.5 V")?)?;
//! for name in ["A", "B"] {
//!     netlist.speaker(name, &format!("{name}.red"), &format!("{name}.black"), driver.clone())?;
//!     netlist.wire("board.S1", &format!("{name}.red"));
//!     netlist.wire(&format!("{name}.black"), "board.S2");
//! }
//! let sweep = netlist.sweep(&electrics::audio_frequencies())?;
//! let least = LoadCurve::of(&sweep).ok_or("nothing is connected")?.least();
//! assert_eq!(least.modulus.to_string(), "3.515 ohm");
//! let eight_ohm: Resistance = Quantity::parse("8 ohm")?;
//! let nominal = electrics::nominal_load(&netlist, |_| eight_ohm)?.ok_or("nothing is connected")?;
//! let amplifier = BridgeAmplifier::on_supply(Voltage::parse("5 V")?, Quantity::parse("4 ohm")?);
//! assert_eq!(amplifier.judge(nominal, Some(least.modulus)), LoadVerdict::Fits);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod coil;
mod driver;
mod netlist;

mod bank;
mod circuit;
mod dense;
mod joined;
mod lanes;
mod reduction;
mod saturated;
mod shape;
mod solver;
mod sweep;

mod amplifier;
mod load;
mod polarity;

mod arrangement;
mod meter;
mod rework;

mod lamp;
mod wire;

pub use amplifier::{BridgeAmplifier, LEAST_SHARE_OF_NOMINAL, LoadVerdict};
pub use arrangement::{
    Arrangement, Candidate, MOST_ARRANGEMENTS, RankedArrangement, SensitivityModel, TooManyArrangements,
    Wishes, arrangements, rank_arrangements,
};
pub use circuit::{Condition, SolveError};
pub use coil::{CoilModel, DriverError};
pub use driver::{DriverImpedance, ImpedanceTable, Load, Motional};
pub use lamp::{LampError, PreferredSeries, SeriesResistor, series_resistor};
pub use load::{LeastLoad, LoadCurve, SpeakerPower, nominal_load, speaker_powers};
pub use meter::{
    CheckPoint, DC_SHARE_OF_NOMINAL, DcSpread, Fault, Meter, MeterCard, MeterJob, NOMINALS, ReadingRange,
    WrongReading, meter_card, nominals_for,
};
pub use netlist::{Component, Element, ElementId, Netlist, NetlistError};
pub use polarity::{
    Marking, Mount, Pair, PlacedSpeaker, Polarity, Relation, polarity, polarity_frequencies, polarity_in,
};
pub use rework::{AsFound, Rework, ReworkError, ReworkSpeaker, Step, Target, least_rework};
pub use solver::{Solution, Solver};
pub use sweep::{Sweep, audio_frequencies, frequencies};
pub use wire::{copper_at, wire_diameter, wire_resistance};
