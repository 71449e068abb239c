//! The packet: octets with a check octet, and the frame that goes round them.
//!
//! What it is: a fixed-capacity buffer ([`Packet`]) and checked bytes ([`PacketView`]), whose length and check octet
//! were verified once, so that no getter fails afterwards.
//! What it is not: the meaning of the octets (see [`crate::Instruction`] and [`crate::service::ServiceInstruction`];
//! the same octets mean different things in service mode).
//!
//! Source: NMRA S-9.2 §A and §B; NEM 671 §3; S-9.2.1 preface; RCN-218 §1.4.

use core::fmt;

use crate::bits::{Bits, HalfBits};
use crate::crc::crc8;
use crate::timing::{Microseconds, SenderTiming};

/// Fewest octets of a packet, check octet included (S-9.2.1 preface).
pub const PACKET_LEAST: usize = 3;
/// Most octets of a packet, check octet included. S-9.2.1 says six for ordinary packets and lets special ones be
/// longer; 32 is the limit of the advanced packets of S-9.2.1.1 (digest).
pub const PACKET_MOST: usize = 32;

/// Length of a payload that may or may not end with a CRC-8 (RCN-218 §1.4 a and glossary).
const CRC_MAYBE: usize = 6;

/// A packet that owns its octets. Its check octet is always right.
#[derive(Clone, Copy)]
pub struct Packet {
    octets: [u8; PACKET_MOST],
    len: u8,
}

impl Packet {
    /// Reset, for all decoders (S-9.2 §B).
    pub const RESET: Self = Self::three(0x00, 0x00);
    /// Idle (S-9.2 §B).
    pub const IDLE: Self = Self::three(0xFF, 0x00);
    /// Page preset of service mode: page register set to 1 (S-9.2.3 §E).
    pub const PAGE_PRESET: Self = Self::three(0x7D, 0x01);
    /// Factory reset of service mode: register 8 set to 8 (S-9.2.3 §E).
    pub const FACTORY_RESET: Self = Self::three(0x7F, 0x08);

    const fn three(first: u8, second: u8) -> Self {
        let mut octets = [0; PACKET_MOST];
        octets[0] = first;
        octets[1] = second;
        octets[2] = first ^ second;
        Self { octets, len: 3 }
    }

    /// Appends the check octet to a payload.
    ///
    /// # Errors
    /// [`PacketError::TooShort`] below two octets of payload, [`PacketError::TooLong`] above 31.
    pub fn from_payload(payload: &[u8]) -> Result<Self, PacketError> {
        check_length(payload.len() + 1)?;
        let mut builder = Builder::new();
        builder.extend(payload);
        Ok(builder.finish())
    }

    /// Appends the CRC-8 of RCN-218 §1.4 and then the check octet.
    ///
    /// # Errors
    /// As [`Self::from_payload`], with one octet less of room.
    pub fn from_payload_with_crc(payload: &[u8]) -> Result<Self, PacketError> {
        check_length(payload.len() + 2)?;
        let mut builder = Builder::new();
        builder.extend(payload);
        builder.push(crc8(payload));
        Ok(builder.finish())
    }

    /// Takes octets as they came, check octet included.
    ///
    /// # Errors
    /// As [`PacketView::new`].
    pub fn from_octets(octets: &[u8]) -> Result<Self, PacketError> {
        PacketView::new(octets).map(PacketView::to_packet)
    }

    /// All octets, check octet last.
    pub fn as_bytes(&self) -> &[u8] {
        &self.octets[..usize::from(self.len)]
    }

    /// The same octets as checked bytes.
    pub fn view(&self) -> PacketView<'_> {
        PacketView { octets: self.as_bytes() }
    }

    /// The bits of the packet with a preamble of `preamble` ones, start bits and end bit.
    pub fn bits(&self, preamble: u8) -> Bits<'_> {
        self.view().bits(preamble)
    }

    /// The half-bit lengths of the packet in µs.
    pub fn half_bits(&self, preamble: u8, timing: SenderTiming) -> HalfBits<'_> {
        self.view().half_bits(preamble, timing)
    }

    /// How long the packet occupies the rail.
    pub fn duration(&self, preamble: u8, timing: SenderTiming) -> Microseconds {
        self.view().duration(preamble, timing)
    }

    /// Writes the octets to the start of a buffer and tells how many they are.
    ///
    /// # Errors
    /// [`PacketError::BufferTooSmall`]; the buffer is untouched then.
    pub fn emit(&self, buffer: &mut [u8]) -> Result<usize, PacketError> {
        let octets = self.as_bytes();
        let Some(target) = buffer.get_mut(..octets.len()) else {
            return Err(PacketError::BufferTooSmall { needed: octets.len(), got: buffer.len() });
        };
        target.copy_from_slice(octets);
        Ok(octets.len())
    }
}

impl PartialEq for Packet {
    fn eq(&self, other: &Self) -> bool {
        self.as_bytes() == other.as_bytes()
    }
}

impl Eq for Packet {}

impl fmt::Debug for Packet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Packet({self})")
    }
}

impl fmt::Display for Packet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.view(), f)
    }
}

/// Octets whose length and check octet have been verified.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct PacketView<'a> {
    octets: &'a [u8],
}

impl<'a> PacketView<'a> {
    /// Verifies length and check octet.
    ///
    /// # Errors
    /// [`PacketError::TooShort`], [`PacketError::TooLong`], [`PacketError::Check`].
    pub fn new(octets: &'a [u8]) -> Result<Self, PacketError> {
        check_length(octets.len())?;
        let (found, payload) = match octets {
            [payload @ .., found] => (*found, payload),
            [] => return Err(PacketError::TooShort { got: 0 }),
        };
        let expected = xor(payload);
        if found != expected {
            return Err(PacketError::Check { octet: octets.len(), found, expected });
        }
        Ok(Self { octets })
    }

    /// All octets, check octet last.
    pub fn as_bytes(self) -> &'a [u8] {
        self.octets
    }

    /// The octets without the check octet: at least two.
    pub fn payload(self) -> &'a [u8] {
        &self.octets[..self.octets.len() - 1]
    }

    /// The first octet, which says whom the packet is for.
    pub fn first(self) -> u8 {
        self.octets[0]
    }

    /// The check octet.
    pub fn check(self) -> u8 {
        self.octets[self.octets.len() - 1]
    }

    /// Whether this is the reset packet for all decoders (S-9.2 §B).
    pub fn is_reset(self) -> bool {
        self.octets == [0, 0, 0]
    }

    /// Whether this is the idle packet (S-9.2 §B).
    pub fn is_idle(self) -> bool {
        self.octets == [0xFF, 0x00, 0xFF]
    }

    /// Whether the packet carries the CRC-8 that longer packets to addresses 253 and 254 carry before the check
    /// octet, and whether it is right.
    ///
    /// RCN-218 §1.4 a wants it from six octets upward, its glossary above six, and neither is clear on what it counts.
    /// So a payload of six octets may have it or not: it is [`CrcStatus::Right`] or else [`CrcStatus::Absent`]. From seven
    /// on it must be there.
    pub fn crc_status(self) -> CrcStatus {
        let payload = self.payload();
        if !matches!(self.first(), 253 | 254) || payload.len() < CRC_MAYBE {
            return CrcStatus::Absent;
        }
        match crc8(payload) {
            0 => CrcStatus::Right,
            _ if payload.len() == CRC_MAYBE => CrcStatus::Absent,
            _ => CrcStatus::Wrong,
        }
    }

    /// A copy that owns its octets.
    pub fn to_packet(self) -> Packet {
        let mut builder = Builder::new();
        builder.extend(self.payload());
        builder.finish()
    }

    /// The bits of the packet with a preamble of `preamble` ones, start bits and end bit (S-9.2 §A).
    pub fn bits(self, preamble: u8) -> Bits<'a> {
        Bits::new(self.octets, preamble)
    }

    /// The half-bit lengths of the packet in µs.
    pub fn half_bits(self, preamble: u8, timing: SenderTiming) -> HalfBits<'a> {
        HalfBits::new(self.octets, preamble, timing)
    }

    /// How long the packet occupies the rail: the sum of its half-bit times.
    pub fn duration(self, preamble: u8, timing: SenderTiming) -> Microseconds {
        let ones: u32 = self.octets.iter().map(|octet| octet.count_ones()).sum();
        let zeros: u32 = self.octets.iter().map(|octet| octet.count_zeros() + 1).sum();
        let ones = ones + u32::from(preamble) + 1;
        let whole = |halves: [u32; 2]| Microseconds::from_micros(u64::from(halves[0] + halves[1]));
        // The packet start bit is one of the zeros, but may have halves of its own.
        whole(timing.halves(true)) * ones
            + whole(timing.halves(false)) * (zeros - 1)
            + whole(timing.start_bit_halves())
    }
}

impl fmt::Debug for PacketView<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PacketView({self})")
    }
}

impl fmt::Display for PacketView<'_> {
    /// Hexadecimal octets with spaces between them: `03 3F B3 8F`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (idx, octet) in self.octets.iter().enumerate() {
            if idx > 0 {
                f.write_str(" ")?;
            }
            write!(f, "{octet:02X}")?;
        }
        Ok(())
    }
}

/// What is known about the CRC-8 of a packet (RCN-218 §1.4).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CrcStatus {
    /// A packet of this address or length carries none.
    Absent,
    /// It is there and right.
    Right,
    /// It should be there and is not right.
    Wrong,
}

/// Exclusive or of all octets: the check octet of a payload, zero for a whole packet (S-9.2 §B).
pub(crate) fn xor(octets: &[u8]) -> u8 {
    octets.iter().fold(0, |sum, octet| sum ^ octet)
}

fn check_length(len: usize) -> Result<(), PacketError> {
    if len < PACKET_LEAST {
        Err(PacketError::TooShort { got: len })
    } else if len > PACKET_MOST {
        Err(PacketError::TooLong { got: len })
    } else {
        Ok(())
    }
}

/// Collects a payload of at most 31 octets. The instruction encoders that use it stay far below that.
pub(crate) struct Builder {
    octets: [u8; PACKET_MOST],
    len: u8,
}

impl Builder {
    pub(crate) const fn new() -> Self {
        Self { octets: [0; PACKET_MOST], len: 0 }
    }

    pub(crate) fn push(&mut self, octet: u8) {
        debug_assert!(usize::from(self.len) < PACKET_MOST - 1, "no instruction is that long");
        self.octets[usize::from(self.len)] = octet;
        self.len += 1;
    }

    pub(crate) fn extend(&mut self, octets: &[u8]) {
        for octet in octets {
            self.push(*octet);
        }
    }

    /// Room left for payload octets.
    pub(crate) fn room(&self) -> usize {
        PACKET_MOST - 1 - usize::from(self.len)
    }

    pub(crate) fn payload(&self) -> &[u8] {
        &self.octets[..usize::from(self.len)]
    }

    pub(crate) fn finish(mut self) -> Packet {
        self.octets[usize::from(self.len)] = xor(self.payload());
        Packet { octets: self.octets, len: self.len + 1 }
    }
}

/// Why octets are not a packet, or a packet could not be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PacketError {
    /// Fewer than three octets.
    TooShort {
        /// Number of octets, check octet included.
        got: usize,
    },
    /// More than 32 octets.
    TooLong {
        /// Number of octets, check octet included.
        got: usize,
    },
    /// The check octet is not the exclusive or of the octets before it.
    Check {
        /// Place of the check octet, counted from 1.
        octet: usize,
        /// What stands there.
        found: u8,
        /// What should stand there.
        expected: u8,
    },
    /// The buffer given to `emit` cannot hold the packet.
    BufferTooSmall {
        /// Octets of the packet.
        needed: usize,
        /// Octets of the buffer.
        got: usize,
    },
}

impl fmt::Display for PacketError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::TooShort { got } => {
                write!(f, "packet of {got} octets is too short: at least {PACKET_LEAST} with the check octet")
            }
            Self::TooLong { got } => {
                write!(f, "packet of {got} octets is too long: at most {PACKET_MOST} with the check octet")
            }
            Self::Check { octet, found, expected } => {
                write!(f, "check octet (octet {octet}) is {found:02X}, expected {expected:02X}")
            }
            Self::BufferTooSmall { needed, got } => {
                write!(f, "packet of {needed} octets does not fit into a buffer of {got}")
            }
        }
    }
}

impl core::error::Error for PacketError {}

#[cfg(test)]
mod tests;
