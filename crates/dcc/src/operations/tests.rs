//! Tests of [`super`].

use std::string::ToString;
use std::vec::Vec;

use super::*;
use crate::address::{Address, LongAddress, ShortAddress};
use crate::cv::{CvNumber, IndexedCv};
use crate::function::{FunctionGroup, GroupStates};
use crate::instruction::{
    BinaryState, Command, CvAccess, Instruction, ShortCvAccess, Xpom, XpomData, XpomOperation,
};
use crate::packet::Packet;

const OWN: u8 = 3;

fn short(number: u8) -> Address {
    Address::Short(ShortAddress::new(number).expect("in range"))
}

fn own() -> OwnAddresses {
    OwnAddresses { active: short(OWN), consist: Some(short(10)) }
}

fn to(address: Address, command: Command) -> Packet {
    Instruction::for_decoder(address, command).to_packet()
}

fn write(value: u8) -> Command {
    Command::Cv(CvAccess::write(CvNumber::new(29).expect("in range"), value))
}

fn speed(address: Address) -> Packet {
    to(address, Command::Speed(crate::BaselineSpeed::stop(None, false)))
}

/// What a decoder executes on hearing the packets.
fn execute(packets: &[Packet]) -> Vec<Command> {
    let mut gate = CvGate::new();
    packets.iter().filter_map(|packet| gate.packet(&packet.view(), own())).collect()
}

#[test]
fn a_write_needs_two_identical_packets() {
    let packet = to(short(OWN), write(38));
    assert_eq!(execute(&[packet]), []);
    assert_eq!(execute(&[packet, packet]), [write(38)]);
    assert_eq!(execute(&[packet, packet, packet, packet]), [write(38)], "more copies change nothing");
    assert_eq!(execute(&[packet, to(short(OWN), write(39)), packet]), [], "another write cancels");
}

#[test]
fn packets_for_others_may_stand_between_and_packets_for_us_may_not() {
    let packet = to(short(OWN), write(38));
    for (between, executes) in [
        (Packet::IDLE, true),
        (speed(short(4)), true),
        (speed(short(OWN)), false),
        (speed(short(10)), false),
        (speed(Address::Broadcast), false),
        (Packet::RESET, false),
    ] {
        let executed = execute(&[packet, between, packet]);
        assert_eq!(executed == [write(38)], executes, "{between} between");
    }
}

#[test]
fn the_consist_address_and_the_broadcast_program_nothing() {
    for address in [short(10), Address::Broadcast, short(4), Address::Long(LongAddress::HIGHEST)] {
        let packet = to(address, write(38));
        assert_eq!(execute(&[packet, packet]), [], "{address}");
    }
}

#[test]
fn comparisons_and_momentum_adjustments_need_one_packet() {
    let verify = Command::Cv(CvAccess::verify(CvNumber::FIRST, 0));
    let adjust = Command::ShortCv(ShortCvAccess::AccelerationAdjustment(10));
    assert_eq!(execute(&[to(short(OWN), verify), to(short(OWN), adjust)]), [verify, adjust]);
}

#[test]
fn pairs_of_cvs_need_two_packets() {
    for pair in [
        ShortCvAccess::LongAddress(LongAddress::HIGHEST),
        ShortCvAccess::IndexPage { cv31: 0, cv32: 40 },
        ShortCvAccess::Consist { cv19: 10, cv20: 0 },
    ] {
        let packet = to(short(OWN), Command::ShortCv(pair));
        assert_eq!(execute(&[packet]), []);
        assert_eq!(execute(&[packet, Packet::IDLE, packet]), [Command::ShortCv(pair)]);
    }
}

#[test]
fn extended_writes_need_two_packets_in_a_row() {
    let data = XpomData::new(&[1, 2]).expect("two values");
    let address = IndexedCv::from_octets([0, 43, 0]);
    let write = Command::Xpom(Xpom::new(0, address, XpomOperation::Write(data)).expect("in range"));
    let read = Command::Xpom(Xpom::new(1, address, XpomOperation::Read).expect("in range"));
    let packet = to(short(OWN), write);
    assert_eq!(execute(&[packet, packet]), [write]);
    assert_eq!(execute(&[packet, Packet::IDLE, packet]), [], "a packet for another decoder cancels here");
    assert_eq!(execute(&[packet, speed(short(4)), packet, packet]), [write]);
    assert_eq!(execute(&[to(short(OWN), read)]), [read]);
}

#[test]
fn a_write_sequence_passes_the_gate_and_the_pacing() {
    let packet = to(short(OWN), write(38));
    let sequence = WriteSequence::with_filler(packet, Packet::IDLE);
    let packets: Vec<Packet> = sequence.packets().copied().collect();
    assert_eq!(execute(&packets), [write(38)]);
    assert_eq!(faults(&packets), []);
    let in_a_row: Vec<Packet> = WriteSequence::in_a_row(packet).packets().copied().collect();
    assert_eq!(execute(&in_a_row), [write(38)]);
    assert!(matches!(faults(&in_a_row)[..], [PacingFault::SameDecoder { .. }]));
}

/// The faults of packets sent one after another with preambles of 16 ones.
fn faults(packets: &[Packet]) -> Vec<PacingFault> {
    use crate::timing::{Microseconds, SenderTiming};
    let timing = SenderTiming::NOMINAL;
    let preamble = Microseconds::from_micros(116) * u32::from(crate::PREAMBLE_OPERATIONS);
    let mut pacing = Pacing::new();
    let mut now = Microseconds::ZERO;
    let mut found = Vec::new();
    for packet in packets {
        let end = now + packet.duration(crate::PREAMBLE_OPERATIONS, timing);
        found.extend(pacing.packet(&packet.view(), now + preamble, end));
        now = end;
    }
    found
}

#[test]
fn the_start_of_operation_is_paced_well() {
    let packets: Vec<Packet> = start_of_operation().collect();
    assert_eq!(packets.len(), 30);
    assert_eq!(faults(&packets), []);
}

#[test]
fn addresses_that_look_like_service_mode_wait_after_a_reset() {
    let fillers = |count| std::iter::repeat_n(Packet::IDLE, count);
    let after = |count, address| {
        let packets: Vec<Packet> =
            [Packet::RESET].into_iter().chain(fillers(count)).chain([speed(short(address))]).collect();
        faults(&packets)
    };
    assert!(matches!(after(0, 100)[..], [PacingFault::TooSoonAfterReset { .. }]));
    assert_eq!(after(0, 99), []);
    assert!(matches!(after(3, 100)[..], [PacingFault::TooSoonAfterReset { .. }]), "19.94 ms have passed");
    assert_eq!(after(4, 100), [], "25.968 ms have passed");
    assert!(
        matches!(after(9, 112)[..], [PacingFault::TooSoonAfterReset { .. }]),
        "only nine packets have passed"
    );
    assert_eq!(after(10, 112), []);
    let twice: Vec<Packet> = fillers(11).chain([speed(short(112)), speed(short(112))]).collect();
    assert!(matches!(faults(&twice)[..], [PacingFault::LooksLikeServiceMode { .. }]));
}

#[test]
fn long_silence_is_noticed_and_faults_read_aloud() {
    use crate::timing::Microseconds;
    let at = Microseconds::from_millis;
    let mut pacing = Pacing::new();
    assert_eq!(pacing.packet(&Packet::IDLE.view(), at(0), at(6)), None);
    let fault = pacing.packet(&Packet::IDLE.view(), at(40), at(46)).expect("40 ms");
    assert_eq!(fault.to_string(), "40.000 ms between packets, expected at most 30.000 ms");
    let same = PacingFault::SameDecoder { address: short(3), gap: Microseconds::from_micros(1_856) };
    assert_eq!(
        same.to_string(),
        "two packets for short address 3 only 1.856 ms apart, expected at least 5.000 ms"
    );
}

#[test]
fn changes_are_sent_as_often_as_they_need() {
    let on = |group| sends_on_change(&Command::Functions(GroupStates::all_off(group)));
    assert_eq!(
        (on(FunctionGroup::F0ToF4), on(FunctionGroup::F13ToF20), on(FunctionGroup::F61ToF68)),
        (1, 3, 3)
    );
    assert_eq!(sends_on_change(&Command::BinaryState(BinaryState::all_short(false))), 3);
    assert_eq!(sends_on_change(&write(38)), 2);
    assert_eq!(sends_on_change(&Command::Cv(CvAccess::verify(CvNumber::FIRST, 0))), 1);
}

#[test]
fn version_and_manufacturer_are_not_written_on_the_main() {
    let forbidden: Vec<u16> =
        CvNumber::all().filter(|cv| !may_be_written_on_the_main(*cv)).map(CvNumber::get).collect();
    assert_eq!(forbidden, [7, 8]);
}
