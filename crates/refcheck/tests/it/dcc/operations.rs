//! Operations-mode programming: durations and the pause between the two copies.

use dcc::operations::WriteSequence;
use dcc::timing::{SAME_DECODER_GAP, SenderTiming};
use dcc::{Microseconds, PREAMBLE_OPERATIONS, Packet};

use super::{Row, octets, row, run};

/// A write and the duration of a safe sequence, µs.
static SAFE_WRITES: &[Row<(&str, u64)>] = &[
    row(
        "T6 short address",
        "S-9.2 §C, S-9.2.1 §C, derived: 9.460 + 6.028 + 9.460 ms",
        ("03 EC 1C 26 D5", 24_948),
    ),
    row(
        "T6 long address",
        "S-9.2 §C, S-9.2.1 §C, derived: 11.092 + 6.028 + 11.092 ms",
        ("C4 D2 EC 1C 26 C0", 28_212),
    ),
];

#[test]
fn a_safe_write_lasts_as_long_as_its_packets() {
    run(SAFE_WRITES, |(packet, micros), name| {
        let packet = Packet::from_octets(&octets(packet)).expect("a packet");
        let sequence = WriteSequence::with_filler(packet, Packet::IDLE);
        assert_eq!(
            sequence.duration(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL).as_micros(),
            *micros,
            "{name}"
        );
    });
}

/// From the end bit of the first copy to the start bit of the second: the filler and a preamble of 16 ones.
static GAPS: &[Row<(bool, u64, bool)>] = &[
    row(
        "T6 nothing between",
        "S-9.2 §C, derived: a preamble of 1.856 ms is too short",
        (false, 1_856, false),
    ),
    row("T6 an idle between", "S-9.2 §C, derived: 6.028 + 1.856 = 7.884 ms", (true, 7_884, true)),
];

#[test]
fn a_filler_makes_the_pause_long_enough() {
    run(GAPS, |(has_filler, micros, is_enough), name| {
        let timing = SenderTiming::NOMINAL;
        let preamble: u32 = timing.halves(true).iter().sum::<u32>() * u32::from(PREAMBLE_OPERATIONS);
        let mut gap = Microseconds::from_micros(u64::from(preamble));
        if *has_filler {
            gap += Packet::IDLE.duration(PREAMBLE_OPERATIONS, timing);
        }
        assert_eq!(gap.as_micros(), *micros, "{name}");
        assert_eq!(gap >= SAME_DECODER_GAP, *is_enough, "{name}");
    });
}
