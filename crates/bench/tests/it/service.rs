//! The programming track: every mode, the rules of entry and exit, and what a decoder refuses.
//!
//! Source: S-9.2.3 (reference text, sections 5.2 to 5.8).

use bench::{Locomotive, RESET_MICROSECONDS, RESET_PENDING, WRITE_MICROSECONDS};
use datasheets::CvPlace;
use dcc::service::{Operation, Register, ServiceInstruction};
use dcc::timing::SenderTiming;
use dcc::{CvAccess, PREAMBLE_SERVICE, Packet, ShortAddress};
use track::Rails;

use crate::hand::{Hand, acknowledged, locomotive, number, power_cycled, short};

fn holds(locomotive: &Locomotive, cv: u16) -> Option<u8> {
    let memory = locomotive.memory();
    memory.iter().find(|(place, _)| *place == CvPlace { page: None, cv }).map(|(_, value)| *value)
}

#[test]
fn after_a_write_exactly_its_value_is_acknowledged() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    assert!(hand.write(3, 77));
    let acknowledged: Vec<u8> = (0..=255).filter(|value| hand.verify(3, *value)).collect();
    assert_eq!(acknowledged, [77]);
    assert_eq!(hand.read(3), Some(77));
}

#[test]
fn bits_are_compared_and_written_one_by_one() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    assert!(hand.write(3, 0b1010_0000));
    for bit in 0..8 {
        let is_set = 0b1010_0000_u8 >> bit & 1 == 1;
        assert!(hand.verify_bit(3, bit, is_set), "bit {bit}");
        assert!(!hand.verify_bit(3, bit, !is_set), "bit {bit}");
    }
    let set_bit_0 = CvAccess::write_bit(number(3), dcc::BitPosition::new(0).unwrap(), true);
    assert!(hand.serve(Operation::Direct(set_bit_0)));
    assert_eq!(hand.read(3), Some(0b1010_0001));
}

#[test]
fn a_missing_cv_denies_every_byte_and_grants_every_bit() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    assert!(!hand.verify(1000, 0));
    assert!(!hand.write(1000, 5));
    assert!(hand.verify_bit(1000, 4, false) && hand.verify_bit(1000, 4, true));
}

#[test]
fn the_pulse_is_60_milliamperes_for_6_milliseconds_from_the_second_packet_on() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    let packet = ServiceInstruction::Direct(CvAccess::verify(number(8), 13)).to_packet();
    hand.send_service(&Packet::RESET, 3);
    hand.samples.clear();
    hand.send_service(&packet, 5);
    let sample = u64::from(track::SAMPLE_MICROSECONDS);
    let starts = hand.samples.iter().position(|sample| *sample > 45.0 + 60.0).unwrap();
    let two_packets = packet.duration(PREAMBLE_SERVICE, SenderTiming::NOMINAL).as_micros() * 2;
    assert!(
        (starts as u64 * sample).abs_diff(two_packets) <= 2 * sample,
        "{starts} samples, {two_packets} µs"
    );
    assert_eq!(hand.samples.iter().filter(|sample| **sample > 45.0 + 60.0).count(), 60);
}

#[test]
fn a_write_is_acknowledged_only_when_it_is_stored() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    let packet = ServiceInstruction::Direct(CvAccess::write(number(3), 9)).to_packet();
    hand.send_service(&Packet::RESET, 3);
    hand.send_service(&packet, 2);
    assert_eq!(holds(&hand.rails, 3), Some(6), "still the old one");
    assert!(!hand.rails.take_memory_changed());
    hand.samples.clear();
    hand.send_service(&packet, 3);
    let starts = hand.samples.iter().position(|sample| *sample > 45.0 + 60.0).unwrap();
    assert!((starts as u64 * 100).abs_diff(WRITE_MICROSECONDS) <= 200, "{starts} samples");
    assert_eq!(holds(&hand.rails, 3), Some(9));
    assert!(hand.rails.take_memory_changed() && !hand.rails.take_memory_changed());
}

#[test]
fn paged_mode_reaches_every_cv_and_keeps_its_page_over_resets() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    assert!(hand.serve(Operation::PagedWrite { cv: number(66), value: 100 }));
    assert!(hand.serve(Operation::PagedVerify { cv: number(66), value: 100 }));
    assert!(!hand.serve(Operation::PagedVerify { cv: number(66), value: 101 }));
    assert_eq!(hand.read(66), Some(100), "direct mode agrees");
    // The page register is still 17: register 2 stands for CV66 after any number of resets, and after a run between them.
    hand.keys(crate::hand::short(3), &[0]);
    hand.send_service(&Packet::RESET, 30);
    let verify = Operation::RegisterVerify { register: Register::new(2).unwrap(), value: 100 };
    let without_preset = dcc::service::Sequence::new(verify, dcc::service::Options::default()).unwrap();
    let packet = without_preset.packets().last().unwrap().0;
    hand.samples.clear();
    hand.send_service(&Packet::RESET, 3);
    hand.send_service(packet, 7);
    assert!(acknowledged(&hand.samples));
    // And 1 after a power cycle.
    hand.power_cycle();
    hand.samples.clear();
    hand.send_service(&Packet::RESET, 3);
    hand.send_service(packet, 7);
    assert!(!acknowledged(&hand.samples));
}

#[test]
fn register_mode_has_eight_registers() {
    let register = |number| Register::new(number).unwrap();
    let mut hand = Hand::on(locomotive("registers", ""));
    assert!(hand.serve(Operation::RegisterWrite { register: register(3), value: 10 }));
    assert!(hand.serve_with(Operation::RegisterVerify { register: register(3), value: 10 }, power_cycled()));
    assert!(hand.serve(Operation::RegisterVerify { register: register(5), value: 6 }), "CV29");
    assert!(hand.serve(Operation::RegisterVerify { register: register(7), value: 5 }), "CV7");
    assert!(hand.serve(Operation::RegisterVerify { register: register(8), value: 13 }), "CV8");
    // It has no paged mode: silent while the page register is above 1, and in direct mode always.
    assert!(!hand.serve(Operation::PagedVerify { cv: number(17), value: 195 }));
    assert!(hand.serve(Operation::PagedVerify { cv: number(3), value: 10 }), "page 1 is the registers");
    assert!(!hand.verify(3, 10));
}

#[test]
fn address_only_mode_has_the_address_only() {
    let mut hand = Hand::on(locomotive("address", ""));
    assert!(hand.serve(Operation::AddressOnlyVerify(3)));
    assert!(hand.serve_with(Operation::AddressOnlyWrite(77), power_cycled()));
    assert!(hand.serve(Operation::AddressOnlyVerify(77)) && !hand.serve(Operation::AddressOnlyVerify(3)));
    let register = Register::new(3).unwrap();
    assert!(!hand.serve(Operation::RegisterVerify { register, value: 0 }));
    assert!(!hand.verify(1, 77));
}

#[test]
fn writing_the_address_makes_it_count_by_nmra_and_not_by_rcn() {
    let more = "[cv]\nCV29 = 38\nCV19 = 10\n";
    let mut nmra = Hand::on(locomotive("demo-21-sound", more));
    assert!(nmra.write(1, 44));
    assert_eq!((nmra.read(29), nmra.read(19)), (Some(6), Some(0)));
    assert!(!nmra.write(1, 200), "not above 127");
    let mut rcn = Hand::on(locomotive("demo-8-paged", more));
    assert!(rcn.write(1, 44));
    assert_eq!((rcn.read(29), rcn.read(19)), (Some(38), Some(10)));
}

#[test]
fn version_and_maker_cannot_be_written() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    assert!(!hand.write(7, 1) && !hand.write(8, 1));
    assert_eq!((hand.read(7), hand.read(8)), (Some(41), Some(13)));
}

#[test]
fn bits_for_features_that_are_not_there_stay_clear() {
    let mut hand = Hand::on(locomotive("standard", ""));
    assert!(hand.write(29, 0xFF), "the write is done");
    assert_eq!(hand.read(29), Some(0b0011_0111), "no CV28, no bits 6 and 7");
    assert!(hand.write(37, 0xFF));
    assert_eq!(hand.read(37), Some(0b1111), "four outputs");
    assert!(!hand.write(17, 100), "no long address begins so");
}

#[test]
fn limits_and_preconditions_of_the_sheet_are_kept() {
    let mut hand = Hand::on(locomotive("deeds", ""));
    assert!(!hand.write(155, 2), "CV60 must be 7 first");
    assert!(hand.write(60, 7));
    assert!(hand.write(155, 2) && !hand.write(155, 4), "3 at most");
    assert_eq!(hand.read(155), Some(2));
}

#[test]
fn index_pages_show_through_the_window() {
    let mut hand = Hand::on(locomotive("demo-8-paged", ""));
    assert!(!hand.verify(258, 88), "page 0/0 is CV1 to CV256: CV258 there is CV2");
    assert!(hand.verify(258, 0));
    assert!(hand.write(31, 16) && hand.write(32, 2));
    assert_eq!(hand.read(258), Some(88), "level of the engine");
    assert!(hand.write(258, 90) && !hand.write(258, 101), "100 at most");
    assert!(hand.write(32, 9));
    assert!(
        !hand.verify(258, 90) && hand.verify_bit(258, 0, true) && hand.verify_bit(258, 0, false),
        "no such page"
    );
    assert!(hand.write(32, 2));
    assert_eq!(hand.read(258), Some(90));
}

#[test]
fn the_lock_blocks_writing_by_nmra() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV15 = 1\nCV16 = 3\n"));
    assert!(!hand.write(3, 9) && !hand.write(8, 8));
    assert_eq!((hand.read(3), hand.read(16)), (Some(6), Some(3)), "reading is free");
    assert!(hand.write(15, 3));
    assert!(hand.write(3, 9));
}

#[test]
fn the_lock_blocks_reading_too_by_rcn() {
    let mut hand = Hand::on(locomotive("rcn-lock", "[cv]\nCV15 = 1\nCV16 = 3\n"));
    assert!(!hand.write(3, 9) && !hand.verify(3, 0) && !hand.verify_bit(3, 0, false));
    let found: Vec<u8> = (1..10).filter(|number| hand.verify(16, *number)).collect();
    assert_eq!(found, [3], "the list of numbers in a vehicle");
    assert!(hand.write(15, 255), "opens every lock");
    assert!(hand.write(3, 9) && hand.verify(3, 9));
    assert_eq!(hand.read(15), Some(3), "255 is never stored");
    assert!(!hand.write(16, 240));
}

#[test]
fn a_factory_reset_shows_255_until_it_has_finished() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV3 = 99\n"));
    assert!(hand.write(8, 8));
    assert!(hand.verify(8, RESET_PENDING) && !hand.write(3, 1));
    let packets = usize::try_from(RESET_MICROSECONDS / 7_000).unwrap();
    hand.send_service(&Packet::RESET, packets);
    assert_eq!((hand.read(8), hand.read(3)), (Some(13), Some(6)));
}

#[test]
fn a_factory_reset_by_registers_finishes_at_the_next_power_up() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV3 = 99\n"));
    assert!(hand.serve(Operation::FactoryReset));
    hand.power_cycle();
    assert_eq!((hand.read(8), hand.read(3)), (Some(13), Some(6)));
}

#[test]
fn a_hard_reset_restores_configuration_and_pages_and_leaves_the_consist() {
    let mut hand =
        Hand::on(locomotive("demo-8-paged", "[cv]\nCV29 = 3\nCV31 = 16\nCV32 = 2\nCV19 = 40\nCV3 = 99\n"));
    hand.serve(Operation::HardReset);
    let read = [29, 31, 32, 19, 3].map(|cv| hand.read(cv));
    assert_eq!(read, [Some(14), Some(0), Some(0), Some(0), Some(99)]);
}

#[test]
fn service_mode_is_entered_by_a_reset_only() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    let packet = ServiceInstruction::Direct(CvAccess::verify(number(8), 13)).to_packet();
    hand.send_service(&Packet::IDLE, 3);
    hand.samples.clear();
    hand.send_service(&packet, 5);
    assert!(!acknowledged(&hand.samples), "no reset right before");
    hand.send_service(&Packet::RESET, 1);
    hand.samples.clear();
    hand.send_service(&packet, 1);
    hand.send_service(&Packet::IDLE, 1);
    hand.send_service(&packet, 4);
    assert!(!acknowledged(&hand.samples), "an idle packet leads out again");
}

#[test]
fn silence_of_20_milliseconds_leads_out() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    let packet = ServiceInstruction::Direct(CvAccess::verify(number(8), 13)).to_packet();
    for (silence, is_in) in [(11_000, true), (12_000, false)] {
        hand.send_service(&Packet::RESET, 3);
        hand.send_service(&packet, 1);
        // The next packet of 8.5 ms is complete 19.5 ms or 20.5 ms after this one.
        hand.rails.wait(silence);
        hand.samples.clear();
        hand.send_service(&packet, 5);
        assert_eq!(acknowledged(&hand.samples), is_in, "{silence} µs");
        hand.send_service(&Packet::IDLE, 2);
    }
}

#[test]
fn out_of_service_mode_it_waits_for_a_packet_that_cannot_be_mistaken() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV1 = 112\n"));
    hand.verify(8, 13);
    hand.rails.wait(25_000);
    // Address 112 looks like service mode: not obeyed until another packet has come.
    hand.throttle(short(112), dcc::Direction::Forward, 100);
    hand.idle(2000);
    hand.throttle(short(112), dcc::Direction::Forward, 100);
    hand.idle(9000);
    assert!(hand.rails.observe().speed > 0.5);
}

#[test]
fn the_old_query_and_the_lock_of_other_decoders() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV1 = 9\n"));
    let query = |number| ServiceInstruction::query(ShortAddress::new(number).unwrap()).unwrap().to_packet();
    for (address, is_there) in [(9, true), (10, false)] {
        hand.send_service(&Packet::RESET, 3);
        hand.samples.clear();
        hand.send_service(&Packet::RESET, 3);
        hand.send_service(&query(address), 5);
        assert_eq!(acknowledged(&hand.samples), is_there, "address {address}");
    }
    let lock = |number| ServiceInstruction::Lock(ShortAddress::new(number).unwrap()).to_packet();
    for (keep, answers) in [(9, true), (5, false)] {
        hand.send_service(&Packet::RESET, 3);
        hand.send_service(&lock(keep), 3);
        assert_eq!(hand.verify(8, 13), answers, "keep {keep}");
    }
    hand.send_service(&Packet::IDLE, 1);
    assert!(hand.verify(8, 13), "a packet of another kind frees it");
}

#[test]
fn outputs_and_motor_are_off_in_service_mode() {
    let lamp =
        "[[lamp]]\nname = \"head\"\npart = \"led-warm\"\noutput = \"front\"\nresistor = \"2.2 kohm\"\n";
    let mut hand = Hand::on(locomotive("standard", lamp));
    hand.keys(short(3), &[0]);
    hand.throttle(short(3), dcc::Direction::Forward, 126);
    assert!(hand.rails.observe().is_lit("head") && hand.rails.observe().speed > 0.0);
    let before = hand.samples.last().copied().unwrap();
    hand.verify(8, 13);
    let seen = hand.rails.observe();
    assert!(!seen.is_lit("head") && seen.speed <= 0.0);
    assert!(before > 150.0 && hand.samples.last().copied().unwrap() < 25.0);
}
