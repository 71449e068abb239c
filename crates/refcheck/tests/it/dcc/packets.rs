//! Operations-mode packets: meaning ⇄ octets.

use std::collections::BTreeSet;

use dcc::cv::IndexedCv;
use dcc::{
    AccessoryAddress, AccessoryInstruction, Address, BaselineSpeed, BinaryState, BitPosition, Command,
    ConsistControl, CvAccess, DecoderControl, Direction, Function, FunctionGroup, GroupStates, Instruction,
    LongAddress, PacketError, PacketView, ShortAddress, ShortCvAccess, Speed14, Speed28, Speed126, Xpom,
    XpomData, XpomOperation,
};

use super::{Row, cv, long, names, octets, row, run, short, with_view};

struct Case {
    instruction: fn() -> Instruction,
    packet: &'static str,
}

const fn case(packet: &'static str, instruction: fn() -> Instruction) -> Case {
    Case { instruction, packet }
}

fn to(address: Address, command: Command) -> Instruction {
    Instruction::for_decoder(address, command)
}

fn steps_28(direction: Direction, step: u8) -> Command {
    Command::Speed(BaselineSpeed::in_28_steps(direction, Speed28::step(step).expect("a step")))
}

fn steps_126(direction: Direction, step: u8) -> Command {
    Command::Speed126 { direction, speed: Speed126::step(step).expect("a step") }
}

fn functions(group: FunctionGroup, on: &[u8]) -> Command {
    let mut states = GroupStates::all_off(group);
    for number in on {
        let function = Function::new(*number).expect("a function");
        states = states.with(function, true).expect("a function of the group");
    }
    Command::Functions(states)
}

fn binary_state(number: u16, is_on: bool) -> Command {
    Command::BinaryState(BinaryState::new(number, is_on).expect("a binary state"))
}

fn bit(number: u8) -> BitPosition {
    BitPosition::new(number).expect("a bit")
}

fn accessory(number: u16) -> AccessoryAddress {
    AccessoryAddress::from_user(number).expect("an accessory number")
}

fn consist(number: u8, is_reversed: bool) -> Command {
    let address = ShortAddress::new(number).expect("an address");
    Command::Consist(ConsistControl::join(address, is_reversed))
}

fn xpom(address: IndexedCv, operation: XpomOperation) -> Command {
    Command::Xpom(Xpom::new(0, address, operation).expect("a sequence number"))
}

use Direction::{Forward, Reverse};

static PACKETS: &[Row<Case>] = &[
    row("K06", "S-9.2 §B, printed", case("FF 00 FF", || Instruction::Idle)),
    row("K07", "S-9.2 §B", case("00 60 60", || Instruction::broadcast_stop(Some(Forward), false))),
    row("K08", "S-9.2 §B", case("00 61 61", || Instruction::broadcast_stop(Some(Forward), true))),
    row("K09", "S-9.2 §B", case("00 50 50", || Instruction::broadcast_stop(None, false))),
    row("K10", "S-9.2 §B", case("00 51 51", || Instruction::broadcast_stop(None, true))),
    row("K18", "S-9.2 Fig. 2, derived", case("03 62 61", || to(short(3), steps_28(Forward, 1)))),
    row("K19", "S-9.2 Fig. 2, derived", case("03 7F 7C", || to(short(3), steps_28(Forward, 28)))),
    row("K20", "S-9.2 Fig. 2, derived", case("03 5F 5C", || to(short(3), steps_28(Reverse, 28)))),
    row(
        "K21",
        "S-9.2.1 §C 010/011, derived",
        case("03 78 7B", || {
            to(
                short(3),
                Command::Speed(BaselineSpeed::in_14_steps(Forward, Speed14::step(7).expect("a step"), true)),
            )
        }),
    ),
    row(
        "K22",
        "S-9.2.1 §C 128 steps, derived",
        case("03 3F 80 BC", || to(short(3), Command::Speed126 { direction: Forward, speed: Speed126::Stop })),
    ),
    row("K23", "S-9.2.1 §C 128 steps, derived", case("03 3F 82 BE", || to(short(3), steps_126(Forward, 1)))),
    row("K24", "S-9.2.1 §C 128 steps, derived", case("03 3F B3 8F", || to(short(3), steps_126(Forward, 50)))),
    row(
        "K25",
        "S-9.2.1 §C 128 steps, derived",
        case("03 3F 7F 43", || to(short(3), steps_126(Reverse, 126))),
    ),
    row(
        "K26",
        "S-9.2.1 §C, derived",
        case("03 3F 81 BD", || {
            to(short(3), Command::Speed126 { direction: Forward, speed: Speed126::EmergencyStop })
        }),
    ),
    row("K27", "S-9.2.1 §C, derived", case("C4 D2 3F B3 9A", || to(long(1234), steps_126(Forward, 50)))),
    row(
        "K28",
        "S-9.2.1 §C 100, derived",
        case("03 90 93", || to(short(3), functions(FunctionGroup::F0ToF4, &[0]))),
    ),
    row(
        "K29",
        "S-9.2.1 §C 100, derived",
        case("03 99 9A", || to(short(3), functions(FunctionGroup::F0ToF4, &[0, 1, 4]))),
    ),
    row(
        "K30",
        "S-9.2.1 §C 101, derived",
        case("03 B9 BA", || to(short(3), functions(FunctionGroup::F5ToF8, &[5, 8]))),
    ),
    row(
        "K31",
        "S-9.2.1 §C 101, derived",
        case("03 AA A9", || to(short(3), functions(FunctionGroup::F9ToF12, &[10, 12]))),
    ),
    row(
        "K32",
        "S-9.2.1 §C 110, derived",
        case("03 DE 81 5C", || to(short(3), functions(FunctionGroup::F13ToF20, &[13, 20]))),
    ),
    row(
        "K33",
        "S-9.2.1 §C 110, derived",
        case("03 DF 80 5C", || to(short(3), functions(FunctionGroup::F21ToF28, &[28]))),
    ),
    row(
        "K34",
        "RCN-212 (digest), derived",
        case("03 D8 01 DA", || to(short(3), functions(FunctionGroup::F29ToF36, &[29]))),
    ),
    row(
        "K35",
        "S-9.2.1 §C 100, derived",
        case("C4 D2 90 86", || to(long(1234), functions(FunctionGroup::F0ToF4, &[0]))),
    ),
    row("K36", "S-9.2.1 §C 110, derived", case("03 DD 85 5B", || to(short(3), binary_state(5, true)))),
    row("K37", "S-9.2.1 §C 110, derived", case("03 C0 AC 02 6D", || to(short(3), binary_state(300, true)))),
    row(
        "K38",
        "S-9.2.1 §C 110, instruction octets printed",
        case("00 C0 00 00 C0", || to(Address::Broadcast, Command::BinaryState(BinaryState::all_long(false)))),
    ),
    row(
        "K39",
        "S-9.2.1 §C analog group, derived",
        case("03 3D 01 80 BF", || to(short(3), Command::Analog { output: 1, value: 128 })),
    ),
    row(
        "K40",
        "S-9.2.1 §C consist control, derived",
        case("05 12 0A 1D", || to(short(5), consist(10, false))),
    ),
    row(
        "K41",
        "S-9.2.1 §C consist control, derived",
        case("05 13 0A 1C", || to(short(5), consist(10, true))),
    ),
    row(
        "K42",
        "S-9.2.1 §C consist control, derived",
        case("05 12 00 17", || to(short(5), Command::Consist(ConsistControl::LEAVE))),
    ),
    row(
        "K76",
        "S-9.2.1 §C 111, derived",
        case("03 EC 1C 26 D5", || to(short(3), Command::Cv(CvAccess::write(cv(29), 38)))),
    ),
    row(
        "K77",
        "S-9.2.1 §C 111, derived",
        case("C4 D2 EC 1C 26 C0", || to(long(1234), Command::Cv(CvAccess::write(cv(29), 38)))),
    ),
    row(
        "K78",
        "S-9.2.1 §C 111, derived",
        case("03 E4 07 00 E0", || to(short(3), Command::Cv(CvAccess::verify(cv(8), 0)))),
    ),
    row(
        "K79",
        "S-9.2.1 §C 111, derived",
        case("03 E8 1C FD 0A", || to(short(3), Command::Cv(CvAccess::write_bit(cv(29), bit(5), true)))),
    ),
    row(
        "K80",
        "S-9.2.1 §C 111, derived",
        case("03 EF 80 01 6D", || to(short(3), Command::Cv(CvAccess::write(cv(897), 1)))),
    ),
    row(
        "K81",
        "S-9.2.1 §C 111, derived",
        case("03 EF FF FF EC", || to(short(3), Command::Cv(CvAccess::write(cv(1024), 255)))),
    ),
    row(
        "K82",
        "S-9.2.1 §C 111 short form, derived",
        case("03 F2 0A FB", || to(short(3), Command::ShortCv(ShortCvAccess::AccelerationAdjustment(10)))),
    ),
    row(
        "K83",
        "RCN-217 §4.3.2, RCN-214 (digest), derived",
        case("03 F4 C4 D2 E1", || {
            let address = LongAddress::new(1234).expect("an address");
            to(short(3), Command::ShortCv(ShortCvAccess::LongAddress(address)))
        }),
    ),
    row(
        "K84",
        "RCN-217 §4.3.2, RCN-214 (digest), derived",
        case("03 F5 00 28 DE", || {
            to(short(3), Command::ShortCv(ShortCvAccess::IndexPage { cv31: 0, cv32: 40 }))
        }),
    ),
    row(
        "K85",
        "RCN-217 §5.6, derived",
        case("03 E4 00 00 1C FB", || to(short(3), xpom(IndexedCv::plain(cv(29)), XpomOperation::Read))),
    ),
    row(
        "K86",
        "RCN-217 §5.6, RCN-227 §3.3, derived",
        case("03 EC 00 2B 00 40 C1 06 D7 94", || {
            let address = IndexedCv::in_window(0, 43, cv(257)).expect("in the window");
            let data = XpomData::new(&[64, 193, 6, 215]).expect("four values");
            to(short(3), xpom(address, XpomOperation::Write(data)))
        }),
    ),
    row(
        "K131",
        "RCN-213 (digest), derived",
        case("81 F9 78", || {
            Instruction::Accessory(AccessoryInstruction::Basic {
                address: accessory(1),
                is_straight: true,
                is_active: true,
            })
        }),
    ),
    row(
        "K132",
        "RCN-213 (digest), derived",
        case("82 F8 7A", || {
            Instruction::Accessory(AccessoryInstruction::Basic {
                address: accessory(5),
                is_straight: false,
                is_active: true,
            })
        }),
    ),
    row(
        "K133",
        "RCN-213 (digest), derived; that the offset 3 holds here too is from memory",
        case("81 71 05 F5", || {
            Instruction::Accessory(AccessoryInstruction::Extended { address: accessory(1), aspect: 5 })
        }),
    ),
    row(
        "T2.3 first figure",
        "S-9.2 Fig. 1, printed",
        case("37 74 43", || to(short(55), steps_28(Forward, 6))),
    ),
    row(
        "T2.3 second figure",
        "NEM 671 Fig. 1, printed; its caption says step 14, its own Table 1 makes it step 11",
        case("37 67 50", || to(short(55), steps_28(Forward, 11))),
    ),
    row("T2.3 reset", "S-9.2 §B; NEM 671 §4.2", case("00 00 00", || Instruction::RESET)),
    row(
        "T2.3 all short-form binary states off",
        "S-9.2.1 §C 110, instruction octets printed",
        case("00 DD 00 DD", || to(Address::Broadcast, Command::BinaryState(BinaryState::all_short(false)))),
    ),
    row(
        "T2.3 clear all consists",
        "RCN-212 (digest)",
        case("00 12 00 12", || to(Address::Broadcast, Command::Consist(ConsistControl::LEAVE))),
    ),
    row(
        "T3.12 broadcast basic",
        "S-9.2.1 §D, BF 1000CDDD with C = 1, DDD = 111",
        case("BF 8F 30", || {
            Instruction::Accessory(AccessoryInstruction::Basic {
                address: AccessoryAddress::BROADCAST,
                is_straight: true,
                is_active: true,
            })
        }),
    ),
    row(
        "T3.12 broadcast extended",
        "S-9.2.1 §D, BF 07 000XXXXX with absolute stop",
        case("BF 07 00 B8", || {
            Instruction::Accessory(AccessoryInstruction::Extended {
                address: AccessoryAddress::BROADCAST,
                aspect: 0,
            })
        }),
    ),
    row(
        "T7.7 rerailing search",
        "RCN-217 §5.2.3, printed: XF2 off",
        case("00 DD 02 DF", || to(Address::Broadcast, binary_state(BinaryState::RERAILING_SEARCH, false))),
    ),
    row(
        "T3.3 hard reset",
        "S-9.2.1 §C 000, derived",
        case("03 01 02", || to(short(3), Command::Control(DecoderControl::HardReset))),
    ),
    row(
        "T3.3 long address on",
        "S-9.2.1 §C 000, derived",
        case("03 0B 08", || to(short(3), Command::Control(DecoderControl::SetLongAddressing(true)))),
    ),
    row(
        "T3.3 acknowledgement request",
        "S-9.2.1 §C 000, derived",
        case("03 0F 0C", || to(short(3), Command::Control(DecoderControl::AcknowledgementRequest))),
    ),
];

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(PACKETS);
    all.extend(names(REJECTED));
    all
}

#[test]
fn the_packet_says_the_instruction() {
    run(PACKETS, |case, name| {
        let mut buffer = [0xA5; 12];
        let expected = octets(case.packet);
        let len = (case.instruction)().emit(&mut buffer).expect("it fits");
        assert_eq!(&buffer[..len], expected, "{name}");
        assert!(buffer[len..].iter().all(|octet| *octet == 0xA5), "{name}: wrote beyond the packet");
    });
}

#[test]
fn the_instruction_is_read_from_the_packet() {
    run(PACKETS, |case, name| {
        let read = with_view(case.packet, |view| Instruction::parse(&view));
        assert_eq!(read, Ok((case.instruction)()), "{name}");
    });
}

static REJECTED: &[Row<(&str, PacketError)>] = &[row(
    "K11",
    "S-9.2 §B, derived: the exclusive or over all octets is 01",
    ("03 3F B3 8E", PacketError::Check { octet: 4, found: 0x8E, expected: 0x8F }),
)];

#[test]
fn a_wrong_check_octet_is_noticed() {
    run(REJECTED, |(packet, error), name| {
        assert_eq!(PacketView::new(&octets(packet)), Err(*error), "{name}");
    });
}

/// First octets of the long form by CV range (S-9.2.1 §C 111).
static LONG_FORM: &[Row<(u16, [u8; 3])>] = &[
    row("T3.10 CV1", "S-9.2.1 §C 111", (1, [0xE4, 0xE8, 0xEC])),
    row("T3.10 CV256", "S-9.2.1 §C 111", (256, [0xE4, 0xE8, 0xEC])),
    row("T3.10 CV257", "S-9.2.1 §C 111", (257, [0xE5, 0xE9, 0xED])),
    row("T3.10 CV512", "S-9.2.1 §C 111", (512, [0xE5, 0xE9, 0xED])),
    row("T3.10 CV513", "S-9.2.1 §C 111 and App. A, field 10 00000000 printed", (513, [0xE6, 0xEA, 0xEE])),
    row("T3.10 CV768", "S-9.2.1 §C 111", (768, [0xE6, 0xEA, 0xEE])),
    row("T3.10 CV769", "S-9.2.1 §C 111", (769, [0xE7, 0xEB, 0xEF])),
    row("T3.10 CV1024", "S-9.2.1 §C 111", (1024, [0xE7, 0xEB, 0xEF])),
];

#[test]
fn the_first_octet_of_cv_access_follows_the_range() {
    run(LONG_FORM, |(number, expected), name| {
        let number = cv(*number);
        let accesses = [
            CvAccess::verify(number, 0),
            CvAccess::verify_bit(number, bit(0), false),
            CvAccess::write(number, 0),
        ];
        for (access, first) in accesses.into_iter().zip(expected) {
            let packet = to(short(3), Command::Cv(access)).to_packet();
            assert_eq!(packet.as_bytes().get(1), Some(first), "{name}: {access}");
            assert_eq!(u16::from(packet.as_bytes()[2]), (number.get() - 1) % 256, "{name}: {access}");
        }
    });
}

/// What the CVs are after consist control (S-9.2.1 §C).
static CV19_AFTER: &[Row<(&str, u8)>] = &[
    row("T3.4 normal", "S-9.2.1 §C consist control", ("05 12 0A 1D", 10)),
    row("T3.4 reversed", "S-9.2.1 §C consist control", ("05 13 0A 1C", 138)),
    row("T3.4 off", "S-9.2.1 §C consist control", ("05 12 00 17", 0)),
    row("T3.4 off, reversed", "S-9.2.1 §C consist control: A = 0 in either", ("05 13 00 16", 0)),
];

#[test]
fn consist_control_sets_cv19() {
    run(CV19_AFTER, |(packet, cv19), name| {
        let read = with_view(packet, |view| Instruction::parse(&view)).expect("consist control");
        let Instruction::MultiFunction { command: Command::Consist(consist), .. } = read else {
            panic!("{name}: {read}");
        };
        assert_eq!(consist.cv19(), *cv19, "{name}");
    });
}
