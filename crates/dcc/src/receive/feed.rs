//! Half-bit times to packets, many at a time.
//!
//! What it is: the way of [`PacketReceiver::half_bit`] again, for slices. Within an octet and within a preamble the
//! halves are judged without any branch that hangs on the data, which is what costs time; everything else, and every
//! fault, goes the plain way. Both ways tell the same, which the tests hold.
//! What it is not: another receiver; the two ways can be mixed.
//!
//! Source: as [`super`].

use super::{Event, PacketReceiver};
use crate::timing::HalfBitLimits;

/// Halves of an octet and of the bit that follows it.
const OCTET_HALVES: usize = 18;
/// Halves of a preamble that are taken at once.
const PREAMBLE_HALVES: usize = 8;

impl PacketReceiver {
    /// Takes many half-bit lengths, µs, and tells everything that is heard, in order.
    ///
    /// ```
    /// use dcc::{Event, Packet, PacketReceiver, PREAMBLE_OPERATIONS, timing::SenderTiming};
    /// let halves = Packet::IDLE.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL);
    /// let capture: Vec<u16> = halves.map(|half| half as u16).collect();
    /// let mut heard = 0;
    /// PacketReceiver::new().feed(&capture, |event| heard += usize::from(matches!(event, Event::Packet(_))));
    /// assert_eq!(heard, 1);
    /// ```
    pub fn feed(&mut self, halves: &[u16], mut tell: impl FnMut(Event<'_>)) {
        let limits = *self.bits.limits();
        // The quick judgement takes the windows to be whole and apart, which somebody's own limits need not be.
        let are_windows_apart = limits.one_least <= limits.one_most
            && limits.one_most < limits.zero_least
            && limits.zero_least <= limits.zero_most;
        let mut rest = halves;
        while let Some((&half, after)) = rest.split_first() {
            if are_windows_apart && self.bits.is_between_bits() {
                if self.framer.awaits_octet() {
                    if let Some((octet, after)) = rest.split_first_chunk::<OCTET_HALVES>()
                        && let Some(bits) = judge(octet, limits)
                    {
                        let [_, octet] = (bits >> 1).to_be_bytes();
                        if let Some(event) = self.framer.octet_and_delimiter(octet, bits & 1 == 1) {
                            tell(event.into());
                        }
                        rest = after;
                        continue;
                    }
                } else if !self.framer.is_in_packet()
                    && let Some((ones, after)) = rest.split_first_chunk::<PREAMBLE_HALVES>()
                    && judge(ones, limits) == Some(ALL_ONES)
                {
                    self.framer.four_ones();
                    rest = after;
                    continue;
                }
            }
            if let Some(event) = self.half_bit(u32::from(half)) {
                tell(event);
            }
            rest = after;
        }
    }
}

/// What [`judge`] makes of four ones.
const ALL_ONES: u16 = 0b1111;

/// The bits of so many halves, the first bit highest, or `None` when any of them is bad. Beside the last decision no
/// branch hangs on the halves.
#[inline]
fn judge<const HALVES: usize>(halves: &[u16; HALVES], limits: HalfBitLimits) -> Option<u16> {
    let one_span = limits.one_most.wrapping_sub(limits.one_least);
    let zero_span = limits.zero_most.wrapping_sub(limits.zero_least);
    let is_half_of_one = |half: u16| half.wrapping_sub(limits.one_least) <= one_span;
    let is_half_of_zero = |half: u16| half.wrapping_sub(limits.zero_least) <= zero_span;
    let mut bits = 0_u16;
    let mut are_good = true;
    let (pairs, _) = halves.as_chunks::<2>();
    for [first, second] in pairs {
        let is_equal = first.abs_diff(*second) <= limits.one_difference_most;
        let is_one = is_half_of_one(*first) & is_half_of_one(*second) & is_equal;
        let is_zero = is_half_of_zero(*first) & is_half_of_zero(*second);
        are_good &= is_one | is_zero;
        bits = bits << 1 | u16::from(is_one);
    }
    are_good.then_some(bits)
}
