//! Bi-directional communication: code, datagrams, addresses, checksum.

use std::collections::BTreeSet;

use dcc::bidi::{
    BidiError, Channel1Datagram, Channel2, Channel2Item, Datagram, DynamicMeaning, DynamicVariable,
    FeedbackAddress, Symbol, decode, encode,
};
use dcc::{LongAddress, ShortAddress};

use super::{Row, names, octets, row, run};

/// The table, row by row of eight (RCN-217 Table 2).
static CODE: &[Row<(u8, &str)>] = &[
    row("T7.2 00", "RCN-217 Table 2, printed", (0x00, "AC AA A9 A5 A3 A6 9C 9A")),
    row("T7.2 08", "RCN-217 Table 2, printed", (0x08, "99 95 93 96 8E 8D 8B B1")),
    row("T7.2 10", "RCN-217 Table 2, printed", (0x10, "B2 B4 B8 74 72 6C 6A 69")),
    row("T7.2 18", "RCN-217 Table 2, printed", (0x18, "65 63 66 5C 5A 59 55 53")),
    row("T7.2 20", "RCN-217 Table 2, printed", (0x20, "56 4E 4D 4B 47 71 E8 E4")),
    row("T7.2 28", "RCN-217 Table 2, printed", (0x28, "E2 D1 C9 C5 D8 D4 D2 CA")),
    row("T7.2 30", "RCN-217 Table 2, printed", (0x30, "C6 CC 78 17 1B 1D 1E 2E")),
    row("T7.2 38", "RCN-217 Table 2, printed", (0x38, "36 3A 27 2B 2D 35 39 33")),
];

#[test]
fn the_code_is_the_printed_table() {
    run(CODE, |(first, line), name| {
        for (value, octet) in (*first..).zip(octets(line)) {
            assert_eq!(encode(value), octet, "{name}, value {value:02X}");
            assert_eq!(decode(octet), Ok(Symbol::Value(value)), "{name}, octet {octet:02X}");
        }
    });
}

static SYMBOLS: &[Row<(u8, Result<Symbol, BidiError>)>] = &[
    row("K116", "RCN-217 Table 2", (0xAC, Ok(Symbol::Value(0)))),
    row("K116", "RCN-217 Table 2", (0x33, Ok(Symbol::Value(0x3F)))),
    row("K117", "RCN-217 Table 2", (0x0F, Ok(Symbol::Acknowledge))),
    row("K117", "RCN-217 Table 2", (0xF0, Ok(Symbol::Acknowledge))),
    row("K117", "RCN-217 Table 2", (0x3C, Ok(Symbol::NotAcknowledge))),
    row("K117", "RCN-217 Table 2", (0xE1, Ok(Symbol::Reserved))),
    row("T7.2 reserved", "RCN-217 Table 2", (0xC3, Ok(Symbol::Reserved))),
    row("T7.2 reserved", "RCN-217 Table 2", (0x87, Ok(Symbol::Reserved))),
    row("K118", "RCN-217 §2.5: weight 8, not 4", (0xFF, Err(BidiError::Weight { found: 0xFF }))),
];

#[test]
fn octets_of_feedback_are_told_apart() {
    run(SYMBOLS, |(octet, expected), name| assert_eq!(decode(*octet), *expected, "{name}"));
}

#[test]
fn seventy_octets_are_legal() {
    // "Every legal byte has exactly four ones; 70 such bytes exist" (RCN-217 Table 2, derived).
    assert_eq!((0..=255).filter(|octet| decode(*octet).is_ok()).count(), 70);
}

fn variable(value: u8, sub_index: u8) -> Datagram {
    Datagram::Dynamic(DynamicVariable::new(value, sub_index).expect("six bits"))
}

fn channel_2() -> Vec<Row<(Datagram, &'static str)>> {
    let speed = |kilometres| {
        Datagram::Dynamic(DynamicVariable::kilometres_per_hour(kilometres).expect("at most 511 km/h"))
    };
    vec![
        row("K119", "RCN-217 §3, Table 2, derived", (Datagram::PomReply(42), "AC C9")),
        row("K120", "RCN-217, derived", (Datagram::PomReply(255), "A5 33")),
        row("K124", "RCN-217 §5.5, derived", (speed(80), "59 B2 AC")),
        row("K125", "RCN-217 §5.5, derived", (speed(300), "5A D8 AA")),
        row("K125", "RCN-217 §5.5, derived: value 44, sub-index 1", (variable(44, 1), "5A D8 AA")),
        row(
            "K126",
            "RCN-217 Table 13, derived",
            (Datagram::Dynamic(DynamicVariable::degrees_celsius(25)), "59 96 66"),
        ),
        row("K126", "RCN-217 Table 13, derived: value 75, sub-index 26", (variable(75, 26), "59 96 66")),
        row(
            "K127",
            "RCN-217 Table 13, derived",
            (Datagram::Dynamic(DynamicVariable::track_decivolts(160)), "59 D2 D2"),
        ),
        row("K127", "RCN-217 Table 13, derived: value 110, sub-index 46", (variable(110, 46), "59 D2 D2")),
        row(
            "K128",
            "RCN-217 §5.6, derived",
            (Datagram::XpomReply { sequence: 0, values: [6, 0, 0, 0] }, "56 9C AC AC AC AC"),
        ),
    ]
}

#[test]
fn datagrams_of_channel_2_go_both_ways() {
    run(&channel_2(), |(datagram, coded), name| {
        let coded = octets(coded);
        assert_eq!(datagram.symbols().expect("in range").as_bytes(), coded, "{name}");
        let read: Vec<_> = Channel2::new(&coded).collect();
        assert_eq!(read, [Ok(Channel2Item::Datagram(*datagram))], "{name}");
    });
}

/// What dynamic variables say (RCN-217 Table 13).
static MEANINGS: &[Row<(u8, u8, DynamicMeaning)>] = &[
    row("T7.6 speed", "RCN-217 Table 13", (80, 0, DynamicMeaning::KilometresPerHour(80))),
    row("T7.6 higher speed", "RCN-217 Table 13", (44, 1, DynamicMeaning::KilometresPerHour(300))),
    row("T7.6 reception errors", "RCN-217 Table 13", (5, 7, DynamicMeaning::ReceptionErrorsPercent(5))),
    row(
        "T7.6 first container",
        "RCN-217 Table 13",
        (70, 8, DynamicMeaning::Container { number: 1, percent: 70 }),
    ),
    row(
        "T7.6 last container",
        "RCN-217 Table 13",
        (70, 19, DynamicMeaning::Container { number: 12, percent: 70 }),
    ),
    row("T7.6 alarm", "RCN-217 Table 13: 128 motor short", (128, 21, DynamicMeaning::Alarm(128))),
    row("T7.6 temperature", "RCN-217 Table 13", (75, 26, DynamicMeaning::DegreesCelsius(25))),
    row("T7.6 track voltage", "RCN-217 Table 13", (110, 46, DynamicMeaning::TrackDecivolts(160))),
    row(
        "T7.6 stopping distance",
        "RCN-217 Table 13: 4 m units",
        (25, 47, DynamicMeaning::StoppingMetres(100)),
    ),
];

#[test]
fn dynamic_variables_are_understood() {
    run(MEANINGS, |(value, sub_index, expected), name| {
        let variable = DynamicVariable::new(*value, *sub_index).expect("six bits");
        assert_eq!(variable.meaning(), *expected, "{name}");
    });
}

fn addresses() -> Vec<Row<(FeedbackAddress, [&'static str; 2])>> {
    let short = |number| ShortAddress::new(number).expect("an address");
    let long = LongAddress::new(1234).expect("an address");
    vec![
        row("K121", "RCN-217 Tables 3, 11, derived", (FeedbackAddress::Short(short(3)), ["A3 AC", "99 A5"])),
        row("K122", "RCN-217 Tables 3, 11, derived", (FeedbackAddress::Long(long), ["9C A3", "96 B8"])),
        row(
            "K123",
            "RCN-217 Tables 3, 11, derived",
            (FeedbackAddress::Consist { address: short(10), is_reversed: true }, ["A6 56", "93 93"]),
        ),
    ]
}

#[test]
fn addresses_are_told_in_channel_1() {
    run(&addresses(), |(address, coded), name| {
        let mut contents = [0; 2];
        for ((datagram, coded), content) in address.datagrams().into_iter().zip(coded).zip(&mut contents) {
            let coded = octets(coded);
            assert_eq!(datagram.symbols().as_bytes(), coded, "{name}");
            let received = [coded[0], coded[1]];
            assert_eq!(Channel1Datagram::parse(received), Ok(datagram), "{name}");
            *content = match datagram {
                Channel1Datagram::AddressHigh(octet)
                | Channel1Datagram::AddressLow(octet)
                | Channel1Datagram::Info(octet) => octet,
            };
        }
        assert_eq!(FeedbackAddress::from_octets(contents), Some(*address), "{name}");
    });
}

static CHECKSUMS: &[Row<(&str, u8)>] = &[
    row("K129", "RCN-218 Annex C.5, printed", ("0B 0A 00 00 8E 40 00 0D 67 00 01 00", 0x4C)),
    row("K130", "derived; the general catalogue value is from memory", ("31 32 33 34 35 36 37 38 39", 0xA1)),
];

#[test]
fn checksums_agree() {
    run(CHECKSUMS, |(message, crc), name| {
        let mut message = octets(message);
        assert_eq!(dcc::crc8(&message), *crc, "{name}");
        message.push(*crc);
        assert_eq!(dcc::crc8(&message), 0, "{name}: over message and checksum");
    });
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(CODE);
    all.extend(names(SYMBOLS));
    all.extend(names(&channel_2()));
    all.extend(names(MEANINGS));
    all.extend(names(&addresses()));
    all.extend(names(CHECKSUMS));
    all
}
