//! Half-bit times to packets, one at a time.
//!
//! What it is: the plain join of [`BitDecoder`] and [`Framer`]. What it is not: the way for many half-bits at once,
//! which is [`PacketReceiver::feed`].
//!
//! Source: as [`super`].

use super::{BitDecoder, BitEvent, FrameEvent, Framer};
use crate::packet::{PacketError, PacketView};
use crate::timing::{HalfBitLimits, TimingError};

/// What the receiver has heard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event<'a> {
    /// A packet whose check octet is right.
    Packet(PacketView<'a>),
    /// A whole frame that is no packet: check octet, or length.
    Rejected {
        /// Why.
        error: PacketError,
        /// What was heard, at most the first 32 octets.
        octets: &'a [u8],
    },
    /// A bad bit. If a packet was being received it is lost.
    Violation {
        /// What is wrong.
        error: TimingError,
        /// Whether a packet was being received.
        is_in_packet: bool,
    },
}

/// Turns half-bit times into packets. Needs no allocation and never panics.
///
/// ```
/// use dcc::{Event, Packet, PacketReceiver, PREAMBLE_OPERATIONS, timing::SenderTiming};
/// let mut receiver = PacketReceiver::new();
/// let mut heard = 0;
/// // A packet is complete with the second half of its end bit.
/// for half in Packet::IDLE.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL) {
///     if let Some(Event::Packet(packet)) = receiver.half_bit(half) {
///         assert!(packet.is_idle());
///         heard += 1;
///     }
/// }
/// assert_eq!(heard, 1);
/// ```
#[derive(Clone, Debug)]
pub struct PacketReceiver {
    pub(super) bits: BitDecoder,
    pub(super) framer: Framer,
}

impl PacketReceiver {
    /// A receiver with the tolerance that every decoder must have.
    pub const fn new() -> Self {
        Self::with_limits(HalfBitLimits::DECODER)
    }

    /// A receiver with other limits, to see for instance whether a command station keeps those of the track.
    pub const fn with_limits(limits: HalfBitLimits) -> Self {
        Self { bits: BitDecoder::new(limits), framer: Framer::new() }
    }

    /// Takes the length of the next half-bit, µs.
    #[inline]
    pub fn half_bit(&mut self, half_us: u32) -> Option<Event<'_>> {
        let error = match self.bits.half_bit(half_us)? {
            BitEvent::Bit(bit) => return self.framer.bit(bit).map(Event::from),
            BitEvent::LoneOne { .. } if !self.framer.is_in_packet() => return None,
            BitEvent::LoneOne { first_us, second_us } => TimingError::HalvesDisagree { first_us, second_us },
            BitEvent::Violation(error) => error,
        };
        let is_in_packet = self.framer.is_in_packet();
        self.framer.restart();
        Some(Event::Violation { error, is_in_packet })
    }
}

impl Default for PacketReceiver {
    fn default() -> Self {
        Self::new()
    }
}

impl<'a> From<FrameEvent<'a>> for Event<'a> {
    fn from(event: FrameEvent<'a>) -> Self {
        match event {
            FrameEvent::Packet(view) => Self::Packet(view),
            FrameEvent::Rejected { error, octets } => Self::Rejected { error, octets },
        }
    }
}
