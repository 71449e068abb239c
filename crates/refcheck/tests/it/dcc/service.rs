//! Service-mode packets: meaning ⇄ octets, and the paging arithmetic.

use std::collections::BTreeSet;

use dcc::service::{PageRegister, PagedAddress, Register, RegisterOperation, ServiceInstruction};
use dcc::{BitPosition, CvAccess, ShortAddress};

use super::{Row, cv, names, octets, row, run, with_view};

struct Case {
    instruction: fn() -> ServiceInstruction,
    packet: &'static str,
}

const fn case(packet: &'static str, instruction: fn() -> ServiceInstruction) -> Case {
    Case { instruction, packet }
}

fn verify(register: u8, value: u8) -> ServiceInstruction {
    let register = Register::new(register).expect("a register");
    ServiceInstruction::Register { register, operation: RegisterOperation::Verify(value) }
}

fn write(register: u8, value: u8) -> ServiceInstruction {
    let register = Register::new(register).expect("a register");
    ServiceInstruction::Register { register, operation: RegisterOperation::Write(value) }
}

fn bit(number: u8) -> BitPosition {
    BitPosition::new(number).expect("a bit")
}

fn address(number: u8) -> ShortAddress {
    ShortAddress::new(number).expect("an address")
}

use ServiceInstruction as S;

static PACKETS: &[Row<Case>] = &[
    row("K87", "S-9.2.3 §E, printed", case("7D 01 7C", || S::write_page(1))),
    row("K88", "S-9.2.3 §E, printed", case("7F 08 77", || write(8, 8))),
    row("K89", "S-9.2.3 direct, derived", case("74 00 03 77", || S::Direct(CvAccess::verify(cv(1), 3)))),
    row("K90", "S-9.2.3 direct, derived", case("7C 00 03 7F", || S::Direct(CvAccess::write(cv(1), 3)))),
    row("K91", "S-9.2.3 direct, derived", case("74 1C 06 6E", || S::Direct(CvAccess::verify(cv(29), 6)))),
    row("K92", "S-9.2.3 direct, derived", case("7C 1C 26 46", || S::Direct(CvAccess::write(cv(29), 38)))),
    row("K93", "S-9.2.3 direct, derived", case("7C 10 C4 A8", || S::Direct(CvAccess::write(cv(17), 196)))),
    row("K93", "S-9.2.3 direct, derived", case("7C 11 D2 BF", || S::Direct(CvAccess::write(cv(18), 210)))),
    row(
        "K94",
        "S-9.2.3 direct; RCN-226 §2.1, derived",
        case("7C 07 08 73", || S::Direct(CvAccess::write(cv(8), 8))),
    ),
    row(
        "K95",
        "S-9.2.3 direct, derived",
        case("78 07 E7 98", || S::Direct(CvAccess::verify_bit(cv(8), bit(7), false))),
    ),
    row(
        "K95",
        "S-9.2.3 direct, derived",
        case("78 07 EF 90", || S::Direct(CvAccess::verify_bit(cv(8), bit(7), true))),
    ),
    row(
        "K96",
        "S-9.2.3 direct, derived",
        case("78 1C F8 9C", || S::Direct(CvAccess::write_bit(cv(29), bit(0), true))),
    ),
    row("K97", "S-9.2.3 direct, derived", case("76 00 00 76", || S::Direct(CvAccess::verify(cv(513), 0)))),
    row("K98", "S-9.2.3 direct, derived", case("7F FF 01 81", || S::Direct(CvAccess::write(cv(1024), 1)))),
    row(
        "K99",
        "S-9.2.3 address-only, derived",
        case("70 03 73", || S::verify_address(3).expect("seven bits")),
    ),
    row(
        "K99",
        "S-9.2.3 address-only, derived",
        case("78 03 7B", || S::write_address(3).expect("seven bits")),
    ),
    row("K100", "S-9.2.3 register, derived", case("7C 06 7A", || write(5, 6))),
    row("K101", "S-9.2.3 register, derived", case("77 0D 7A", || verify(8, 13))),
    row("K102", "S-9.2.3 paged, page and register printed", case("7D 11 6C", || S::write_page(17))),
    row("K102", "S-9.2.3 paged, derived", case("70 05 75", || verify(1, 5))),
    row("K108", "S-9.2.3 App. A, derived", case("03 F9 FA", || S::query(address(3)).expect("at most 111"))),
    row("K109", "S-9.2.3 App. B, derived", case("00 F9 05 FC", || S::Lock(address(5)))),
];

#[test]
fn the_packet_says_the_instruction() {
    run(PACKETS, |case, name| {
        let mut buffer = [0xA5; 8];
        let len = (case.instruction)().emit(&mut buffer).expect("it fits");
        assert_eq!(&buffer[..len], octets(case.packet), "{name}");
        assert!(buffer[len..].iter().all(|octet| *octet == 0xA5), "{name}: wrote beyond the packet");
    });
}

#[test]
fn the_instruction_is_read_from_the_packet() {
    run(PACKETS, |case, name| {
        let read = with_view(case.packet, |view| ServiceInstruction::parse(&view));
        assert_eq!(read, Ok((case.instruction)()), "{name}");
    });
}

/// CV, page, value of the page register, RRR.
type Paged = (u16, u16, u8, u8);

static PAGED: &[Row<Paged>] = &[
    row("K102", "S-9.2.3 paged, printed", (65, 17, 17, 0)),
    row("K103", "S-9.2.3 paged, derived", (1, 1, 1, 0)),
    row("K104", "S-9.2.3 paged, derived", (4, 1, 1, 3)),
    row("K105", "S-9.2.3 paged, derived", (5, 2, 2, 0)),
    row("K106", "S-9.2.3 paged, derived", (29, 8, 8, 0)),
    row("K107", "S-9.2.3 paged, derived; that page 256 is sent as 0 is inferred", (1024, 256, 0, 3)),
];

#[test]
fn paged_mode_finds_every_cv() {
    run(PAGED, |(number, page, value, rrr), name| {
        let place = PagedAddress::of(cv(*number));
        assert_eq!(place.page(), *page, "{name}");
        assert_eq!(place.page_value(), *value, "{name}");
        assert_eq!(place.data_register().get(), rrr + 1, "{name}");
        let register = PageRegister::new(*value);
        assert_eq!(register.cv(place.data_register()), Some(cv(*number)), "{name}");
    });
}

/// First octets of direct mode by CV range: verify, bit, write.
static DIRECT: &[Row<(u16, [u8; 3])>] = &[
    row("T5.4 CV1", "S-9.2.3 §E, derived", (1, [0x74, 0x78, 0x7C])),
    row("T5.4 CV256", "S-9.2.3 §E, derived", (256, [0x74, 0x78, 0x7C])),
    row("T5.4 CV257", "S-9.2.3 §E, derived", (257, [0x75, 0x79, 0x7D])),
    row("T5.4 CV513", "S-9.2.3 §E, derived", (513, [0x76, 0x7A, 0x7E])),
    row("T5.4 CV769", "S-9.2.3 §E, derived", (769, [0x77, 0x7B, 0x7F])),
    row("T5.4 CV1024", "S-9.2.3 §E, derived", (1024, [0x77, 0x7B, 0x7F])),
];

#[test]
fn the_first_octet_of_direct_mode_follows_the_range() {
    run(DIRECT, |(number, expected), name| {
        let number = cv(*number);
        let accesses = [
            CvAccess::verify(number, 0),
            CvAccess::verify_bit(number, bit(0), false),
            CvAccess::write(number, 0),
        ];
        for (access, first) in accesses.into_iter().zip(expected) {
            assert_eq!(S::Direct(access).to_packet().as_bytes().first(), Some(first), "{name}: {access}");
        }
    });
}

/// The registers of mobile decoders.
static REGISTERS: &[Row<(u8, u16)>] = &[
    row("T5.4 register 1", "S-9.2.3 §E", (1, 1)),
    row("T5.4 register 2", "S-9.2.3 §E", (2, 2)),
    row("T5.4 register 3", "S-9.2.3 §E", (3, 3)),
    row("T5.4 register 4", "S-9.2.3 §E", (4, 4)),
    row("T5.4 register 5", "S-9.2.3 §E", (5, 29)),
    row("T5.4 register 7", "S-9.2.3 §E", (7, 7)),
    row("T5.4 register 8", "S-9.2.3 §E", (8, 8)),
];

#[test]
fn registers_stand_for_cvs() {
    run(REGISTERS, |(register, number), name| {
        let register = Register::new(*register).expect("a register");
        assert_eq!(Register::of_cv(cv(*number)), Some(register), "{name}");
        assert_eq!(PageRegister::DEFAULT.cv(register), Some(cv(*number)), "{name}");
    });
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(PACKETS);
    all.extend(names(PAGED));
    all.extend(names(DIRECT));
    all.extend(names(REGISTERS));
    all
}
