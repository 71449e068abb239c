//! Packets as bits and as time on the rail.

use std::collections::BTreeSet;

use dcc::timing::SenderTiming;
use dcc::{Event, PacketReceiver};

use super::{Row, names, octets, row, run, with_view};

struct Bits {
    packet: &'static str,
    preamble: u8,
    bits: &'static str,
}

static BITS: &[Row<Bits>] = &[
    row(
        "K02",
        "S-9.2 Fig. 1, printed",
        Bits { packet: "37 74 43", preamble: 12, bits: "111111111111 0 00110111 0 01110100 0 01000011 1" },
    ),
    row(
        "K03",
        "NEM 671 Fig. 1, printed",
        Bits {
            packet: "37 67 50",
            preamble: 16,
            bits: "1111111111111111 0 00110111 0 01100111 0 01010000 1",
        },
    ),
    row(
        "K05",
        "S-9.2 §B",
        Bits { packet: "00 00 00", preamble: 14, bits: "11111111111111 0 00000000 0 00000000 0 00000000 1" },
    ),
];

#[test]
fn packets_become_the_printed_bits() {
    run(BITS, |case, name| {
        let made: String = with_view(case.packet, |view| {
            view.bits(case.preamble).map(|bit| if bit { '1' } else { '0' }).collect()
        });
        let printed: String = case.bits.split_whitespace().collect();
        assert_eq!(made, printed, "{name}");
    });
}

/// The check octet of a payload.
static CHECKS: &[Row<(&str, &str)>] = &[row("K01", "S-9.2 §B, Fig. 1, printed", ("37 74", "37 74 43"))];

#[test]
fn the_check_octet_is_the_exclusive_or() {
    run(CHECKS, |(payload, whole), name| {
        let packet = dcc::Packet::from_payload(&octets(payload)).expect("long enough");
        assert_eq!(packet.as_bytes(), octets(whole), "{name}");
    });
}

/// Preambles a decoder must refuse or accept (S-9.2 §A).
static PREAMBLES: &[Row<(u8, bool)>] =
    &[row("K13", "S-9.2 §A: fewer than 10 ones", (9, false)), row("K14", "S-9.2 §A: 12 ones", (12, true))];

#[test]
fn short_preambles_are_refused() {
    run(PREAMBLES, |(preamble, is_accepted), name| {
        let mut receiver = PacketReceiver::new();
        let mut heard = 0;
        with_view("37 74 43", |view| {
            for half in view.half_bits(*preamble, SenderTiming::NOMINAL) {
                if let Some(Event::Packet(packet)) = receiver.half_bit(half) {
                    assert_eq!(packet, view, "{name}");
                    heard += 1;
                }
            }
        });
        assert_eq!(heard == 1, *is_accepted, "{name}");
    });
}

struct Durations {
    packet: &'static str,
    /// Bits and nominal microseconds for 14, 16, 17 and 20 ones of preamble.
    by_preamble: [(usize, u64); 4],
}

/// The table of §2.1 of the digest: `116 · ones + 200 · zeros`, from S-9.1 Table 1.
static DURATIONS: &[Row<Durations>] = &[
    row(
        "T2.1 reset",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations { packet: "00 00 00", by_preamble: [(42, 7140), (44, 7372), (45, 7488), (48, 7836)] },
    ),
    row(
        "T2.1 idle",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations { packet: "FF 00 FF", by_preamble: [(42, 5796), (44, 6028), (45, 6144), (48, 6492)] },
    ),
    row(
        "T2.1 28 steps",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations { packet: "37 74 43", by_preamble: [(42, 6132), (44, 6364), (45, 6480), (48, 6828)] },
    ),
    row(
        "T2.1 126 steps",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations { packet: "03 3F B3 8F", by_preamble: [(51, 7428), (53, 7660), (54, 7776), (57, 8124)] },
    ),
    row(
        "T2.1 functions",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations { packet: "C4 D2 90 86", by_preamble: [(51, 7932), (53, 8164), (54, 8280), (57, 8628)] },
    ),
    row(
        "T2.1 write, short address",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations { packet: "03 EC 1C 26 D5", by_preamble: [(60, 9228), (62, 9460), (63, 9576), (66, 9924)] },
    ),
    row(
        "T2.1 write, long address",
        "S-9.1 Table 1, S-9.2 §A, derived",
        Durations {
            packet: "C4 D2 EC 1C 26 C0",
            by_preamble: [(69, 10_860), (71, 11_092), (72, 11_208), (75, 11_556)],
        },
    ),
];

#[test]
fn durations_follow_from_the_bits() {
    run(DURATIONS, |case, name| {
        for (preamble, (n_bits, micros)) in [14, 16, 17, 20].into_iter().zip(case.by_preamble) {
            with_view(case.packet, |view| {
                assert_eq!(view.bits(preamble).count(), n_bits, "{name}, preamble {preamble}");
                let duration = view.duration(preamble, SenderTiming::NOMINAL);
                assert_eq!(duration.as_micros(), micros, "{name}, preamble {preamble}");
                let sum: u32 = view.half_bits(preamble, SenderTiming::NOMINAL).sum();
                assert_eq!(u64::from(sum), micros, "{name}, preamble {preamble}");
            });
        }
    });
}

struct Counted {
    packet: &'static str,
    preamble: u8,
    ones: usize,
    zeros: usize,
    micros: u64,
    copies: u64,
}

static COUNTED: &[Row<Counted>] = &[
    row(
        "K12",
        "S-9.2 §A, derived: 14 + 3 · 9 + 1 = 42 bits; the reset has 15 ones among them",
        Counted { packet: "00 00 00", preamble: 14, ones: 15, zeros: 27, micros: 7140, copies: 1 },
    ),
    row(
        "K110",
        "S-9.2 §A, S-9.1 Table 1, derived",
        Counted { packet: "00 00 00", preamble: 20, ones: 21, zeros: 27, micros: 7836, copies: 1 },
    ),
    row(
        "K111",
        "S-9.2 §A, S-9.1 Table 1, derived",
        Counted { packet: "FF 00 FF", preamble: 20, ones: 37, zeros: 11, micros: 6492, copies: 1 },
    ),
    row(
        "K112",
        "S-9.2 §A, S-9.1 Table 1, derived",
        Counted { packet: "74 1C 06 6E", preamble: 20, ones: 35, zeros: 22, micros: 8460, copies: 1 },
    ),
    row(
        "K113",
        "S-9.2.3 §E, derived: 20 resets after power-on",
        Counted { packet: "00 00 00", preamble: 20, ones: 21, zeros: 27, micros: 156_720, copies: 20 },
    ),
    row(
        "T5.6 shortest direct packet",
        "S-9.2.3 §E, derived",
        Counted { packet: "7F 7F FF FF", preamble: 20, ones: 51, zeros: 6, micros: 7116, copies: 1 },
    ),
    row(
        "T5.6 longest direct packet",
        "S-9.2.3 §E, derived",
        Counted { packet: "74 00 00 74", preamble: 20, ones: 29, zeros: 28, micros: 8964, copies: 1 },
    ),
    row(
        "T5.6 page preset",
        "S-9.2.3 §E, derived",
        Counted { packet: "7D 01 7C", preamble: 20, ones: 33, zeros: 15, micros: 6828, copies: 1 },
    ),
];

#[test]
fn ones_and_zeros_are_counted() {
    run(COUNTED, |case, name| {
        with_view(case.packet, |view| {
            let ones = view.bits(case.preamble).filter(|bit| *bit).count();
            let zeros = view.bits(case.preamble).filter(|bit| !*bit).count();
            assert_eq!((ones, zeros), (case.ones, case.zeros), "{name}");
            let duration = view.duration(case.preamble, SenderTiming::NOMINAL);
            assert_eq!(duration.as_micros() * case.copies, case.micros, "{name}");
        });
    });
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(BITS);
    all.extend(names(CHECKS));
    all.extend(names(PREAMBLES));
    all.extend(names(DURATIONS));
    all.extend(names(COUNTED));
    all
}
