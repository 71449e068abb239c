//! Electrics: circuits of speakers, wires, amplifiers and lamps.

#![deny(clippy::disallowed_methods)]

mod circuit;
mod coil;
mod dense;
mod driver;
mod joined;
mod netlist;
mod reduction;
mod saturated;
mod solver;
mod sweep;

pub use circuit::{Condition, SolveError};
pub use coil::{CoilModel, DriverError};
pub use driver::{DriverImpedance, ImpedanceTable, Load, Motional};
pub use netlist::{Component, Element, ElementId, Netlist, NetlistError};
pub use solver::{Solution, Solver};
pub use sweep::{Sweep, audio_frequencies, frequencies};
