//! From half-bit times back to packets.
//!
//! What it is: [`BitDecoder`] (half-bit times to bits), [`Framer`] (bits to packets) and [`PacketReceiver`], which joins
//! them. None of them knows which rail was positive, and none needs to: half-bits are paired by their lengths, and the
//! first half of a zero after a run of ones shows where bits begin.
//!
//! What it is not: a measurement of the rail. Times come in whole microseconds, from a capture or from a simulated track;
//! times longer than `u32` allows, and the end of the signal, are for the caller to cut. Nothing here panics,
//! whatever the times are.
//!
//! Source: NMRA S-9.1 §A Table 1 and note 1; S-9.2 §A and §C; NEM 671 §3; RCN-210 §1.2 and §2.

mod bit_decoder;
mod feed;
mod framer;
mod packet_receiver;
#[cfg(test)]
mod tests;

pub use bit_decoder::{BitDecoder, BitEvent};
pub use framer::{FrameEvent, Framer};
pub use packet_receiver::{Event, PacketReceiver};
