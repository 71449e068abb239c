//! Bits to packets.
//!
//! What it is: preamble, start bits, octets, end bit and check octet. What it is not: the meaning of a packet.
//!
//! Source: NMRA S-9.2 §A and §C; NEM 671 §3.

use crate::bits::PREAMBLE_RECEIVER_LEAST;
use crate::packet::{PACKET_MOST, PacketError, PacketView};

/// What a bit brought to light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrameEvent<'a> {
    /// A packet whose check octet is right.
    Packet(PacketView<'a>),
    /// A frame that is no packet, and its octets (the first 32 of them when it is too long).
    Rejected {
        /// Why.
        error: PacketError,
        /// What was heard.
        octets: &'a [u8],
    },
}

/// Turns bits into packets.
///
/// A preamble is accepted from [`PREAMBLE_RECEIVER_LEAST`] ones on. The standards want fewer refused, and twelve
/// accepted; ten leaves the most room for the feedback cutout, which swallows up to five ones of the preamble
/// (RCN-217 §2.4). The end bit of a packet counts as the first one of the next preamble (S-9.2 §A note 3). After a
/// frame that was no packet all ones heard last count, because ten in a row cannot stand within a packet; so a receiver
/// that began in the middle of one loses no packet after it.
#[derive(Clone, Debug)]
pub struct Framer {
    state: State,
    /// So many ones in a row have been heard, as far as they may belong to a preamble.
    ones: u8,
    octets: [u8; PACKET_MOST],
    len: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    /// Waiting for a preamble.
    Preamble,
    /// Within an octet: the bits so far, below a marker one that reaches bit 8 with the eighth bit.
    Octet { bits: u16 },
    /// After an octet: a zero begins the next, a one ends the packet.
    Delimiter,
}

impl Framer {
    /// A framer that waits for a preamble.
    pub const fn new() -> Self {
        Self { state: State::Preamble, ones: 0, octets: [0; PACKET_MOST], len: 0 }
    }

    /// Whether a packet is being received, that is, its start bit has been seen.
    pub const fn is_in_packet(&self) -> bool {
        !matches!(self.state, State::Preamble)
    }

    /// Drops what has been heard of a packet or a preamble, after a bad bit.
    pub const fn restart(&mut self) {
        self.state = State::Preamble;
        self.ones = 0;
    }

    /// Takes the next bit.
    #[inline]
    pub fn bit(&mut self, bit: bool) -> Option<FrameEvent<'_>> {
        let ones = self.ones;
        self.ones = ones.saturating_add(1) * u8::from(bit);
        match self.state {
            State::Preamble => {
                if !bit && ones >= PREAMBLE_RECEIVER_LEAST {
                    self.len = 0;
                    self.state = State::Octet { bits: 1 };
                }
                None
            }
            State::Octet { bits } => {
                let bits = bits << 1 | u16::from(bit);
                let [marker, octet] = bits.to_be_bytes();
                if marker == 0 {
                    self.state = State::Octet { bits };
                    return None;
                }
                self.state = State::Delimiter;
                match self.octets.get_mut(self.len) {
                    Some(place) => {
                        *place = octet;
                        self.len += 1;
                        None
                    }
                    None => {
                        self.state = State::Preamble;
                        let error = PacketError::TooLong { got: self.len + 1 };
                        Some(FrameEvent::Rejected { error, octets: &self.octets })
                    }
                }
            }
            State::Delimiter if bit => Some(self.end_of_packet()),
            State::Delimiter => {
                self.state = State::Octet { bits: 1 };
                None
            }
        }
    }

    fn end_of_packet(&mut self) -> FrameEvent<'_> {
        self.state = State::Preamble;
        let octets = &self.octets[..self.len];
        match PacketView::new(octets) {
            Ok(view) => {
                self.ones = 1;
                FrameEvent::Packet(view)
            }
            Err(error) => FrameEvent::Rejected { error, octets },
        }
    }

    /// Whether the next bit is the first of an octet for which there is room.
    pub(super) const fn awaits_octet(&self) -> bool {
        matches!(self.state, State::Octet { bits: 1 }) && self.len < PACKET_MOST
    }

    /// Takes the eight bits of an octet and the bit after them; only when [`Self::awaits_octet`].
    pub(super) fn octet_and_delimiter(&mut self, octet: u8, is_end: bool) -> Option<FrameEvent<'_>> {
        if let Some(place) = self.octets.get_mut(self.len) {
            *place = octet;
            self.len += 1;
        }
        if is_end {
            // A zero began the octet, so that no earlier one counts.
            self.ones = 1 + if octet == u8::MAX { 8 } else { (octet.trailing_ones() & 7) as u8 };
            return Some(self.end_of_packet());
        }
        self.ones = 0;
        None
    }

    /// Takes four ones; only when not [`Self::is_in_packet`].
    pub(super) const fn four_ones(&mut self) {
        self.ones = self.ones.saturating_add(4);
    }
}

impl Default for Framer {
    fn default() -> Self {
        Self::new()
    }
}
