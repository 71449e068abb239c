//! The virtual bench: locomotives with a truth of their own.
//!
//! What it is: a [`Truth`] describes one locomotive as it really is, which need not be what its work order says; a
//! [`Locomotive`] obeys the wire standards bit by bit as its decoder sheet says, draws current through [`track::Rails`], and can
//! be looked at ([`Locomotive::observe`]), metered ([`Locomotive::meter`]) and listened to ([`Observation::heard`],
//! [`Locomotive::circuit`]). A [`Layout`] puts several on one pair of rails.
//! What it is not: a programmer, a work order or a judge. It has no files, no clock and no chance of its own: time is what is
//! driven and waited, chance comes from a seed, memory is handed out and taken back.
//!
//! ```
//! use bench::{Locomotive, Observation, read_truth};
//! use dcc::{Packet, PREAMBLE_SERVICE, timing::SenderTiming};
//! use track::Rails;
//!
//! let shelf = datasheets::Shelf::standard();
//! let text = "truth.title = \"a bare decoder\"\ndecoder.part = \"standard\"\nmotor.resistance = \"24 ohm\"\n";
//! let truth = read_truth("truth.toml", text, &shelf)?.value;
//! let mut locomotive = Locomotive::new(&truth, &shelf, 1)?;
//! locomotive.set_power(true);
//! // Three resets, then "is CV8 13?" five times: the decoder acknowledges with a pulse through its motor.
//! let verify = Packet::from_payload(&[0x74, 7, 13])?;
//! let packets = [Packet::RESET; 3].into_iter().chain([verify; 5]);
//! let mut current = Vec::new();
//! for packet in packets {
//!     let half_bits: Vec<u32> = packet.half_bits(PREAMBLE_SERVICE, SenderTiming::NOMINAL).collect();
//!     locomotive.drive(&half_bits, &mut current);
//! }
//! let above_quiescent = current.iter().filter(|sample| **sample >= 20.0 + 60.0).count();
//! assert_eq!(above_quiescent, 60, "6 ms of samples, one each 100 µs");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![deny(clippy::disallowed_methods)]

mod chance;
mod current;
mod decoder;
mod ear;
mod functions;
mod lamps;
mod layout;
mod locomotive;
mod memory;
mod meter;
mod motion;
mod observe;
mod pickup;
mod supply;
mod truth;
mod voice;
mod wiring;

#[cfg(test)]
mod tests;

pub use decoder::{RESET_MICROSECONDS, WRITE_MICROSECONDS};
pub use lamps::{LampSeen, OutputSeen};
pub use layout::Layout;
pub use locomotive::{BenchError, Locomotive};
pub use memory::RESET_PENDING;
pub use observe::Observation;
pub use supply::{SUPPLY_LIMIT_MILLIAMPERES, TRACK_VOLTS};
pub use truth::{
    Contact, PageContent, SecondDecoder, TrueAcknowledgement, TrueCut, TrueDecoder, TrueKeepAlive, TrueLamp,
    TrueMotor, TruePickup, TrueSpeaker, Truth, TruthHead, read_truth, resolve,
};
pub use voice::{EngineHeard, Heard, SoundHeard};
pub use wiring::{DecoderIs, INSIDE_DECODER_OHMS};
