//! Tests of [`super`].

use proptest::prelude::*;
use std::vec::Vec;

use super::*;
use crate::instruction::{Commands, Instruction};
use crate::packet::{PACKET_MOST, Packet, PacketError};
use crate::service::ServiceInstruction;
use crate::timing::{HalfBitLimits, SenderTiming, TimingError};

/// What a receiver hears, with packets and errors by value.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Heard {
    Packet(Packet),
    Rejected(PacketError, Vec<u8>),
    Violation(TimingError, bool),
}

fn own(event: Event<'_>) -> Heard {
    match event {
        Event::Packet(view) => Heard::Packet(view.to_packet()),
        Event::Rejected { error, octets } => Heard::Rejected(error, octets.to_vec()),
        Event::Violation { error, is_in_packet } => Heard::Violation(error, is_in_packet),
    }
}

fn hear(receiver: &mut PacketReceiver, halves: impl IntoIterator<Item = u32>) -> Vec<Heard> {
    halves.into_iter().filter_map(|half| receiver.half_bit(half).map(own)).collect()
}

fn packets(heard: &[Heard]) -> Vec<Packet> {
    heard
        .iter()
        .filter_map(|heard| match heard {
            Heard::Packet(packet) => Some(*packet),
            _ => None,
        })
        .collect()
}

fn packet() -> impl Strategy<Value = Packet> {
    proptest::collection::vec(any::<u8>(), 2..PACKET_MOST)
        .prop_map(|payload| Packet::from_payload(&payload).expect("of legal length"))
}

/// The half-bits of a packet as a decoder may receive them: ones within their window and 6 µs of one another, zeros
/// stretched at will.
fn received(packet: Packet, preamble: u8) -> impl Strategy<Value = Vec<u32>> {
    let bits: Vec<bool> = packet.bits(preamble).collect();
    bits.into_iter()
        .map(|bit| {
            if bit {
                (52_u32..=58, 0_u32..=6).prop_map(|(half, more)| std::vec![half, half + more]).boxed()
            } else {
                (90_u32..=10_000, 90_u32..=10_000)
                    .prop_map(|(first, second)| std::vec![first, second])
                    .boxed()
            }
        })
        .collect::<Vec<_>>()
        .prop_map(|halves| halves.concat())
}

fn any_half() -> impl Strategy<Value = u32> {
    prop_oneof![4 => 50_u32..=66, 4 => 85_u32..=130, 1 => any::<u32>(), 1 => 9_990_u32..=10_010]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn what_is_sent_is_heard(packet in packet(), preamble in 12_u8..30, odd_half in prop::option::of(52_u32..=58)) {
        let mut receiver = PacketReceiver::new();
        let halves = odd_half.into_iter().chain(packet.half_bits(preamble, SenderTiming::NOMINAL));
        prop_assert_eq!(hear(&mut receiver, halves), [Heard::Packet(packet)]);
    }

    #[test]
    fn every_legal_distortion_is_tolerated(
        (packet, halves) in (packet(), 12_u8..20).prop_flat_map(|(packet, preamble)| (Just(packet), received(packet, preamble)))
    ) {
        let mut receiver = PacketReceiver::new();
        prop_assert_eq!(packets(&hear(&mut receiver, halves)), [packet]);
    }

    #[test]
    fn after_any_noise_the_second_copy_is_heard_at_the_latest(
        noise in proptest::collection::vec(any_half(), 0..300),
        packet in packet(),
    ) {
        let mut receiver = PacketReceiver::new();
        let before = packets(&hear(&mut receiver, noise)).len();
        let first = packets(&hear(&mut receiver, packet.half_bits(16, SenderTiming::NOMINAL)));
        // The first copy can be lost only when the noise ended in the middle of something that passed for a packet.
        if first.len() == 1 && before == 0 {
            prop_assert_eq!(first.last(), Some(&packet));
        }
        let second = packets(&hear(&mut receiver, packet.half_bits(16, SenderTiming::NOMINAL)));
        prop_assert_eq!(second, [packet]);
    }

    #[test]
    fn a_flipped_bit_hides_the_packet(packet in packet(), place in any::<prop::sample::Index>()) {
        let mut bits: Vec<bool> = packet.bits(16).collect();
        let frame = bits.len() - 16;
        let place = 16 + place.index(frame);
        bits[place] = !bits[place];
        let mut framer = Framer::new();
        for bit in bits {
            if let Some(FrameEvent::Packet(heard)) = framer.bit(bit) {
                prop_assert_ne!(heard.to_packet(), packet, "bit {} of the frame", place);
            }
        }
    }

    #[test]
    fn a_wrong_half_within_a_packet_is_a_violation(packet in packet(), place in any::<prop::sample::Index>(), bad in 65_u32..90) {
        let mut halves: Vec<u32> = packet.half_bits(16, SenderTiming::NOMINAL).collect();
        // From the second half of the start bit on the receiver knows that it is within a packet.
        let first = 2 * 17;
        let place = first + place.index(halves.len() - first);
        halves[place] = bad;
        let heard = hear(&mut PacketReceiver::new(), halves);
        prop_assert_eq!(&heard[0], &Heard::Violation(TimingError::HalfOutOfRange { half_us: bad }, true));
        prop_assert!(packets(&heard).iter().all(|heard| *heard != packet));
    }

    #[test]
    fn many_at_a_time_are_heard_as_one_by_one(
        parts in proptest::collection::vec(prop_oneof![
            3 => (packet(), 9_u8..20).prop_flat_map(|(packet, preamble)| received(packet, preamble)),
            2 => (packet(), 9_u8..20).prop_map(|(packet, preamble)| packet.half_bits(preamble, SenderTiming::NOMINAL).collect()),
            2 => proptest::collection::vec(any_half(), 0..40),
            1 => proptest::collection::vec(52_u32..=64, 0..60),
        ], 0..6),
        broken in any::<prop::sample::Index>(),
        cut in any::<prop::sample::Index>(),
        limits in prop::sample::select(std::vec![
            HalfBitLimits::DECODER,
            HalfBitLimits::TRACK,
            HalfBitLimits { one_most: 100, zero_least: 90, ..HalfBitLimits::DECODER },
            HalfBitLimits { one_most: 40, ..HalfBitLimits::DECODER },
        ]),
    ) {
        let mut halves: Vec<u16> = parts.concat().into_iter().map(|half| u16::try_from(half).unwrap_or(u16::MAX)).collect();
        if !halves.is_empty() {
            let place = broken.index(halves.len());
            halves[place] ^= 0x20;
        }
        let expected = hear(&mut PacketReceiver::with_limits(limits), halves.iter().copied().map(u32::from));
        let mut receiver = PacketReceiver::with_limits(limits);
        let mut heard = Vec::new();
        let (before, after) = halves.split_at(cut.index(halves.len() + 1));
        receiver.feed(before, |event| heard.push(own(event)));
        receiver.feed(after, |event| heard.push(own(event)));
        prop_assert_eq!(heard, expected);
    }

    #[test]
    fn any_bytes_taken_for_half_bits_are_survived(bytes in proptest::collection::vec(any::<u8>(), 0..2_000)) {
        fuzz_half_bits(&bytes);
    }

    #[test]
    fn any_plausible_half_bits_are_survived(halves in proptest::collection::vec(50_u16..=120, 0..2_000)) {
        let bytes: Vec<u8> = halves.iter().flat_map(|half| half.to_le_bytes()).collect();
        fuzz_half_bits(&bytes);
    }

    #[test]
    fn any_bits_are_survived(bits in proptest::collection::vec(prop_oneof![3 => Just(true), 2 => Just(false)], 0..4_000)) {
        let mut framer = Framer::new();
        for bit in bits {
            if let Some(FrameEvent::Packet(view)) = framer.bit(bit) {
                fuzz_packet(view.as_bytes());
            }
        }
    }

    #[test]
    fn any_octets_are_survived(octets in proptest::collection::vec(any::<u8>(), 0..40)) {
        fuzz_packet(&octets);
        if let Ok(packet) = Packet::from_payload(&octets) {
            fuzz_packet(packet.as_bytes());
        }
    }
}

/// Body of a fuzz target: little-endian half-bit times of sixteen bits.
fn fuzz_half_bits(bytes: &[u8]) {
    let mut receiver = PacketReceiver::new();
    for half in bytes.chunks_exact(2) {
        let half = u16::from_le_bytes([half[0], half[1]]);
        if let Some(Event::Packet(view)) = receiver.half_bit(u32::from(half)) {
            fuzz_packet(view.as_bytes());
        }
    }
}

/// Body of a fuzz target: octets that may be a packet. What parses must say the same octets again.
fn fuzz_packet(octets: &[u8]) {
    let Ok(view) = PacketView::new(octets) else { return };
    match Instruction::parse(&view) {
        Ok(instruction) => {
            assert_eq!(instruction.to_packet().as_bytes(), octets, "{instruction}");
            assert!(!std::format!("{instruction}").is_empty());
        }
        Err(error) => assert!(!std::format!("{error}").is_empty()),
    }
    match ServiceInstruction::parse(&view) {
        Ok(instruction) => assert_eq!(instruction.to_packet().as_bytes(), octets, "{instruction}"),
        Err(error) => assert!(!std::format!("{error}").is_empty()),
    }
    if let Ok(commands) = Commands::new(&view) {
        assert!(commands.count() <= octets.len());
    }
}

use crate::packet::PacketView;

#[test]
fn a_receiver_that_begins_in_the_middle_of_a_packet_hears_the_next() {
    let halves: Vec<u32> = Packet::RESET.half_bits(16, SenderTiming::NOMINAL).collect();
    let idle: Vec<u32> = Packet::IDLE.half_bits(16, SenderTiming::NOMINAL).collect();
    for start in 0..halves.len() {
        let mut receiver = PacketReceiver::new();
        let heard = hear(&mut receiver, halves[start..].iter().chain(&idle).copied());
        assert_eq!(packets(&heard).last(), Some(&Packet::IDLE), "begun {start} half-bits late");
    }
}

#[test]
fn nine_ones_are_no_preamble_even_after_a_packet_that_ends_in_ones() {
    let mut receiver = PacketReceiver::new();
    assert_eq!(
        packets(&hear(&mut receiver, Packet::IDLE.half_bits(16, SenderTiming::NOMINAL))),
        [Packet::IDLE]
    );
    // With the end bit of the idle packet these are nine ones.
    assert_eq!(hear(&mut receiver, Packet::RESET.half_bits(8, SenderTiming::NOMINAL)), []);
    assert_eq!(
        packets(&hear(&mut receiver, Packet::RESET.half_bits(14, SenderTiming::NOMINAL))),
        [Packet::RESET]
    );
}

#[test]
fn the_feedback_cutout_costs_no_packet() {
    // The cutout begins 29 µs after the end bit and lasts until 470 µs after it; five ones of the preamble are gone.
    let mut receiver = PacketReceiver::new();
    for _ in 0..3 {
        let preamble_and_packet: Vec<u32> = Packet::IDLE.half_bits(16, SenderTiming::NOMINAL).collect();
        let cutout = [29, 441, 110];
        let heard = hear(&mut receiver, cutout.into_iter().chain(preamble_and_packet[10..].iter().copied()));
        assert_eq!(packets(&heard), [Packet::IDLE]);
        assert!(heard.iter().all(|heard| !matches!(heard, Heard::Violation(_, true))), "{heard:?}");
    }
}

#[test]
fn a_one_with_unequal_halves_is_a_violation_and_a_zero_is_not() {
    let mut decoder = BitDecoder::default();
    assert_eq!((decoder.half_bit(52), decoder.half_bit(58)), (None, Some(BitEvent::Bit(true))));
    let unequal = TimingError::UnequalOne { first_us: 52, second_us: 59, most_us: 6 };
    assert_eq!((decoder.half_bit(52), decoder.half_bit(59)), (None, Some(BitEvent::Violation(unequal))));
    assert_eq!((decoder.half_bit(90), decoder.half_bit(9_000)), (None, Some(BitEvent::Bit(false))));
}

#[test]
fn after_a_rejected_frame_its_last_ones_count_towards_the_preamble() {
    use crate::bits::HalfBits;
    // The last octet FF, the end bit and one more are ten ones; with one less they are nine.
    let rejected = [0x00, 0x00, 0xFF];
    let almost = [0x00, 0x00, 0xFE ^ 0x80];
    for (octets, more, is_heard) in
        [(rejected, 1, true), (rejected, 0, false), (almost, 8, false), (almost, 9, true)]
    {
        let halves: Vec<u32> = HalfBits::new(&octets, 16, SenderTiming::NOMINAL)
            .chain(Packet::IDLE.half_bits(more, SenderTiming::NOMINAL))
            .collect();
        let expected = if is_heard { std::vec![Packet::IDLE] } else { std::vec![] };
        assert_eq!(
            packets(&hear(&mut PacketReceiver::new(), halves.clone())),
            expected,
            "{octets:?} and {more} ones"
        );
        let many: Vec<u16> = halves.into_iter().map(|half| u16::try_from(half).expect("short")).collect();
        let mut heard = Vec::new();
        PacketReceiver::new().feed(&many, |event| heard.push(own(event)));
        assert_eq!(packets(&heard), expected, "{octets:?} and {more} ones, many at a time");
    }
}

#[test]
fn a_frame_that_is_too_long_is_rejected_once() {
    let mut framer = Framer::new();
    let mut rejected = 0;
    let frame = std::iter::repeat_n(true, 16).chain((0..40 * 9).map(|place| place % 9 == 5));
    for bit in frame {
        if let Some(FrameEvent::Rejected { error, octets }) = framer.bit(bit) {
            assert_eq!((error, octets.len()), (PacketError::TooLong { got: 33 }, 32));
            rejected += 1;
        }
    }
    assert_eq!(rejected, 1);
}

#[test]
fn a_wrong_check_octet_is_told_with_the_octets() {
    let mut halves: Vec<u32> = Packet::IDLE.half_bits(16, SenderTiming::NOMINAL).collect();
    let last_bit_of_check = halves.len() - 4;
    halves[last_bit_of_check] = 100;
    halves[last_bit_of_check + 1] = 100;
    let error = PacketError::Check { octet: 3, found: 0xFE, expected: 0xFF };
    assert_eq!(
        hear(&mut PacketReceiver::new(), halves),
        [Heard::Rejected(error, std::vec![0xFF, 0x00, 0xFE])]
    );
}

#[test]
fn stricter_limits_find_a_command_station_out_of_tolerance() {
    let sloppy: Vec<u32> = Packet::IDLE
        .half_bits(16, SenderTiming::NOMINAL)
        .map(|half| if half == 58 { 62 } else { half })
        .collect();
    assert_eq!(
        packets(&hear(&mut PacketReceiver::new(), sloppy.clone())),
        [Packet::IDLE],
        "a decoder accepts it"
    );
    let mut strict = PacketReceiver::with_limits(HalfBitLimits::TRACK);
    assert_eq!(
        hear(&mut strict, sloppy).first(),
        Some(&Heard::Violation(TimingError::HalfOutOfRange { half_us: 62 }, false))
    );
}
