//! Tests of [`super`].

use proptest::prelude::*;
use std::string::ToString;
use std::vec::Vec;

use super::*;
use crate::address::ShortAddress;
use crate::bits::PREAMBLE_SERVICE;
use crate::cv::{BitPosition, CvNumber};
use crate::instruction::{CvAccess, CvOutcome};
use crate::packet::{Packet, PacketView};
use crate::timing::SenderTiming;

fn cv(number: u16) -> CvNumber {
    CvNumber::new(number).expect("in range")
}

fn at(millis: u64) -> Microseconds {
    Microseconds::from_millis(millis)
}

fn direct(access: CvAccess) -> ServiceInstruction {
    ServiceInstruction::Direct(access)
}

/// A decoder and its clock: packets come 8 ms apart.
#[derive(Default)]
struct Listening {
    state: ServiceModeState,
    now: Microseconds,
}

impl Listening {
    /// Feeds packets and collects what is executed.
    fn execute(&mut self, packets: &[Packet]) -> Vec<ServiceInstruction> {
        let mut executed = Vec::new();
        for packet in packets {
            self.now += at(8);
            executed.extend(self.state.packet(&packet.view(), self.now));
        }
        executed
    }
}

fn any_access() -> impl Strategy<Value = CvAccess> {
    (1_u16..=1024, 0_u8..4, any::<u8>()).prop_map(|(number, kind, data)| {
        let bit = BitPosition::new(data & 7).expect("in range");
        match kind {
            0 => CvAccess::verify(cv(number), data),
            1 => CvAccess::write(cv(number), data),
            2 => CvAccess::verify_bit(cv(number), bit, data & 8 != 0),
            _ => CvAccess::write_bit(cv(number), bit, data & 8 != 0),
        }
    })
}

fn any_instruction() -> impl Strategy<Value = ServiceInstruction> {
    prop_oneof![
        any_access().prop_map(ServiceInstruction::Direct),
        (1_u8..=8, any::<u8>(), any::<bool>()).prop_map(|(register, value, is_write)| {
            let operation =
                if is_write { RegisterOperation::Write(value) } else { RegisterOperation::Verify(value) };
            ServiceInstruction::Register { register: Register::new(register).expect("in range"), operation }
        }),
        (1_u8..=111).prop_map(|number| {
            ServiceInstruction::query(ShortAddress::new(number).expect("in range")).expect("at most 111")
        }),
        (1_u8..=127)
            .prop_map(|number| ServiceInstruction::Lock(ShortAddress::new(number).expect("in range"))),
    ]
}

proptest! {
    #[test]
    fn what_is_said_is_understood(instruction in any_instruction()) {
        let mut buffer = [0xA5; 8];
        let len = instruction.emit(&mut buffer).expect("it fits");
        prop_assert!(buffer[len..].iter().all(|octet| *octet == 0xA5));
        let view = PacketView::new(&buffer[..len]).expect("a packet");
        prop_assert_eq!(ServiceInstruction::parse(&view), Ok(instruction));
        prop_assert!(!instruction.to_string().is_empty());
    }

    #[test]
    fn paging_reaches_every_cv_once(number in 1_u16..=1024) {
        let place = PagedAddress::of(cv(number));
        prop_assert_eq!(PageRegister::new(place.page_value()).cv(place.data_register()), Some(cv(number)));
    }

    #[test]
    fn a_sequence_makes_a_decoder_act_once(access in any_access()) {
        for recovery in [Recovery::RepeatWrite, Recovery::Resets] {
            let options = Options { recovery, ..Options::default() };
            let sequence = Sequence::new(Operation::Direct(access), options).expect("a sequence");
            let packets: Vec<Packet> = sequence.packets().map(|(packet, _)| *packet).collect();
            let executed = Listening::default().execute(&packets);
            prop_assert_eq!(executed, [direct(access)]);
        }
    }

    #[test]
    fn any_packets_keep_the_state_sound(
        payloads in proptest::collection::vec(prop_oneof![
            3 => Just(std::vec![0_u8, 0]),
            2 => Just(std::vec![0x7C, 0, 3]),
            1 => Just(std::vec![0xFF, 0]),
            2 => proptest::collection::vec(any::<u8>(), 2..5),
        ], 0..60),
        gaps in proptest::collection::vec(0_u64..30, 60),
    ) {
        let mut state = ServiceModeState::new();
        let mut now = Microseconds::ZERO;
        for (payload, gap) in payloads.iter().zip(gaps) {
            now += at(gap);
            let packet = Packet::from_payload(payload).expect("of legal length");
            let executed = state.packet(&packet.view(), now);
            if executed.is_some() {
                prop_assert_eq!(state.phase(), Phase::Service);
                prop_assert_eq!(ServiceInstruction::parse(&packet.view()).ok(), executed);
            }
        }
    }

    #[test]
    fn bitwise_reading_finds_any_value(value: u8) {
        let mut read = BitwiseRead::new(cv(29));
        let mut questions = 0;
        while let Some(question) = read.question() {
            read.answer(question.apply(value) == CvOutcome::Compared { agrees: true });
            questions += 1;
        }
        prop_assert_eq!(read.result(), Some(ReadResult::Value(value)));
        prop_assert_eq!(questions, 9);
    }

    #[test]
    fn a_lost_answer_is_never_taken_for_a_value(value: u8, lost in 0_usize..9) {
        let mut read = BitwiseRead::new(cv(29));
        let mut question_number = 0;
        let mut was_acknowledged = false;
        while let Some(question) = read.question() {
            let agrees = question.apply(value) == CvOutcome::Compared { agrees: true };
            was_acknowledged |= agrees && question_number == lost;
            read.answer(agrees && question_number != lost);
            question_number += 1;
        }
        if was_acknowledged {
            prop_assert!(!matches!(read.result(), Some(ReadResult::Value(_))));
        } else {
            prop_assert_eq!(read.result(), Some(ReadResult::Value(value)));
        }
    }

    #[test]
    fn an_acknowledgement_shortens_the_sequence(access in any_access(), part in 0.0_f64..1.0) {
        let timing = SenderTiming::NOMINAL;
        let sequence = Sequence::new(Operation::Direct(access), Options::default()).expect("a sequence");
        let [first, last] = sequence.acknowledgement_window(PREAMBLE_SERVICE, timing).expect("it may come");
        let span = (last - first).as_micros();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss,
            reason = "a part of a span of a few milliseconds")]
        let moment = first + Microseconds::from_micros((span as f64 * part) as u64);
        let shortened = sequence.acknowledged_at(moment, PREAMBLE_SERVICE, timing).expect("within the window");
        let closing = if access.is_write() { Microseconds::ZERO } else { Packet::RESET.duration(PREAMBLE_SERVICE, timing) };
        let duration = shortened.duration(PREAMBLE_SERVICE, timing);
        prop_assert!(duration <= sequence.duration(PREAMBLE_SERVICE, timing) + closing);
        prop_assert!(duration - closing > moment || moment == last, "the packet is finished");
        prop_assert!(shortened.packets().count() <= sequence.packets().count() + 1);
    }
}

#[test]
fn service_mode_needs_a_reset_before() {
    let write = direct(CvAccess::write(cv(1), 3)).to_packet();
    let mut decoder = Listening::default();
    assert_eq!(decoder.execute(&[write, write]), []);
    assert_eq!(decoder.state.phase(), Phase::Operations);
    let mut decoder = Listening::default();
    assert_eq!(decoder.execute(&[Packet::RESET, Packet::IDLE, write, write]), []);
    let mut decoder = Listening::default();
    assert_eq!(decoder.execute(&[Packet::RESET, write, write]), [direct(CvAccess::write(cv(1), 3))]);
    assert_eq!(decoder.state.phase(), Phase::Service);
}

#[test]
fn identical_packets_count_only_in_a_row_and_only_once() {
    let write = direct(CvAccess::write(cv(1), 3)).to_packet();
    let other = direct(CvAccess::write(cv(1), 4)).to_packet();
    let mut decoder = Listening::default();
    assert_eq!(decoder.execute(&[Packet::RESET, write, other, write, other]), []);
    assert_eq!(decoder.execute(&[other, other, other]), [direct(CvAccess::write(cv(1), 4))]);
    assert_eq!(decoder.execute(&[Packet::RESET, other]), [], "the reset stood between them");
    assert_eq!(decoder.execute(&[other]), [direct(CvAccess::write(cv(1), 4))], "and now it is wanted again");
}

#[test]
fn silence_ends_service_mode() {
    let write = direct(CvAccess::write(cv(1), 3)).to_packet();
    for (gap, executes) in [(19, true), (20, false)] {
        let mut state = ServiceModeState::new();
        state.packet(&Packet::RESET.view(), at(0));
        state.packet(&write.view(), at(8));
        assert_eq!(state.packet(&write.view(), at(8 + gap)).is_some(), executes, "gap of {gap} ms");
        assert_eq!(state.phase() == Phase::Service, executes);
    }
    let mut patient = ServiceModeState::with_time_out(at(30));
    patient.packet(&Packet::RESET.view(), at(0));
    patient.packet(&write.view(), at(8));
    assert!(patient.packet(&write.view(), at(37)).is_some(), "RCN-216 allows a decoder to wait longer");
}

#[test]
fn after_silence_a_reset_is_still_the_packet_before() {
    let write = direct(CvAccess::write(cv(1), 3)).to_packet();
    let mut state = ServiceModeState::new();
    for (packet, now) in [(Packet::RESET, 0), (write, 8), (Packet::RESET, 16), (write, 60)] {
        assert_eq!(state.packet(&packet.view(), at(now)), None);
    }
    assert_eq!(state.phase(), Phase::Service, "entered anew after 44 ms of silence");
    // A write, silence, and the same write again is no pair: the second finds no reset before it.
    let mut state = ServiceModeState::new();
    for (packet, now) in [(Packet::RESET, 0), (write, 8), (write, 60), (write, 68)] {
        assert_eq!(state.packet(&packet.view(), at(now)), None);
    }
    assert_eq!(state.phase(), Phase::Limbo);
}

#[test]
fn operations_come_back_only_with_a_packet_of_their_own() {
    let write = direct(CvAccess::write(cv(1), 3)).to_packet();
    let speed = Packet::from_payload(&[3, 0x62]).expect("a packet");
    let look_alike = Packet::from_payload(&[112, 0x62]).expect("a packet");
    let mut decoder = Listening::default();
    decoder.execute(&[Packet::RESET, write, write]);
    decoder.execute(&[speed]);
    assert_eq!(decoder.state.phase(), Phase::Limbo, "a packet of another kind leaves service mode");
    decoder.execute(&[look_alike]);
    assert_eq!(decoder.state.phase(), Phase::Limbo, "address 112 could be service mode");
    decoder.execute(&[Packet::RESET]);
    assert_eq!(decoder.state.phase(), Phase::Limbo, "a reset proves nothing");
    decoder.execute(&[speed]);
    assert_eq!(decoder.state.phase(), Phase::Operations);
}

#[test]
fn a_locked_out_decoder_ignores_service_mode_until_another_packet_comes() {
    let write = direct(CvAccess::write(cv(1), 3)).to_packet();
    let keep = ServiceInstruction::Lock(ShortAddress::new(5).expect("in range"));
    let mut decoder = Listening::default();
    assert_eq!(decoder.execute(&[Packet::RESET, keep.to_packet(), keep.to_packet()]), [keep]);
    decoder.state.lock_out();
    assert_eq!(decoder.execute(&[Packet::RESET, write, write]), []);
    let speed = Packet::from_payload(&[3, 0x62]).expect("a packet");
    assert_eq!(decoder.execute(&[speed, Packet::RESET, write, write]).len(), 1);
}

#[test]
fn a_paged_sequence_sets_the_page_and_then_writes() {
    let sequence = Sequence::new(Operation::PagedWrite { cv: cv(65), value: 5 }, Options::default())
        .expect("a sequence");
    let packets: Vec<Packet> = sequence.packets().map(|(packet, _)| *packet).collect();
    let executed = Listening::default().execute(&packets);
    let mut page = PageRegister::DEFAULT;
    let mut written = Vec::new();
    for instruction in executed {
        let ServiceInstruction::Register { register, operation: RegisterOperation::Write(value) } =
            instruction
        else {
            panic!("{instruction}");
        };
        match page.cv(register) {
            Some(cv) => written.push((cv, value)),
            None => page = PageRegister::new(value),
        }
    }
    assert_eq!(written, [(cv(65), 5)]);
}

#[test]
fn every_operation_has_its_purposes_in_order() {
    let register = Register::CONFIGURATION;
    let options = Options { power_on: Some(PowerOn::BOTH), is_power_cycled: true, ..Options::default() };
    for operation in [
        Operation::AddressOnlyWrite(3),
        Operation::RegisterWrite { register, value: 6 },
        Operation::PagedWrite { cv: cv(29), value: 6 },
        Operation::FinishPaged,
        Operation::FactoryReset,
    ] {
        let sequence = Sequence::new(operation, options).expect("a sequence");
        let purposes: Vec<Option<Purpose>> = sequence
            .steps()
            .iter()
            .map(|step| match step {
                Step::Packets { purpose, .. } => Some(*purpose),
                Step::PowerCycle => None,
            })
            .collect();
        let page = [Purpose::PowerOn, Purpose::Enter, Purpose::Page, Purpose::PageRecovery].map(Some);
        assert_eq!(purposes[..4], page, "{operation:?}");
        let is_cycled = purposes.contains(&None);
        let may_be_cycled = !matches!(operation, Operation::PagedWrite { .. } | Operation::FinishPaged);
        assert_eq!(is_cycled, may_be_cycled, "{operation:?}: paged mode must not lose power");
        let window = sequence.acknowledgement_window(PREAMBLE_SERVICE, SenderTiming::NOMINAL);
        assert_eq!(window.is_some(), operation != Operation::FinishPaged, "{operation:?}");
    }
}

#[test]
fn acknowledgements_come_from_the_third_packet_on() {
    let write = Sequence::new(Operation::Direct(CvAccess::write(cv(29), 38)), Options::default())
        .expect("a sequence");
    let [first, last] =
        write.acknowledgement_window(PREAMBLE_SERVICE, SenderTiming::NOMINAL).expect("it may come");
    // Three resets and two of the writes; all eleven writes.
    assert_eq!((first.as_micros(), last.as_micros()), (23_508 + 2 * 8_460, 23_508 + 11 * 8_460));
    assert_eq!(write.acknowledged_in(2), None);
    assert_eq!(write.acknowledged_in(12), None);
    let during_recovery = write.acknowledged_in(7).expect("the second packet of recovery");
    assert_eq!(during_recovery.packets().count(), 3 + 7);
    assert_eq!(write.acknowledged_at(first - at(1), PREAMBLE_SERVICE, SenderTiming::NOMINAL), None);
    assert_eq!(write.acknowledged_at(last + at(1), PREAMBLE_SERVICE, SenderTiming::NOMINAL), None);
    let reset = Sequence::new(Operation::HardReset, Options::default()).expect("a sequence");
    assert_eq!(reset.acknowledgement_window(PREAMBLE_SERVICE, SenderTiming::NOMINAL), None);
    assert_eq!(reset.acknowledged_in(3), None);
}

#[test]
fn a_missing_cv_says_yes_to_everything() {
    let mut read = BitwiseRead::new(cv(200));
    while let Some(question) = read.question() {
        let is_bit = matches!(question.operation, crate::CvOperation::VerifyBit { .. });
        read.answer(is_bit);
    }
    assert_eq!(read.result(), Some(ReadResult::NotImplemented));
    let mut silent = BitwiseRead::new(cv(200));
    while silent.question().is_some() {
        silent.answer(false);
    }
    assert_eq!(silent.result(), Some(ReadResult::Silent));
    let mut counting = CountingRead::new(127);
    let mut asked = 0;
    while counting.question().is_some() {
        counting.answer(false);
        asked += 1;
    }
    assert_eq!((asked, counting.result()), (128, Some(ReadResult::Silent)));
}

#[test]
fn three_octets_and_four_octets_are_told_apart() {
    let register = Packet::from_payload(&[0x7C, 0x06]).expect("a packet");
    let direct_write = Packet::from_payload(&[0x7C, 0x06, 0x10]).expect("a packet");
    assert!(matches!(ServiceInstruction::parse(&register.view()), Ok(ServiceInstruction::Register { .. })));
    assert_eq!(ServiceInstruction::parse(&direct_write.view()), Ok(direct(CvAccess::write(cv(7), 0x10))));
}

#[test]
fn messages_name_octet_and_limit() {
    let error = |payload: &[u8]| {
        let packet = Packet::from_payload(payload).expect("of legal length");
        ServiceInstruction::parse(&packet.view()).expect_err("not service mode").to_string()
    };
    assert_eq!(error(&[3, 0x62]), "octet 1 is 03, which begins no service-mode packet of this length");
    assert_eq!(error(&[0x70, 0, 0]), "octet 1 is 70, expected CC 01, 10 or 11");
    assert_eq!(error(&[0x78, 0, 0]), "octet 1 is 78, expected 111KDBBB in octet 3");
    assert_eq!(error(&[0, 0xF9, 0x80]), "octet 3 is 80, expected 0AAAAAAA, 1 to 127");
    assert_eq!(Register::new(9).expect_err("9").to_string(), "register 9 is outside 1 to 8");
    assert_eq!(
        Sequence::new(Operation::AddressOnlyWrite(200), Options::default()).expect_err("200").to_string(),
        "address 200 is above 127, the highest that address-only mode can carry"
    );
    assert_eq!(
        ServiceInstruction::query(ShortAddress::new(112).expect("in range")).expect_err("112").to_string(),
        "address 112 is above 111, the highest that the address query can carry"
    );
}
