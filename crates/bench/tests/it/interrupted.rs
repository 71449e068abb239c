//! Work that is cut off: power lost at any moment, a process that ends and is taken up again.
//!
//! Source: S-9.2.3 §D (power must not be cut before the end of recovery); that a cut write leaves the old or the new value is
//! what this bench promises.

use bench::{Locomotive, RESET_PENDING};
use datasheets::CvPlace;
use dcc::service::{Operation, Options, Sequence, Step};
use dcc::timing::SenderTiming;
use dcc::{CvAccess, PREAMBLE_SERVICE, Packet};
use proptest::prelude::*;
use track::Rails;

use crate::hand::{Hand, locomotive, number, shelf, truth};

fn write_half_bits(cv: u16, value: u8) -> Vec<u32> {
    let operation = Operation::Direct(CvAccess::write(number(cv), value));
    let sequence = Sequence::new(operation, Options::default()).unwrap();
    let packets = sequence.steps().iter().flat_map(|step| match step {
        Step::Packets { packet, count, .. } => vec![*packet; usize::from(*count)],
        Step::PowerCycle => Vec::new(),
    });
    packets
        .flat_map(|packet| packet.half_bits(PREAMBLE_SERVICE, SenderTiming::NOMINAL).collect::<Vec<_>>())
        .collect()
}

#[test]
fn power_cut_after_any_number_of_packets_leaves_the_old_or_the_new_value() {
    let packet = |n_packets: usize| {
        let mut hand = Hand::on(locomotive("demo-21-sound", ""));
        hand.send_service(&Packet::RESET, 3);
        let write = dcc::service::ServiceInstruction::Direct(CvAccess::write(number(3), 200)).to_packet();
        hand.send_service(&write, n_packets);
        hand.power_cycle();
        hand.read(3)
    };
    let found: Vec<Option<u8>> = (0..6).map(packet).collect();
    assert_eq!(found, [Some(6), Some(6), Some(6), Some(200), Some(200), Some(200)]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn power_cut_at_any_half_bit_leaves_the_old_or_the_new_value(cut in 0_usize..1250) {
        let mut hand = Hand::on(locomotive("demo-21-sound", ""));
        let half_bits = write_half_bits(3, 200);
        hand.rails.drive(&half_bits[..cut.min(half_bits.len())], &mut hand.samples);
        hand.power_cycle();
        let found = hand.read(3);
        prop_assert!(found == Some(6) || found == Some(200), "{found:?}");
        prop_assert!(hand.write(3, 200) && hand.verify(3, 200), "and it can be written again");
    }

    #[test]
    fn the_cut_of_the_truth_comes_once_and_leaves_the_old_or_the_new_value(packet in 27_u16..45, seed: u64) {
        let text = format!(
            "truth.title = \"cut\"\ndecoder.part = \"demo-21-sound\"\nmotor.resistance = \"24 ohm\"\ncut.packet = {packet}\n"
        );
        let mut hand = Hand::on(Locomotive::new(&truth(&text), shelf(), seed).unwrap());
        hand.write(3, 200);
        hand.send_service(&Packet::RESET, 10);
        prop_assert!(!hand.rails.observe().is_alive, "the power is off until somebody puts it on");
        let heard = hand.rails.packets_heard();
        prop_assert!((u64::from(packet) - 1..=u64::from(packet)).contains(&heard), "{heard} packets");
        hand.power_cycle();
        let found = hand.read(3);
        prop_assert!(found == Some(6) || found == Some(200), "{found:?}");
        prop_assert!(hand.write(3, 99) && hand.verify(3, 99), "once");
    }

    #[test]
    fn a_memory_that_was_kept_makes_the_same_locomotive(writes in proptest::collection::vec((1_u16..=30, any::<u8>()), 1..6)) {
        let mut hand = Hand::on(locomotive("demo-8-paged", ""));
        for (cv, value) in writes {
            hand.write(cv, value);
        }
        let kept = hand.rails.memory();
        let mut taken_up = locomotive("demo-8-paged", "").with_memory(&kept);
        prop_assert_eq!(taken_up.memory(), kept);
        prop_assert!(!taken_up.take_memory_changed());
    }
}

#[test]
fn a_reset_that_was_cut_off_with_the_process_is_finished_afterwards() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV3 = 99\n"));
    assert!(hand.write(8, 8));
    let kept = hand.rails.memory();
    assert!(kept.contains(&(CvPlace { page: None, cv: 8 }, RESET_PENDING)));
    let mut taken_up = Hand::on(locomotive("demo-21-sound", "").with_memory(&kept));
    assert_eq!((taken_up.read(8), taken_up.read(3)), (Some(13), Some(6)));
}

#[test]
fn the_second_decoder_keeps_its_own_memory() {
    let second = "[second]\npart = \"standard\"\ncv = { CV16 = 2 }\n";
    let mut hand = Hand::on(locomotive("demo-21-sound", second));
    assert!(hand.write(3, 55), "both write");
    let kept = (hand.rails.memory(), hand.rails.second_memory());
    assert!(kept.0 != kept.1 && !kept.1.is_empty());
    let taken_up = locomotive("demo-21-sound", second).with_memory(&kept.0).with_second_memory(&kept.1);
    assert_eq!((taken_up.memory(), taken_up.second_memory()), kept);
    assert!(locomotive("demo-21-sound", "").second_memory().is_empty());
}
