//! Tests of [`super`].

use proptest::prelude::*;
use std::string::ToString;
use std::vec;
use std::vec::Vec;

use super::*;
use crate::address::LongAddress;
use crate::cv::{BitPosition, CvNumber, IndexedCv};
use crate::function::{Function, FunctionGroup, FunctionStates};
use crate::packet::{Packet, PacketView};
use crate::speed::{Speed, Speed28, Step};

fn short_address() -> impl Strategy<Value = ShortAddress> {
    (1_u8..=127).prop_map(|number| ShortAddress::new(number).expect("in range"))
}

fn long_address() -> impl Strategy<Value = LongAddress> {
    (0_u16..=10_239).prop_map(|number| LongAddress::new(number).expect("in range"))
}

fn address() -> impl Strategy<Value = Address> {
    prop_oneof![
        Just(Address::Broadcast),
        short_address().prop_map(Address::Short),
        long_address().prop_map(Address::Long)
    ]
}

fn direction() -> impl Strategy<Value = Direction> {
    any::<bool>().prop_map(Direction::from_bit)
}

fn speed<const STEPS: u8>() -> impl Strategy<Value = Speed<STEPS>> {
    (0..=STEPS + 1).prop_map(|number| match number {
        0 => Speed::Stop,
        step if step <= STEPS => Speed::Step(Step::new(step).expect("in range")),
        _ => Speed::EmergencyStop,
    })
}

fn cv() -> impl Strategy<Value = CvNumber> {
    (1_u16..=1024).prop_map(|number| CvNumber::new(number).expect("in range"))
}

fn bit() -> impl Strategy<Value = BitPosition> {
    (0_u8..8).prop_map(|number| BitPosition::new(number).expect("in range"))
}

fn cv_access() -> impl Strategy<Value = CvAccess> {
    let operation = prop_oneof![
        any::<u8>().prop_map(CvOperation::Verify),
        any::<u8>().prop_map(CvOperation::Write),
        (bit(), any::<bool>()).prop_map(|(bit, value)| CvOperation::VerifyBit { bit, value }),
        (bit(), any::<bool>()).prop_map(|(bit, value)| CvOperation::WriteBit { bit, value }),
    ];
    (cv(), operation).prop_map(|(cv, operation)| CvAccess { cv, operation })
}

fn control() -> impl Strategy<Value = DecoderControl> {
    let flag_code = prop::sample::select(std::vec![0b0000_u8, 0b0100, 0b0101, 0b1000, 0b1001, 0b1111]);
    prop_oneof![
        Just(DecoderControl::Reset),
        Just(DecoderControl::HardReset),
        any::<bool>().prop_map(DecoderControl::FactoryTest),
        (0x06_u8..=0x07, flag_code, 0_u8..8).prop_map(|(first, code, sub)| {
            DecoderControl::Flag(DecoderFlag::from_octets(first, code << 4 | sub, 1).expect("a flag"))
        }),
        any::<bool>().prop_map(DecoderControl::SetLongAddressing),
        Just(DecoderControl::AcknowledgementRequest),
    ]
}

fn binary_state() -> impl Strategy<Value = BinaryState> {
    prop_oneof![
        (1_u16..=127, any::<bool>())
            .prop_map(|(number, is_on)| BinaryState::new(number, is_on).expect("in range")),
        (1..=BinaryState::HIGHEST, any::<bool>())
            .prop_map(|(number, is_on)| BinaryState::new(number, is_on).expect("in range")),
        any::<bool>().prop_map(BinaryState::all_short),
        any::<bool>().prop_map(BinaryState::all_long),
    ]
}

fn short_cv() -> impl Strategy<Value = ShortCvAccess> {
    prop_oneof![
        any::<u8>().prop_map(ShortCvAccess::AccelerationAdjustment),
        any::<u8>().prop_map(ShortCvAccess::DecelerationAdjustment),
        long_address().prop_map(ShortCvAccess::LongAddress),
        any::<[u8; 2]>().prop_map(|[cv31, cv32]| ShortCvAccess::IndexPage { cv31, cv32 }),
        any::<[u8; 2]>().prop_map(|[cv19, cv20]| ShortCvAccess::Consist { cv19, cv20 }),
    ]
}

fn xpom() -> impl Strategy<Value = Xpom> {
    let operation = prop_oneof![
        Just(XpomOperation::Read),
        proptest::collection::vec(any::<u8>(), 1..=4)
            .prop_map(|values| XpomOperation::Write(XpomData::new(&values).expect("one to four"))),
        (bit(), any::<bool>()).prop_map(|(bit, value)| XpomOperation::WriteBit { bit, value }),
    ];
    (0_u8..4, any::<[u8; 3]>(), operation).prop_map(|(sequence, octets, operation)| {
        Xpom::new(sequence, IndexedCv::from_octets(octets), operation).expect("in range")
    })
}

fn speed_and_functions() -> impl Strategy<Value = SpeedAndFunctions> {
    (direction(), speed(), any::<u32>(), 0_u8..=4).prop_map(|(direction, speed, on, n_octets)| {
        let mut states = FunctionStates::ALL_OFF;
        for function in Function::all().take(32) {
            states.set(function, on >> function.get() & 1 == 1);
        }
        SpeedAndFunctions::new(direction, speed, states, n_octets).expect("at most four")
    })
}

/// Every command but the lock, which goes to the broadcast address only.
fn command() -> impl Strategy<Value = Command> {
    prop_oneof![
        control().prop_map(Command::Control),
        Just(Command::Consist(ConsistControl::LEAVE)),
        (short_address(), any::<bool>())
            .prop_map(|(address, is_reversed)| Command::Consist(ConsistControl::join(address, is_reversed))),
        (direction(), speed()).prop_map(|(d, s)| Command::Speed(BaselineSpeed::in_28_steps(d, s))),
        (direction(), speed(), any::<bool>())
            .prop_map(|(d, s, headlight)| Command::Speed(BaselineSpeed::in_14_steps(d, s, headlight))),
        (prop::option::of(direction()), any::<bool>())
            .prop_map(|(d, is_emergency)| Command::Speed(BaselineSpeed::stop(d, is_emergency))),
        (direction(), speed()).prop_map(|(direction, speed)| Command::Speed126 { direction, speed }),
        speed_and_functions().prop_map(Command::SpeedAndFunctions),
        any::<u8>().prop_map(|octet| Command::Special(SpecialOperation::from_octet(octet))),
        any::<[u8; 2]>().prop_map(|[output, value]| Command::Analog { output, value }),
        (prop::sample::select(FunctionGroup::ALL.to_vec()), any::<u8>())
            .prop_map(|(group, bits)| Command::Functions(GroupStates::from_bits(group, bits))),
        binary_state().prop_map(Command::BinaryState),
        cv_access().prop_map(Command::Cv),
        short_cv().prop_map(Command::ShortCv),
        xpom().prop_map(Command::Xpom),
    ]
}

fn accessory() -> impl Strategy<Value = AccessoryInstruction> {
    let address =
        || (0_u16..=2047).prop_map(|linear| AccessoryAddress::from_linear(linear).expect("in range"));
    let target = prop_oneof![
        (0_u16..512).prop_map(AccessoryCvTarget::Decoder),
        (address(), any::<bool>())
            .prop_map(|(address, is_straight)| AccessoryCvTarget::Output { address, is_straight }),
        address().prop_map(AccessoryCvTarget::Extended),
    ];
    prop_oneof![
        (address(), any::<[bool; 2]>()).prop_map(|(address, [is_straight, is_active])| {
            AccessoryInstruction::Basic { address, is_straight, is_active }
        }),
        (address(), any::<u8>())
            .prop_map(|(address, aspect)| AccessoryInstruction::Extended { address, aspect }),
        (address(), any::<bool>())
            .prop_map(|(address, is_extended)| AccessoryInstruction::Nop { address, is_extended }),
        (target, cv_access()).prop_map(|(target, access)| AccessoryInstruction::Cv { target, access }),
        (0_u16..512, cv(), any::<u8>())
            .prop_map(|(decoder, cv, value)| AccessoryInstruction::LegacyCvWrite { decoder, cv, value }),
    ]
}

fn instruction() -> impl Strategy<Value = Instruction> {
    prop_oneof![
        1 => Just(Instruction::Idle),
        8 => (address(), command()).prop_map(|(address, command)| Instruction::for_decoder(address, command)),
        1 => short_address()
            .prop_map(|keep| Instruction::for_decoder(Address::Broadcast, Command::ServiceModeLock(keep))),
        3 => accessory().prop_map(Instruction::Accessory),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn what_is_said_is_understood(instruction in instruction()) {
        let mut buffer = [0xA5; 32];
        let len = instruction.emit(&mut buffer).expect("it fits");
        prop_assert!(buffer[len..].iter().all(|octet| *octet == 0xA5));
        let view = PacketView::new(&buffer[..len]).expect("a packet");
        prop_assert_eq!(Instruction::parse(&view), Ok(instruction));
        prop_assert!(!instruction.to_string().is_empty());
    }

    #[test]
    fn what_is_understood_is_said_again(payload in proptest::collection::vec(any::<u8>(), 2..12)) {
        let packet = Packet::from_payload(&payload).expect("of legal length");
        if let Ok(instruction) = Instruction::parse(&packet.view()) {
            prop_assert_eq!(instruction.to_packet(), packet, "{}", instruction);
        }
    }

    #[test]
    fn several_commands_share_a_packet(address in address(), commands in proptest::collection::vec(command(), 1..5)) {
        // Where only the end of the packet tells the length a command must stand last, and a long-form CV access before
        // others looks like XPOM; so those end the list here, as the standard wants CV access once only.
        let open = |command: &Command| matches!(command, Command::SpeedAndFunctions(_) | Command::Xpom(_) | Command::Cv(_));
        let end = commands.iter().position(open).map_or(commands.len(), |place| place + 1);
        let commands = &commands[..end];
        let packet = Packet::from_commands(address, commands).expect("they fit");
        let walk = Commands::new(&packet.view()).expect("for a multi-function decoder");
        prop_assert_eq!(walk.address(), address);
        let read: Result<Vec<Command>, _> = walk.collect();
        prop_assert_eq!(read.as_deref(), Ok(commands));
    }

    #[test]
    fn both_readings_of_a_special_operation_keep_what_they_know(octet in any::<u8>()) {
        let special = SpecialOperation::from_octet(octet);
        let again = SpecialOperation::from_modes(special.as_modes());
        prop_assert_eq!(again.octet(), octet & !0b11, "bits 0 and 1 have no meaning");
        let restriction = special.as_restriction();
        prop_assert_eq!(SpecialOperation::from_restriction(restriction).as_restriction(), restriction);
    }
}

#[track_caller]
fn check_error(payload: &[u8], expected: &str) {
    let packet = Packet::from_payload(payload).expect("of legal length");
    let error = Instruction::parse(&packet.view()).expect_err("not an instruction");
    assert_eq!(error.to_string(), expected, "{packet}");
}

#[test]
fn faults_are_told_with_their_octet() {
    check_error(&[232, 0], "octet 1 is E8, a reserved address");
    check_error(&[255, 1], "octet 1 is FF, a reserved address");
    check_error(&[255, 0, 0], "octet 3 and later follow the instruction, expected none");
    check_error(&[253, 0], "octet 1 is FD, an advanced packet (S-9.2.1.1), whose layout is not known here");
    check_error(&[254, 0], "octet 1 is FE, automatic logon (RCN-218), whose layout is not known here");
    check_error(&[0xC4, 0xD2], "octet 3 is missing: an instruction is longer");
    check_error(&[3, 0x04], "octet 2 is 04, a reserved decoder control");
    check_error(&[3, 0x06], "octet 3 is missing: a decoder flag is longer");
    check_error(&[3, 0x06, 0x20], "octet 3 is 20, a reserved decoder flag code");
    check_error(&[3, 0x06, 0x08], "octet 3 is 08, expected CCCC0SSS, bit 3 zero");
    check_error(&[3, 0x10, 0], "octet 2 is 10, a reserved consist control");
    check_error(&[3, 0x12, 0x80], "octet 3 is 80, expected 0AAAAAAA");
    check_error(&[3, 0x20], "octet 2 is 20, a reserved advanced operation");
    check_error(&[3, 0x3B, 0], "octet 2 is 3B, target speed (RCN-212), whose layout is not known here");
    check_error(&[3, 0x3C], "octet 3 is missing: speed and functions is longer");
    check_error(&[3, 0x3C, 0, 1, 2, 3, 4, 5], "octet 8 and later follow the instruction, expected none");
    check_error(&[3, 0x3D, 1], "octet 4 is missing: an analog function is longer");
    check_error(&[3, 0x3F], "octet 3 is missing: a speed in 126 steps is longer");
    check_error(&[3, 0xC0, 0x85, 0], "octet 3 is 85, expected the short form DD for binary states 1 to 127");
    check_error(&[3, 0xC1, 0], "octet 2 is C1, model time (RCN-211), whose layout is not known here");
    check_error(&[3, 0xC4], "octet 2 is C4, a reserved feature expansion");
    check_error(&[3, 0xE0, 0, 0], "octet 2 is E0, a reserved kind of CV access");
    check_error(&[3, 0xE8, 0, 0], "octet 4 is 00, expected 111KDBBB");
    check_error(&[3, 0xE4, 0], "octet 4 is missing: CV access, long form is longer");
    check_error(&[3, 0xE4, 0, 0, 0, 0], "octet 6 and later follow the instruction, expected none");
    check_error(&[3, 0xE8, 0, 0, 0, 0], "octet 6 is 00, expected 1111DBBB");
    check_error(&[3, 0xEC, 0, 0, 0], "octet 6 is missing: an extended write is longer");
    check_error(
        &[3, 0xEC, 0, 0, 0, 1, 2, 3, 4, 5],
        "octet 10 and later follow the instruction, expected none",
    );
    check_error(&[3, 0xF0], "octet 2 is F0, a reserved CV access, short form");
    check_error(&[3, 0xF2], "octet 3 is missing: CV access, short form is longer");
    check_error(&[3, 0xF4, 0xC0], "octet 4 is missing: CV access, short form is longer");
    check_error(
        &[3, 0xF4, 0x10, 0],
        "octet 3 is 10, expected C0 to E7, the value of CV17 for a long address",
    );
    check_error(&[3, 0xF9, 5], "octet 2 is F9, a reserved CV access, short form");
    check_error(&[0, 0xF9], "octet 3 is missing: CV access, short form is longer");
    check_error(&[0, 0xF9, 0x80], "octet 3 is 80, expected 0AAAAAAA, 1 to 127");
    check_error(&[3, 0x62, 0x90], "octet 3 and later follow the instruction, expected none");
    check_error(&[0x81, 0x70], "octet 2 is 70, a reserved accessory packet of this length");
    check_error(&[0x81, 0xF8, 0x10, 0, 0], "octet 3 is 10, expected a CV access, long form");
    check_error(&[0x81, 0xF1, 0xEC, 0, 0], "octet 2 is F1, expected CDDD = 0000 or 1DDD");
}

#[test]
fn instructions_that_do_not_exist_cannot_be_made() {
    assert_eq!(BinaryState::new(0, true).expect_err("0").to_string(), "binary state 0 is outside 1 to 32767");
    assert_eq!(
        XpomData::new(&[]).expect_err("none").to_string(),
        "0 values in one extended write, expected 1 to 4"
    );
    assert!(XpomData::new(&[0; 5]).is_err());
    let address = IndexedCv::from_octets([0; 3]);
    assert_eq!(
        Xpom::new(4, address, XpomOperation::Read).expect_err("4").to_string(),
        "sequence number 4 is above 3"
    );
    let refused = SpeedAndFunctions::new(Direction::Forward, Speed::Stop, FunctionStates::ALL_OFF, 5);
    assert_eq!(
        refused.expect_err("five").to_string(),
        "5 function octets do not fit beside a speed, at most 4"
    );
    assert_eq!(
        AccessoryAddress::from_user(0).expect_err("0").to_string(),
        "accessory number 0 is outside 1 to 2044"
    );
    assert_eq!(
        AccessoryAddress::from_linear(2048).expect_err("2048").to_string(),
        "accessory packet value 2048 is above 2047"
    );
    let nothing = Packet::from_commands(Address::Broadcast, &[]);
    assert_eq!(
        nothing.expect_err("empty").to_string(),
        "octet 2 is missing: a packet without any command is longer"
    );
    let write = Command::Cv(CvAccess::write(CvNumber::FIRST, 3));
    assert_eq!(
        Packet::from_commands(Address::Broadcast, &[write; 11]).expect_err("33 octets").to_string(),
        "only the first 10 commands fit into one packet: send the others in another"
    );
}

#[test]
fn instructions_read_aloud() {
    let read = |payload: &[u8]| {
        let packet = Packet::from_payload(payload).expect("of legal length");
        Instruction::parse(&packet.view()).expect("an instruction").to_string()
    };
    assert_eq!(read(&[0xFF, 0]), "idle");
    assert_eq!(read(&[0, 0]), "all decoders: reset");
    assert_eq!(read(&[3, 0x62]), "short address 3: step 1 of 28, forward");
    assert_eq!(read(&[0, 0x50]), "all decoders: stop, direction may be ignored");
    assert_eq!(read(&[0xC4, 0xD2, 0x3F, 0xB3]), "long address 1234: step 50 of 126, forward");
    assert_eq!(read(&[3, 0x99]), "short address 3: F0 to F4: F0 F1 F4 on");
    assert_eq!(read(&[3, 0xB0]), "short address 3: F5 to F8: all off");
    assert_eq!(read(&[3, 0xEC, 0x1C, 0x26]), "short address 3: write CV29 = 38");
    assert_eq!(read(&[3, 0xE8, 0x1C, 0xE8]), "short address 3: verify CV29 bit 0 = 1");
    assert_eq!(read(&[3, 0x13, 10]), "short address 3: join the consist of short address 10, reversed");
    assert_eq!(
        read(&[3, 0xEC, 0, 0x2B, 0, 7]),
        "short address 3: write 7 from CV257 of page 0/43 on (sequence 0)"
    );
    assert_eq!(read(&[0x81, 0xF9]), "accessory 1: straight on");
}

#[test]
fn binary_states_change_their_form_after_127() {
    let forms =
        [1, 127, 128, 32_767].map(|number| BinaryState::new(number, true).expect("in range").is_short_form());
    assert_eq!(forms, [true, true, false, false]);
    check_error(&[3, 0xC0, 0x81, 0], "octet 3 is 81, expected the short form DD for binary states 1 to 127");
    check_error(&[3, 0xC0, 0xFF, 0], "octet 3 is FF, expected the short form DD for binary states 1 to 127");
    let packet = Packet::from_payload(&[3, 0xC0, 0x80, 1]).expect("of legal length");
    let state_128 = Command::BinaryState(BinaryState::new(128, true).expect("in range"));
    let address = Address::Short(ShortAddress::FACTORY);
    assert_eq!(Instruction::parse(&packet.view()), Ok(Instruction::for_decoder(address, state_128)));
}

#[test]
fn accessory_numbers_begin_at_packet_value_four() {
    let user = |linear| AccessoryAddress::from_linear(linear).expect("in range").user();
    assert_eq!([user(0), user(3), user(4), user(2047)], [None, None, Some(1), Some(2044)]);
}

#[test]
fn consist_control_says_what_cv19_becomes() {
    let address = ShortAddress::new(10).expect("in range");
    assert_eq!(ConsistControl::join(address, true).cv19(), 138);
    assert_eq!(ConsistControl::join(address, true).address(), Some(address));
    assert_eq!(ConsistControl::LEAVE.address(), None);
}

#[test]
fn a_speed_ceiling_is_a_code_of_28_steps() {
    let ceiling = SpeedRestriction::Ceiling(Speed28::step(11).expect("in range"));
    assert_eq!(SpecialOperation::from_restriction(ceiling).octet(), 0x07);
    assert_eq!(
        SpecialOperation::from_restriction(SpeedRestriction::None).as_restriction(),
        SpeedRestriction::None
    );
}
