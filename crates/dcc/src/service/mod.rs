//! Service mode: reading and writing CVs on the programming track.
//!
//! What it is: the instructions ([`ServiceInstruction`]), the packet sequences a programmer must send ([`Sequence`]) and
//! how long they last, the strategies for reading with nothing but yes or no ([`BitwiseRead`], [`CountingRead`],
//! [`DirectModeProbe`]), and the rules by which a decoder obeys ([`ServiceModeState`], [`PageRegister`]).
//! What it is not: a programmer. Nothing here switches power or measures current; the figures for both are constants.
//!
//! Source: NMRA S-9.2.3; RCN-216 and RCN-214 (digests).

mod decoder;
mod instruction;
mod reading;
mod sequence;
#[cfg(test)]
mod tests;

pub use decoder::{PageRegister, Phase, ServiceModeState};
pub use instruction::{PagedAddress, Register, RegisterOperation, ServiceError, ServiceInstruction};
pub use reading::{BitwiseRead, CountingRead, DirectModeProbe, ReadResult};
pub use sequence::{Operation, Options, PowerOn, Purpose, Recovery, Sequence, Step};

use crate::timing::Microseconds;

/// An acknowledgement is an increase of the load by at least this much (S-9.2.3 §D).
pub const ACKNOWLEDGEMENT_MILLIAMPERES_LEAST: u16 = 60;
/// An acknowledgement lasts this long, give or take [`ACKNOWLEDGEMENT_TOLERANCE`] (S-9.2.3 §D).
pub const ACKNOWLEDGEMENT_DURATION: Microseconds = Microseconds::from_millis(6);
/// How far the length of an acknowledgement may be off in either direction (S-9.2.3 §D).
pub const ACKNOWLEDGEMENT_TOLERANCE: Microseconds = Microseconds::from_millis(1);
/// Current that a programming track may supply for longer than [`ENERGY_LIMIT_AFTER`] (S-9.2.3 §B).
pub const ENERGY_LIMIT_MILLIAMPERES: u16 = 250;
/// Time after the start of packets from which more than [`ENERGY_LIMIT_MILLIAMPERES`] is a fault (S-9.2.3 §E).
pub const ENERGY_LIMIT_AFTER: Microseconds = Microseconds::from_millis(100);
/// Most a decoder may draw in service mode with all outputs off, save while it acknowledges (S-9.2.3 §E).
pub const DECODER_MILLIAMPERES_MOST: u16 = 100;
/// A decoder leaves service mode when it has heard no reset and no service-mode packet for this long (S-9.2.3 §C).
/// RCN-216 (digest) lets it wait for at least 30 ms; so a programmer keeps gaps below 20 ms.
pub const TIME_OUT: Microseconds = Microseconds::from_millis(20);
/// Power must be off for at least this long between operations and service mode (RCN-216, digest).
pub const POWER_OFF_LEAST: Microseconds = Microseconds::from_millis(1000);
/// So many identical packets, with no other valid packet between them, are needed before a decoder acts (S-9.2.3 §E).
pub const IDENTICAL_PACKETS: u8 = 2;
