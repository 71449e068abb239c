//! Service mode: sections 5.1 to 5.5 and 5.8 of the digest (S-9.2.3), with the octets of its check values.

use super::OnRails;
use crate::dcc::{Row, row, run};

/// What is sent after the power-on cycle, and whether what stands behind the bar is acknowledged.
struct Case {
    decoder: &'static str,
    packets: &'static str,
    is_acknowledged: bool,
}

const fn yes(decoder: &'static str, packets: &'static str) -> Case {
    Case { decoder, packets, is_acknowledged: true }
}

const fn no(decoder: &'static str, packets: &'static str) -> Case {
    Case { decoder, packets, is_acknowledged: false }
}

static SEQUENCES: &[Row<Case>] = &[
    row("K91", "S-9.2.3 §E direct: 3 R, 5 V", yes("nmra", "3 00 00 00; 5 74 1C 06 6E")),
    row("K89", "S-9.2.3 §E direct: 3 R, 5 V", yes("nmra", "3 00 00 00; 5 74 00 03 77")),
    row("K92", "S-9.2.3 §E direct: 3 R, 5 W, 6 W", yes("nmra", "3 00 00 00; 11 7C 1C 26 46")),
    row("K95, bit 7 of 13 is 0", "S-9.2.3 §E direct bit", yes("nmra", "3 00 00 00; 5 78 07 E7 98")),
    row("K95, and not 1", "S-9.2.3 §E direct bit", no("nmra", "3 00 00 00; 5 78 07 EF 90")),
    row("K96", "S-9.2.3 §E direct bit", yes("nmra", "3 00 00 00; 11 78 1C F8 9C")),
    row("K97", "S-9.2.3 direct: CV513 = 0", yes("nmra", "3 00 00 00; 5 76 00 00 76")),
    row("K98", "S-9.2.3 direct: CV1024", yes("nmra", "3 00 00 00; 11 7F FF 01 81")),
    row(
        "K99",
        "S-9.2.3 §E address-only: 3 R, 5 P, 6 R, 3 R, 5 V",
        yes("nmra", "3 00 00 00; 5 7D 01 7C; 6 00 00 00 | 3 00 00 00; 5 70 03 73"),
    ),
    row(
        "K100",
        "S-9.2.3 §E register: 3 R, 5 P, 6 R, 3 R, 5 W, 6 W",
        yes("registers", "3 00 00 00; 5 7D 01 7C; 6 00 00 00 | 3 00 00 00; 11 7C 06 7A"),
    ),
    row(
        "K101",
        "S-9.2.3 §E register: 3 R, 5 P, 6 R, 3 R, 7 V",
        yes("registers", "3 00 00 00; 5 7D 01 7C; 6 00 00 00 | 3 00 00 00; 7 77 0D 7A"),
    ),
    row(
        "K102, CV65 = 0 on delivery",
        "S-9.2.3 §E paged: 3 R, 5 G, 6 R, 3 R, 5 V",
        yes("nmra", "3 00 00 00; 5 7D 11 6C; 6 00 00 00 | 3 00 00 00; 5 70 00 70"),
    ),
    row(
        "K102, CV65 is not 5",
        "S-9.2.3 §E paged",
        no("nmra", "3 00 00 00; 5 7D 11 6C; 6 00 00 00 | 3 00 00 00; 5 70 05 75"),
    ),
    row(
        "K106, CV29 through page 8",
        "S-9.2.3 §E paged",
        yes("nmra", "3 00 00 00; 5 7D 08 75; 6 00 00 00 | 3 00 00 00; 5 70 06 76"),
    ),
    row(
        "K107, CV1024 through page 0",
        "S-9.2.3 §E paged, page 256 sent as 0",
        yes("nmra", "3 00 00 00; 5 7D 00 7D; 6 00 00 00 | 3 00 00 00; 5 73 00 73"),
    ),
    row(
        "T page above 1",
        "S-9.2.3 §E: without paged mode no answer while the page register is above 1",
        no("registers", "3 00 00 00; 5 7D 02 7F; 6 00 00 00 | 3 00 00 00; 5 70 00 70"),
    ),
    row(
        "T page survives resets",
        "S-9.2.3 §E: a reset packet must not reset the page register",
        yes("nmra", "3 00 00 00; 5 7D 08 75 | 60 00 00 00; 5 70 06 76"),
    ),
    row("K108", "S-9.2.3 App. A: address query", yes("nmra", "3 00 00 00; 5 03 F9 FA")),
    row(
        "K109",
        "S-9.2.3 App. B: lock for decoder 5",
        no("nmra", "3 00 00 00; 3 00 F9 05 FC | 3 00 00 00; 5 74 1C 06 6E"),
    ),
    row(
        "T one packet",
        "S-9.2.3 §E: two identical packets execute",
        no("nmra", "3 00 00 00; 1 74 1C 06 6E; 2 00 00 00"),
    ),
    row(
        "T two packets",
        "S-9.2.3 §E: two identical packets execute",
        yes("nmra", "3 00 00 00; 2 74 1C 06 6E; 2 00 00 00"),
    ),
    row(
        "T another between",
        "S-9.2.3 §E: no other valid packet between the two",
        no("nmra", "3 00 00 00; 1 74 1C 06 6E; 1 74 1C 07 6F; 1 74 1C 06 6E; 1 74 1C 07 6F; 2 00 00 00"),
    ),
    row(
        "T invalid between",
        "5.8 rule 7: invalid packets change nothing",
        yes("nmra", "3 00 00 00; 1 74 1C 06 6E; 1 74 1C 07 00; 1 74 1C 06 6E; 2 00 00 00"),
    ),
    row(
        "T no reset",
        "S-9.2.3 §C: entered only right after a reset",
        no("nmra", "3 FF 00 FF; 5 74 1C 06 6E"),
    ),
    row(
        "T left by idle",
        "S-9.2.3 §C: left by a valid packet that is neither reset nor service mode",
        no("nmra", "3 00 00 00; 1 74 1C 06 6E; 1 FF 00 FF; 4 74 1C 06 6E"),
    ),
    row(
        "T entered again",
        "5.8: a reset arms again",
        yes("nmra", "3 00 00 00; 1 74 1C 06 6E; 1 FF 00 FF; 1 00 00 00; 4 74 1C 06 6E"),
    ),
];

#[test]
fn sequences_are_acknowledged_as_the_standard_says() {
    run(SEQUENCES, |case, name| {
        let mut on_rails = OnRails::new(case.decoder, "");
        // A page that is acknowledged is not the answer: what comes before the bar is not looked at.
        let (before, asked) = case.packets.split_once('|').unwrap_or(("", case.packets));
        on_rails.service(before);
        on_rails.milliamperes.clear();
        on_rails.service(asked);
        let pulses = on_rails.pulses();
        assert_eq!(!pulses.is_empty(), case.is_acknowledged, "{name}: {pulses:?}");
        // 6 ms ± 1 ms (S-9.2.3 §D), once.
        assert!(
            pulses.iter().all(|pulse| (5.0..=7.0).contains(pulse)) && pulses.len() <= 1,
            "{name}: {pulses:?}"
        );
    });
}

/// What a write leaves behind.
struct Write {
    packets: &'static str,
    cvs: &'static [(u16, u8)],
}

static WRITES: &[Row<Write>] = &[
    row("K92", "S-9.2.3 direct", Write { packets: "3 00 00 00; 11 7C 1C 26 46", cvs: &[(29, 38)] }),
    row(
        "K93",
        "S-9.2.3 direct",
        Write {
            packets: "3 00 00 00; 11 7C 10 C4 A8; 3 00 00 00; 11 7C 11 D2 BF",
            cvs: &[(17, 196), (18, 210)],
        },
    ),
    row("K96", "S-9.2.3 direct bit", Write { packets: "3 00 00 00; 11 78 1C F8 9C", cvs: &[(29, 7)] }),
    row("K98", "S-9.2.3 direct", Write { packets: "3 00 00 00; 11 7F FF 01 81", cvs: &[(1024, 1)] }),
    row(
        "K90 with long address and consist before",
        "S-9.2.3 §E: any write of CV1 clears CV29 bit 5 and CV19",
        Write {
            packets: "3 00 00 00; 11 7C 1C 26 46; 3 00 00 00; 11 7C 12 28 46; 3 00 00 00; 11 7C 00 03 7F",
            cvs: &[(1, 3), (29, 6), (19, 0)],
        },
    ),
    row(
        "K94",
        "RCN-226 §2.1; CV8 reads 255 until the reset has finished",
        Write { packets: "3 00 00 00; 11 7C 07 08 73", cvs: &[(8, 255)] },
    ),
    row(
        "K88",
        "S-9.2.3 §E factory reset by registers",
        Write { packets: "3 00 00 00; 5 7D 01 7C; 6 00 00 00; 3 00 00 00; 11 7F 08 77", cvs: &[(8, 255)] },
    ),
];

#[test]
fn writes_leave_what_the_standard_says() {
    run(WRITES, |case, name| {
        let mut on_rails = OnRails::new("nmra", "");
        on_rails.service(case.packets);
        for (cv, value) in case.cvs {
            assert_eq!(on_rails.cv(*cv), *value, "{name}: CV{cv}");
        }
    });
}

/// Section 5.6: "the decoder starts its 6 ms pulse at the end of the second identical packet, the pulse ends inside the third";
/// 3 R + 2 V of CV29 = 6 are 3·7.836 + 2·8.460 = 40.428 ms, the third packet ends at 48.888 ms.
#[test]
fn a_comparison_is_acknowledged_within_the_third_packet() {
    let mut on_rails = OnRails::new("nmra", "");
    on_rails.milliamperes.clear();
    on_rails.service("3 00 00 00; 5 74 1C 06 6E");
    let up: Vec<f64> = on_rails
        .milliamperes
        .iter()
        .enumerate()
        .filter(|(_, sample)| **sample >= 80.0)
        .map(|(index, _)| index as f64 / 10.0)
        .collect();
    let (first, last) = (up[0], up[up.len() - 1]);
    // One sample of 0.1 ms either way: where the samples fall against the packets is not fixed.
    assert!((40.328..=40.528).contains(&first) && last < 48.888, "from {first} ms to {last} ms");
}

/// Section 5.1: at most 100 mA with all outputs off except while acknowledging (S-9.2.3 §E).
#[test]
fn the_quiescent_current_stays_below_100_milliamperes() {
    let mut on_rails = OnRails::new("nmra", "");
    on_rails.milliamperes.clear();
    on_rails.service("30 00 00 00");
    assert!(on_rails.milliamperes.iter().all(|sample| *sample <= 100.0));
}

/// Section 5.2: 20 ms without a reset or a service-mode packet lead out (S-9.2.3 §C).
#[test]
fn silence_of_20_milliseconds_ends_service_mode() {
    use track::Rails;
    // The packet after the silence lasts 8.460 ms: complete 19.46 ms and 20.46 ms after the one before.
    for (silence, is_acknowledged) in [(11_000, true), (12_000, false)] {
        let mut on_rails = OnRails::new("nmra", "");
        on_rails.service("3 00 00 00; 1 74 1C 06 6E");
        on_rails.locomotive.wait(silence);
        on_rails.service("4 74 1C 06 6E");
        assert_eq!(!on_rails.pulses().is_empty(), is_acknowledged, "{silence} µs");
    }
}
