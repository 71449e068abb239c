//! Half-bit windows.

use std::collections::BTreeSet;

use dcc::timing::{HalfBit, HalfBitLimits, SenderTiming, TimingError};

use super::{Row, names, row, run};

/// Limits, a half-bit in nanoseconds, and what it stands for.
type Window = (HalfBitLimits, u64, Option<HalfBit>);

const ONE: Option<HalfBit> = Some(HalfBit::One);
const ZERO: Option<HalfBit> = Some(HalfBit::Zero);

static WINDOWS: &[Row<Window>] = &[
    row("K15", "S-9.1 Table 1, derived: 55 µs sent", (HalfBitLimits::TRACK, 55_000, ONE)),
    row("K15", "S-9.1 Table 1, derived: 58 µs sent", (HalfBitLimits::TRACK, 58_000, ONE)),
    row("K15", "S-9.1 Table 1, derived: 61 µs sent", (HalfBitLimits::TRACK, 61_000, ONE)),
    row("K15", "S-9.1 Table 1, derived: 52 µs received", (HalfBitLimits::DECODER, 52_000, ONE)),
    row("K15", "S-9.1 Table 1, derived: 64 µs received", (HalfBitLimits::DECODER, 64_000, ONE)),
    row("K15", "S-9.1 Table 1, derived: 64.5 µs received", (HalfBitLimits::DECODER, 64_500, None)),
    row("K16", "S-9.1 Table 1: 90 µs received", (HalfBitLimits::DECODER, 90_000, ZERO)),
    row("K16", "S-9.1 Table 1: 10000 µs received", (HalfBitLimits::DECODER, 10_000_000, ZERO)),
    row(
        "T1.1 one too short for a decoder",
        "S-9.1 Table 1; RCN-210 §5",
        (HalfBitLimits::DECODER, 51_999, None),
    ),
    row(
        "T1.1 zero too short for a decoder",
        "S-9.1 Table 1; RCN-210 §5",
        (HalfBitLimits::DECODER, 89_999, None),
    ),
    row(
        "T1.1 zero too long for a decoder",
        "S-9.1 Table 1; RCN-210 §5",
        (HalfBitLimits::DECODER, 10_000_001, None),
    ),
    row("T1.1 zero least on the track", "S-9.1 Table 1; RCN-210 §5", (HalfBitLimits::TRACK, 95_000, ZERO)),
    row("T1.1 zero most on the track", "S-9.1 Table 1; RCN-210 §5", (HalfBitLimits::TRACK, 9_900_000, ZERO)),
    row(
        "T1.1 zero too long on the track",
        "S-9.1 Table 1; RCN-210 §5",
        (HalfBitLimits::TRACK, 9_900_001, None),
    ),
    row("T1.1 one least at the output", "RCN-210 §5", (HalfBitLimits::STATION_OUTPUT, 56_000, ONE)),
    row("T1.1 one below the output", "RCN-210 §5", (HalfBitLimits::STATION_OUTPUT, 55_999, None)),
    row("T1.1 one most at the output", "RCN-210 §5", (HalfBitLimits::STATION_OUTPUT, 60_000, ONE)),
    row("T1.1 zero least at the output", "RCN-210 §5", (HalfBitLimits::STATION_OUTPUT, 97_000, ZERO)),
    row("T1.1 zero most at the output", "RCN-210 §5", (HalfBitLimits::STATION_OUTPUT, 9_898_000, ZERO)),
    row("T1.1 shared, output", "RCN-210 §5", (HalfBitLimits::STATION_OUTPUT_SHARED, 114_000, ZERO)),
    row("T1.1 shared, track", "RCN-210 §5", (HalfBitLimits::TRACK_SHARED, 116_000, ZERO)),
    row("T1.1 shared, decoder", "RCN-210 §5", (HalfBitLimits::DECODER_SHARED_TRACK, 119_000, ZERO)),
    row("T1.1 shared, too long", "RCN-210 §5", (HalfBitLimits::DECODER_SHARED_TRACK, 119_001, None)),
];

#[test]
fn half_bits_are_judged_by_the_windows() {
    run(WINDOWS, |(limits, half_ns, expected), name| {
        assert_eq!(limits.classify_nanoseconds(*half_ns), *expected, "{name}");
    });
}

/// Whole bits, µs.
type Whole = (HalfBitLimits, [u32; 2], Result<bool, TimingError>);

static WHOLE_BITS: &[Row<Whole>] = &[
    row(
        "K17",
        "S-9.1 Table 1, derived: illegal to send",
        (HalfBitLimits::TRACK, [95, 11_905], Err(TimingError::HalfOutOfRange { half_us: 11_905 })),
    ),
    row(
        "T1.1 stretched zero, whole",
        "S-9.1 Table 1; RCN-210 §2.2: at most 12000 µs",
        (HalfBitLimits::TRACK, [6_001, 6_000], Err(TimingError::WholeZeroTooLong { whole_us: 12_001 })),
    ),
    row(
        "T1.1 stretched zero, longest",
        "S-9.1 Table 1; RCN-210 §2.2",
        (HalfBitLimits::TRACK, [2_100, 9_900], Ok(false)),
    ),
    row(
        "T1.1 one, difference sent",
        "S-9.1 Table 1; NEM 670 §2.1: at most 3 µs",
        (HalfBitLimits::TRACK, [56, 59], Ok(true)),
    ),
    row(
        "T1.1 one, too different to send",
        "S-9.1 Table 1; NEM 670 §2.1",
        (
            HalfBitLimits::TRACK,
            [56, 60],
            Err(TimingError::UnequalOne { first_us: 56, second_us: 60, most_us: 3 }),
        ),
    ),
    row(
        "T1.1 one, difference received",
        "S-9.1 Table 1: at most 6 µs",
        (HalfBitLimits::DECODER, [58, 64], Ok(true)),
    ),
];

#[test]
fn whole_bits_are_judged_by_both_halves() {
    run(WHOLE_BITS, |(limits, [first, second], expected), name| {
        assert_eq!(limits.judge(*first, *second), *expected, "{name}");
    });
}

/// A stretched zero that may not be sent.
static REFUSED: &[Row<[u16; 3]>] = &[
    row("K17", "S-9.1 Table 1, derived", [58, 95, 11_905]),
    row("T1.1 one too short", "S-9.1 Table 1", [54, 100, 100]),
    row("T1.1 zero too short", "S-9.1 Table 1", [58, 94, 100]),
];

#[test]
fn a_sender_refuses_what_may_not_be_sent() {
    run(REFUSED, |[one, first, second], name| {
        assert!(SenderTiming::new(*one, *first, *second).is_err(), "{name}");
    });
}

/// The signature of automatic logon.
static SIGNATURES: &[Row<([u32; 2], bool)>] = &[
    row("T1.1 signature", "RCN-218 §1.3: 114 µs halves against 100 µs", ([228, 200], true)),
    row("T1.1 signature, least", "RCN-218 §1.3: at least 20 µs longer", ([220, 200], true)),
    row("T1.1 no signature", "RCN-218 §1.3", ([219, 200], false)),
];

#[test]
fn the_logon_signature_is_a_longer_start_bit() {
    run(SIGNATURES, |([start, other], expected), name| {
        assert_eq!(dcc::timing::is_logon_signature(*start, *other), *expected, "{name}");
    });
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(WINDOWS);
    all.extend(names(WHOLE_BITS));
    all.extend(names(REFUSED));
    all.extend(names(SIGNATURES));
    all
}
