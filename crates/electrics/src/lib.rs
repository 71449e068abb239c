//! Electrics: circuits of speakers, wires, amplifiers and lamps.

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

mod lamp;
mod rework;
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
