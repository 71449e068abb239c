//! From octets to bits, and from bits to the lengths of half-bits.
//!
//! What it is: the frame of S-9.2 §A, `preamble, 0, octet, (0, octet)…, 1`, as iterators.
//! What it is not: a waveform; which rail is positive during which half is the caller's (RCN-210 §2.3: the right rail
//! is positive during the first half of the "positive" phase, and a decoder must not care).
//!
//! Source: NMRA S-9.2 §A; NEM 671 §3; S-9.2.3 §E; RCN-211 (digest), as quoted in RCN-217 §2.4.

use crate::timing::SenderTiming;

/// Ones to send before an operations-mode packet: 16, which makes 17 with the end bit of the packet before.
/// S-9.2 §A asks for 14, NEM 671 §3 for 16, RCN-211 (digest) for 17 counting that end bit; this satisfies all three.
pub const PREAMBLE_OPERATIONS: u8 = 16;
/// The fewest ones S-9.2 §A allows before an operations-mode packet.
pub const PREAMBLE_OPERATIONS_LEAST: u8 = 14;
/// Ones of the long preamble of service mode, at least (S-9.2.3 §E).
pub const PREAMBLE_SERVICE: u8 = 20;
/// A receiver must accept a preamble of this many ones (S-9.2 §A; NEM 671 §3).
pub const PREAMBLE_RECEIVER_ACCEPTS: u8 = 12;
/// A receiver must not accept a preamble of fewer ones than this (S-9.2 §A; NEM 671 §3).
pub const PREAMBLE_RECEIVER_LEAST: u8 = 10;

/// The bits of one packet, `true` for "1".
#[derive(Clone, Debug)]
pub struct Bits<'a> {
    octets: &'a [u8],
    preamble: usize,
    position: usize,
}

impl<'a> Bits<'a> {
    pub(crate) const fn new(octets: &'a [u8], preamble: u8) -> Self {
        Self { octets, preamble: preamble as usize, position: 0 }
    }

    /// Preamble, nine bits for each octet with its start bit, and the end bit.
    fn total(&self) -> usize {
        self.preamble + 9 * self.octets.len() + 1
    }

    fn is_start_bit_next(&self) -> bool {
        self.position == self.preamble
    }
}

impl Iterator for Bits<'_> {
    type Item = bool;

    fn next(&mut self) -> Option<bool> {
        if self.position >= self.total() {
            return None;
        }
        let position = self.position;
        self.position += 1;
        let Some(in_frame) = position.checked_sub(self.preamble) else {
            return Some(true);
        };
        let Some(octet) = self.octets.get(in_frame / 9) else {
            return Some(true); // The packet end bit.
        };
        Some(match in_frame % 9 {
            0 => false, // The packet start bit or a data octet start bit.
            place => octet >> (8 - place) & 1 == 1,
        })
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let left = self.total() - self.position;
        (left, Some(left))
    }
}

impl ExactSizeIterator for Bits<'_> {}

/// The lengths of the half-bits of one packet, µs, in the order in which they appear on the rail.
#[derive(Clone, Debug)]
pub struct HalfBits<'a> {
    bits: Bits<'a>,
    timing: SenderTiming,
    second_half: Option<u32>,
}

impl<'a> HalfBits<'a> {
    pub(crate) const fn new(octets: &'a [u8], preamble: u8, timing: SenderTiming) -> Self {
        Self { bits: Bits::new(octets, preamble), timing, second_half: None }
    }
}

impl Iterator for HalfBits<'_> {
    type Item = u32;

    fn next(&mut self) -> Option<u32> {
        if let Some(second) = self.second_half.take() {
            return Some(second);
        }
        let is_start_bit = self.bits.is_start_bit_next();
        let bit = self.bits.next()?;
        let [first, second] =
            if is_start_bit { self.timing.start_bit_halves() } else { self.timing.halves(bit) };
        self.second_half = Some(second);
        Some(first)
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let left = 2 * self.bits.len() + usize::from(self.second_half.is_some());
        (left, Some(left))
    }
}

impl ExactSizeIterator for HalfBits<'_> {}
