//! The ear: from half bits to packets, quickly.
//!
//! What it is: the receiver of the dcc room with a short memory. Tracks repeat themselves: resets and instructions come in rows,
//! idle packets fill every gap. Half bits that are the same as those of a packet heard before, and that begin like those right
//! after a packet, make the same packet again and leave the receiver as it was, so that they need not be decoded again.
//! What it is not: a shortcut for dirty rails; spoilt half bits are decoded one by one.

use dcc::{Event, Packet, PacketReceiver};

/// Packets that are remembered; an operation on the programming track has three kinds of them.
const REMEMBERED: usize = 4;

/// A packet with the half bits that it came in.
#[derive(Debug, Clone)]
struct Known {
    half_bits: Vec<u32>,
    microseconds: u64,
    packet: Packet,
}

/// The receiver and what it remembers.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ear {
    receiver: PacketReceiver,
    /// Whether the last half bit completed a packet: the state from which all remembered packets began.
    is_after_packet: bool,
    known: Vec<Known>,
    /// The place of the oldest of them.
    oldest: usize,
}

/// What came of half bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Taken {
    /// How many half bits were taken: all of them, or as many as completed a packet.
    pub(crate) count: usize,
    /// How long they lasted together.
    pub(crate) microseconds: u64,
    /// The packet that the last of them completed.
    pub(crate) packet: Option<Packet>,
}

impl Ear {
    /// Hears nothing more of what has begun: the signal was interrupted.
    pub(crate) fn lose_track(&mut self) {
        self.receiver = PacketReceiver::new();
        self.is_after_packet = false;
    }

    /// Takes one half bit.
    pub(crate) fn half_bit(&mut self, half_bit: u32) -> Option<Packet> {
        let packet = match self.receiver.half_bit(half_bit) {
            Some(Event::Packet(packet)) => Some(packet.to_packet()),
            _ => None,
        };
        self.is_after_packet = packet.is_some();
        packet
    }

    /// Takes half bits up to the end of the next packet.
    pub(crate) fn take(&mut self, half_bits: &[u32]) -> Taken {
        if self.is_after_packet
            && let Some(known) = self.known.iter().find(|known| half_bits.starts_with(&known.half_bits))
        {
            let Known { half_bits, microseconds, packet } = known;
            return Taken { count: half_bits.len(), microseconds: *microseconds, packet: Some(*packet) };
        }
        let began_after_packet = self.is_after_packet;
        let mut microseconds = 0;
        for (index, &half_bit) in half_bits.iter().enumerate() {
            microseconds += u64::from(half_bit);
            if let Some(packet) = self.half_bit(half_bit) {
                let count = index + 1;
                if began_after_packet {
                    self.remember(Known { half_bits: half_bits[..count].to_vec(), microseconds, packet });
                }
                return Taken { count, microseconds, packet: Some(packet) };
            }
        }
        Taken { count: half_bits.len(), microseconds, packet: None }
    }

    fn remember(&mut self, known: Known) {
        match self.known.get_mut(self.oldest) {
            Some(oldest) => *oldest = known,
            None => self.known.push(known),
        }
        self.oldest = (self.oldest + 1) % REMEMBERED;
    }
}

#[cfg(test)]
mod tests {
    use dcc::timing::SenderTiming;
    use dcc::{Event, Packet, PacketReceiver};
    use proptest::prelude::*;

    use super::Ear;

    /// Half bits of a few packets that repeat, with something odd between some of them.
    fn signal(choices: &[(u8, u8, u32)]) -> Vec<u32> {
        let mut half_bits = Vec::new();
        for (kind, preamble, odd) in choices {
            let packet = match kind % 3 {
                0 => Packet::IDLE,
                1 => Packet::RESET,
                _ => Packet::from_payload(&[0x74, 7, *kind]).unwrap(),
            };
            half_bits.extend(packet.half_bits(*preamble, SenderTiming::NOMINAL));
            if *odd > 0 {
                half_bits.push(*odd);
            }
        }
        half_bits
    }

    proptest! {
        #[test]
        fn what_is_remembered_is_what_would_be_decoded(
            choices in proptest::collection::vec((0_u8..6, 8_u8..22, prop_oneof![5 => Just(0_u32), 1 => 1_u32..300]), 1..40),
            part in 1_usize..300,
        ) {
            let half_bits = signal(&choices);
            let mut receiver = PacketReceiver::new();
            let mut expected = Vec::new();
            for (index, half_bit) in half_bits.iter().enumerate() {
                if let Some(Event::Packet(packet)) = receiver.half_bit(*half_bit) {
                    expected.push((index + 1, packet.to_packet()));
                }
            }
            let mut ear = Ear::default();
            let mut found = Vec::new();
            let (mut count, mut microseconds) = (0, 0);
            for part in half_bits.chunks(part) {
                let mut rest = part;
                while !rest.is_empty() {
                    let taken = ear.take(rest);
                    rest = &rest[taken.count..];
                    count += taken.count;
                    microseconds += taken.microseconds;
                    found.extend(taken.packet.map(|packet| (count, packet)));
                }
            }
            prop_assert_eq!(found, expected);
            prop_assert_eq!(microseconds, half_bits.iter().map(|half_bit| u64::from(*half_bit)).sum::<u64>());
        }
    }
}
