//! Bi-directional communication: what a decoder says in the cutout after a packet.
//!
//! What it is: the 4-of-8 code, the datagrams of both channels and the dynamic variables, in both directions, with the
//! figures of the physical layer as constants.
//! What it is not: the current loop. **Not supported:** the replies of accessory decoders, of automatic logon and of
//! the advanced packets of S-9.2.1.1.
//!
//! Source: RCN-217; NMRA S-9.3.2 agrees where it could be compared (digest).

mod code;
mod datagram;
mod dynamic;
mod reply;
#[cfg(test)]
mod tests;

pub use code::{BidiError, Symbol, decode, encode};
pub use datagram::{Channel1Datagram, Datagram, FeedbackAddress, Symbols};
pub use dynamic::{DynamicMeaning, DynamicVariable};
pub use reply::{Channel2, Channel2Item, Channel2Reply};

use crate::timing::Microseconds;

/// The cutout begins within this window after the last edge of the packet end bit, µs (RCN-217 Table 1).
pub const CUTOUT_START: [u16; 2] = [26, 32];
/// The cutout ends within this window, µs after the last edge of the packet end bit (RCN-217 Table 1).
pub const CUTOUT_END: [u16; 2] = [454, 488];
/// Channel 1, µs after the last edge of the packet end bit: two octets (RCN-217 Table 1).
pub const CHANNEL_1: [u16; 2] = [80, 177];
/// Channel 2, µs after the last edge of the packet end bit: up to six octets (RCN-217 Table 1).
pub const CHANNEL_2: [u16; 2] = [193, 454];
/// Length of one transmitted octet, µs: start bit, eight data bits with the lowest first, stop bit, at 250 kbit/s ± 2 %
/// (RCN-217 §2.4).
pub const OCTET_MICROS: u16 = 40;
/// Octets in channel 1.
pub const CHANNEL_1_OCTETS: usize = 2;
/// Most octets in channel 2.
pub const CHANNEL_2_OCTETS: usize = 6;
/// How many ones of the preamble a cutout swallows: four, and it may touch a fifth (RCN-217 §2.4).
pub const CUTOUT_BITS_MOST: u8 = 5;
/// A programming command that has no answer after this long has failed (RCN-217 §5.1).
pub const PROGRAMMING_TIME_OUT: Microseconds = Microseconds::from_millis(500);
/// With CV28 bit 2 set, channel 1 goes silent after so many receptions of the own address (RCN-217 §5.2.1).
pub const CHANNEL_1_SILENT_AFTER: u8 = 8;
/// And speaks again after this long without being addressed (RCN-217 §5.2.1).
pub const CHANNEL_1_SPEAKS_AFTER: Microseconds = Microseconds::from_millis(5000);
/// A decoder answers the rerailing search for this long after at least one second without power (RCN-217 §5.2.3).
pub const RERAILING_ANSWERS_FOR: Microseconds = Microseconds::from_millis(30_000);
