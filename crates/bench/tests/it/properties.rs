//! What holds for any half bits, any dirt and any memory.

use bench::{Layout, Locomotive};
use dcc::timing::SenderTiming;
use dcc::{PREAMBLE_OPERATIONS, Packet};
use proptest::prelude::*;
use track::{Rails, SAMPLE_MICROSECONDS};

use crate::hand::{Hand, acknowledged, locomotive, number, short};

const DIRTY: &str = "[pickup]\nwrong-half-bits = \"3 %\"\nlosses-per-minute = 900\nloss = \"30 ms\"\ncurrent-noise = \"5 mA\"\n\
                     [keep-alive]\npart = \"ka-330-low\"\nmasks = \"50 %\"\n";

fn state(locomotive: &Locomotive) -> (Vec<(datasheets::CvPlace, u8)>, bench::Observation) {
    (locomotive.memory(), locomotive.observe())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_half_bits_are_driven_and_sampled(
        half_bits in proptest::collection::vec(prop_oneof![Just(58_u32), Just(100), 0_u32..20_000], 0..600),
        is_dirty: bool, seed: u64,
    ) {
        let more = if is_dirty { DIRTY } else { "" };
        let text = format!("truth.title = \"any\"\ndecoder.part = \"demo-8-paged\"\nmotor.resistance = \"24 ohm\"\n{more}");
        let mut driven = Locomotive::new(&crate::hand::truth(&text), crate::hand::shelf(), seed).unwrap();
        driven.set_power(true);
        let mut samples = Vec::new();
        for part in half_bits.chunks(97) {
            driven.drive(part, &mut samples);
        }
        let whole: u64 = half_bits.iter().map(|half_bit| u64::from(*half_bit)).sum();
        prop_assert_eq!(samples.len() as u64, whole / u64::from(SAMPLE_MICROSECONDS));
        prop_assert!(samples.iter().all(|sample| (0.0..=bench::SUPPLY_LIMIT_MILLIAMPERES).contains(sample)));
        prop_assert_eq!(driven.elapsed_microseconds(), whole);
    }

    #[test]
    fn any_valid_packets_are_heard_without_harm(
        payloads in proptest::collection::vec(proptest::collection::vec(any::<u8>(), 2..7), 1..30), decoder in 0_usize..3,
    ) {
        let decoder = ["demo-8-paged", "demo-21-sound", "standard"][decoder];
        let mut hand = Hand::on(locomotive(decoder, ""));
        let count = hand.rails.memory().len();
        for payload in &payloads {
            let packet = Packet::from_payload(payload).unwrap();
            hand.send_service(&packet, 2);
        }
        hand.idle(30);
        prop_assert_eq!(hand.rails.memory().len(), count, "CVs come and go with the sheet only");
        let speed = hand.rails.observe().speed;
        prop_assert!((0.0..=1.0).contains(&speed));
    }

    #[test]
    fn a_packet_with_one_wrong_bit_changes_nothing(which in 0_usize..4, bit in 0_usize..40, cv in 1_u16..30, value: u8) {
        let address = short(3);
        let command = match which {
            0 => dcc::Command::Cv(dcc::CvAccess::write(number(cv), value)),
            1 => dcc::Command::Consist(dcc::ConsistControl::LEAVE),
            2 => dcc::Command::Functions(dcc::GroupStates::from_bits(dcc::FunctionGroup::F0ToF4, value | 1)),
            _ => dcc::Command::Speed126 { direction: dcc::Direction::Reverse, speed: dcc::Speed126::step(100).unwrap() },
        };
        let octets = dcc::Instruction::for_decoder(address, command).to_packet();
        let mut bits: Vec<bool> = octets.bits(PREAMBLE_OPERATIONS).collect();
        // Any bit of octets, of their start bits and of the end bit; the preamble may lose one.
        let place = usize::from(PREAMBLE_OPERATIONS) + bit % (bits.len() - usize::from(PREAMBLE_OPERATIONS));
        bits[place] = !bits[place];
        let half_bits: Vec<u32> = bits.iter().flat_map(|bit| SenderTiming::NOMINAL.halves(*bit)).collect();
        let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV19 = 0\n"));
        hand.idle(20);
        let before = state(&hand.rails);
        for _ in 0..2 {
            hand.rails.drive(&half_bits, &mut hand.samples);
            hand.idle(20);
        }
        prop_assert_eq!(state(&hand.rails), before);
    }

    #[test]
    fn dirt_never_forges_a_value(seed: u64, value: u8) {
        // Half of the packets are spoilt; the check octet keeps each of them from being taken for another.
        let text = "truth.title = \"dirt\"\ndecoder.part = \"demo-21-sound\"\nmotor.resistance = \"24 ohm\"\n\
                    pickup.wrong-half-bits = \"0.7 %\"\n";
        let mut hand = Hand::on(Locomotive::new(&crate::hand::truth(text), crate::hand::shelf(), seed).unwrap());
        hand.write(3, value);
        let memory = hand.rails.memory();
        let found = memory.iter().find(|(place, _)| place.cv == 3).unwrap().1;
        prop_assert!(found == value || found == 6, "{found}");
    }

    #[test]
    fn a_write_is_confirmed_or_refused_as_a_whole(cv in 1_u16..=106, value: u8) {
        prop_assume!(cv != 8 && cv != 15 && cv != 16);
        let mut hand = Hand::on(locomotive("demo-21-sound", ""));
        let before = hand.read(cv);
        let is_acknowledged = hand.write(cv, value);
        let after = hand.read(cv);
        if is_acknowledged {
            let mask_keeps = after.is_some_and(|after| after & !value == 0);
            prop_assert!(mask_keeps, "CV{} = {:?} after {}", cv, after, value);
        } else {
            prop_assert_eq!(after, before);
        }
    }

    #[test]
    fn a_layout_draws_what_its_locomotives_draw(n_packets in 1_usize..20, wait in 0_u64..3000) {
        let alone = |decoder| {
            let mut hand = Hand::on(locomotive(decoder, ""));
            hand.rails.wait(wait);
            hand.samples.clear();
            hand.send_service(&Packet::IDLE, n_packets);
            hand.samples
        };
        let (first, second) = (alone("standard"), alone("demo-8-paged"));
        let mut both = Hand::on(Layout::new(vec![locomotive("standard", ""), locomotive("demo-8-paged", "")]));
        both.rails.wait(wait);
        both.samples.clear();
        both.send_service(&Packet::IDLE, n_packets);
        prop_assert_eq!(both.samples.len(), first.len());
        for (sum, (one, other)) in both.samples.iter().zip(first.iter().zip(&second)) {
            prop_assert!((sum - one - other).abs() < 1e-3);
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_samples() {
    let samples = |seed| {
        let text = format!(
            "truth.title = \"any\"\ndecoder.part = \"demo-21-sound\"\nmotor.resistance = \"24 ohm\"\n{DIRTY}"
        );
        let mut hand =
            Hand::on(Locomotive::new(&crate::hand::truth(&text), crate::hand::shelf(), seed).unwrap());
        hand.verify(8, 13);
        hand.samples
    };
    assert_eq!(samples(5), samples(5));
    assert_ne!(samples(5), samples(6));
    assert!(!acknowledged(&[]));
}
