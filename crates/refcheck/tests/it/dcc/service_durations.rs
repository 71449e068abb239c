//! How long service-mode operations last on the rail: S-9.2.3 §E sequences with the bit times of S-9.1 Table 1.

use std::collections::BTreeSet;

use dcc::service::{
    BitwiseRead, CountingRead, DirectModeProbe, Operation, Options, PowerOn, ReadResult, Recovery, Register,
    Sequence,
};
use dcc::timing::SenderTiming;
use dcc::{BitPosition, CvAccess, CvOperation, CvOutcome, Microseconds, PREAMBLE_SERVICE, Packet};

use super::{Row, cv, names, row, run};

struct Case {
    operation: Operation,
    options: Options,
    /// In which packet of instruction and recovery the acknowledgement is seen, if at all.
    acknowledged_in: Option<u16>,
    nominal_micros: u64,
    shortest_micros: u64,
}

const DEFAULT: Options = Options { power_on: None, recovery: Recovery::RepeatWrite, is_power_cycled: false };

fn case(
    operation: Operation,
    acknowledged_in: Option<u16>,
    nominal_micros: u64,
    shortest_micros: u64,
) -> Case {
    Case { operation, options: DEFAULT, acknowledged_in, nominal_micros, shortest_micros }
}

fn bit(number: u8) -> BitPosition {
    BitPosition::new(number).expect("a bit")
}

fn register(number: u8) -> Register {
    Register::new(number).expect("a register")
}

fn cases() -> Vec<Row<Case>> {
    let verify = Operation::Direct(CvAccess::verify(cv(29), 6));
    let write = Operation::Direct(CvAccess::write(cv(29), 38));
    let bit_verify = Operation::Direct(CvAccess::verify_bit(cv(8), bit(7), true));
    let bit_verify_zero = Operation::Direct(CvAccess::verify_bit(cv(8), bit(7), false));
    let source = "S-9.2.3 §E and S-9.1 Table 1, derived";
    vec![
        row("K114", source, case(verify, None, 65_808, 62_470)),
        row("T5.6 direct verify, ack in the third", source, case(verify, Some(3), 56_724, 53_850)),
        row("K115", source, case(write, None, 116_568, 110_650)),
        row(
            "T5.6 direct write, recovery with resets",
            source,
            Case {
                options: Options { recovery: Recovery::Resets, ..DEFAULT },
                ..case(write, None, 112_824, 107_110)
            },
        ),
        row("T5.6 direct write, ack in the third", source, case(write, Some(3), 48_888, 46_410)),
        row("T5.6 bit verify", source, case(bit_verify, None, 64_968, 61_670)),
        row("T5.6 bit verify, ack in the third", source, case(bit_verify, Some(3), 56_220, 53_370)),
        row("T5.6 probe for zero, ack in the third", source, case(bit_verify_zero, Some(3), 56_220, 53_370)),
        row(
            "T5.6 address-only verify",
            source,
            case(Operation::AddressOnlyVerify(3), None, 163_152, 154_880),
        ),
        row("T5.6 address-only write", source, case(Operation::AddressOnlyWrite(3), None, 230_592, 218_880)),
        row(
            "T5.6 address-only write, power cycle",
            source,
            Case {
                options: Options { is_power_cycled: true, ..DEFAULT },
                ..case(Operation::AddressOnlyWrite(3), None, 387_312, 367_680)
            },
        ),
        row(
            "T5.6 register verify",
            source,
            case(Operation::RegisterVerify { register: register(3), value: 10 }, None, 177_144, 168_160),
        ),
        row(
            "T5.6 register write",
            source,
            case(Operation::RegisterWrite { register: register(3), value: 10 }, None, 205_128, 194_720),
        ),
        row(
            "T5.6 paged verify",
            source,
            case(Operation::PagedVerify { cv: cv(65), value: 5 }, None, 163_152, 154_880),
        ),
        row(
            "T5.6 paged write",
            source,
            case(Operation::PagedWrite { cv: cv(65), value: 5 }, None, 203_280, 192_960),
        ),
        row("T5.6 factory reset", source, case(Operation::FactoryReset, None, 201_432, 191_200)),
        row(
            "T5.6 direct write CV8 = 8",
            source,
            case(Operation::Direct(CvAccess::write(cv(8), 8)), None, 116_568, 110_650),
        ),
    ]
}

fn played(case: &Case) -> Sequence {
    let sequence = Sequence::new(case.operation, case.options).expect("a sequence");
    match case.acknowledged_in {
        Some(nth) => sequence.acknowledged_in(nth).expect("an acknowledgement is possible there"),
        None => sequence,
    }
}

#[test]
fn operations_last_as_long_as_their_packets() {
    run(&cases(), |case, name| {
        let sequence = played(case);
        let nominal = sequence.duration(PREAMBLE_SERVICE, SenderTiming::NOMINAL);
        assert_eq!(nominal.as_micros(), case.nominal_micros, "{name}");
        let shortest = sequence.duration(PREAMBLE_SERVICE, SenderTiming::SHORTEST);
        assert_eq!(shortest.as_micros(), case.shortest_micros, "{name}");
        let one_by_one: Microseconds = sequence
            .packets()
            .map(|(packet, _)| packet.duration(PREAMBLE_SERVICE, SenderTiming::NOMINAL))
            .sum();
        assert_eq!(one_by_one, nominal, "{name}");
    });
}

/// Packets after power-on, with the durations of §5.6 in nominal and shortest timing.
static POWER_ON: &[Row<(PowerOn, u64, u64)>] = &[
    row("T5.6 power-on, 20 resets", "S-9.2.3 §E, derived", (PowerOn::NMRA, 156_720, 148_800)),
    row("T5.6 power-on, 20 idles", "S-9.2.3 §E, derived", (PowerOn::Idles(20), 129_840, 123_200)),
    row("T5.6 power-on, 25 resets", "RCN-216 (digest), derived", (PowerOn::BOTH, 195_900, 186_000)),
];

#[test]
fn power_on_adds_its_packets() {
    let operation = Operation::Direct(CvAccess::verify(cv(29), 6));
    let bare = Sequence::new(operation, DEFAULT).expect("a sequence");
    run(POWER_ON, |(power_on, nominal, shortest), name| {
        let options = Options { power_on: Some(*power_on), ..DEFAULT };
        let sequence = Sequence::new(operation, options).expect("a sequence");
        for (timing, expected) in [(SenderTiming::NOMINAL, *nominal), (SenderTiming::SHORTEST, *shortest)] {
            let added = sequence.duration(PREAMBLE_SERVICE, timing) - bare.duration(PREAMBLE_SERVICE, timing);
            assert_eq!(added.as_micros(), expected, "{name}");
        }
    });
}

/// Questions and whether each was acknowledged.
type Dialogue = (Vec<CvAccess>, Vec<bool>);

/// What is asked, one question after the other, when the decoder holds a value; the acknowledgement is seen in the
/// third packet, the earliest case.
struct Reading {
    read: fn(holds: Option<u8>) -> Dialogue,
    holds: Option<u8>,
    nominal_micros: u64,
    shortest_micros: u64,
}

fn agrees(question: CvAccess, holds: Option<u8>) -> bool {
    holds.is_some_and(|value| matches!(question.apply(value), CvOutcome::Compared { agrees: true }))
}

fn bitwise<const CV: u16>(holds: Option<u8>) -> Dialogue {
    let mut read = BitwiseRead::new(cv(CV));
    let mut asked = (Vec::new(), Vec::new());
    while let Some(question) = read.question() {
        let answer = agrees(question, holds);
        asked.0.push(question);
        asked.1.push(answer);
        read.answer(answer);
    }
    assert_eq!(read.result(), Some(holds.map_or(ReadResult::Silent, ReadResult::Value)));
    asked
}

fn counting(holds: Option<u8>) -> Dialogue {
    let mut read = CountingRead::new(255);
    let mut asked = (Vec::new(), Vec::new());
    while let Some(value) = read.question() {
        let question = CvAccess::verify(cv(29), value);
        let answer = agrees(question, holds);
        asked.0.push(question);
        asked.1.push(answer);
        read.answer(answer);
    }
    asked
}

fn probing(holds: Option<u8>) -> Dialogue {
    let mut probe = DirectModeProbe::new();
    let mut asked = (Vec::new(), Vec::new());
    while let Some(question) = probe.question() {
        let answer = agrees(question, holds);
        asked.0.push(question);
        asked.1.push(answer);
        probe.answer(answer);
    }
    assert_eq!(probe.result(), Some(holds.is_some()));
    asked
}

fn reading(
    read: fn(Option<u8>) -> Dialogue,
    holds: Option<u8>,
    nominal_micros: u64,
    shortest_micros: u64,
) -> Reading {
    Reading { read, holds, nominal_micros, shortest_micros }
}

fn readings() -> Vec<Row<Reading>> {
    let source = "S-9.2.3 §E and S-9.1 Table 1, derived";
    vec![
        row("T5.6 read CV29 = 6 by bits", source, reading(bitwise::<29>, Some(6), 558_972, 530_610)),
        row("T5.6 read CV29 = 38 by bits", source, reading(bitwise::<29>, Some(38), 550_224, 522_310)),
        row("T5.6 read CV1 = 3 by bits", source, reading(bitwise::<1>, Some(3), 567_876, 539_090)),
        row("T5.6 read CV8 = 0 by bits", source, reading(bitwise::<8>, Some(0), 576_972, 547_690)),
        row("T5.6 read CV8 = 255 by bits", source, reading(bitwise::<8>, Some(255), 505_476, 479_850)),
        row("T5.6 count CV29 up to 6", source, reading(counting, Some(6), 455_772, 432_670)),
        row("T5.6 count CV29 up to 255", source, reading(counting, Some(255), 16_731_252, 15_882_260)),
        row("T5.6 probe, bit 7 is zero", source, reading(probing, Some(0), 56_220, 53_370)),
        row("T5.6 probe, no direct mode", source, reading(probing, None, 129_936, 123_340)),
    ]
}

#[test]
fn reading_lasts_as_long_as_its_questions() {
    run(&readings(), |case, name| {
        let (questions, answers) = (case.read)(case.holds);
        for (timing, expected) in
            [(SenderTiming::NOMINAL, case.nominal_micros), (SenderTiming::SHORTEST, case.shortest_micros)]
        {
            let total: Microseconds = questions
                .iter()
                .zip(&answers)
                .map(|(question, is_acknowledged)| {
                    let operation = Operation::Direct(*question);
                    let acknowledged_in = is_acknowledged.then_some(3);
                    played(&Case { acknowledged_in, ..case_of(operation) }).duration(PREAMBLE_SERVICE, timing)
                })
                .sum();
            assert_eq!(total.as_micros(), expected, "{name}: {} questions", questions.len());
        }
    });
}

fn case_of(operation: Operation) -> Case {
    case(operation, None, 0, 0)
}

/// An operation and its packets as (packet, count) in order.
type Counts = (Operation, Vec<(Packet, usize)>);

#[test]
fn sequences_have_the_counts_of_the_standard() {
    let r = Packet::RESET;
    let p = Packet::PAGE_PRESET;
    let packet = |text: &str| Packet::from_octets(&super::octets(text)).expect("a packet");
    let v = packet("74 1C 06 6E");
    let rows: Vec<Row<Counts>> = vec![
        row(
            "T5.5 direct verify",
            "S-9.2.3 §E Direct",
            (direct(CvOperation::Verify(6)), vec![(r, 3), (v, 5)]),
        ),
        row(
            "T5.5 direct write",
            "S-9.2.3 §E Direct",
            (direct(CvOperation::Write(38)), vec![(r, 3), (packet("7C 1C 26 46"), 11)]),
        ),
        row(
            "T5.5 address-only verify",
            "S-9.2.3 §E Address-only",
            (Operation::AddressOnlyVerify(3), vec![(r, 3), (p, 5), (r, 9), (packet("70 03 73"), 5)]),
        ),
        row(
            "T5.5 address-only write",
            "S-9.2.3 §E Address-only",
            (Operation::AddressOnlyWrite(3), vec![(r, 3), (p, 5), (r, 9), (packet("78 03 7B"), 15)]),
        ),
        row(
            "T5.5 register verify",
            "S-9.2.3 §E Register",
            (
                Operation::RegisterVerify { register: register(5), value: 6 },
                vec![(r, 3), (p, 5), (r, 9), (packet("74 06 72"), 7)],
            ),
        ),
        row(
            "T5.5 register write",
            "S-9.2.3 §E Register",
            (
                Operation::RegisterWrite { register: register(5), value: 6 },
                vec![(r, 3), (p, 5), (r, 9), (packet("7C 06 7A"), 11)],
            ),
        ),
        row(
            "T5.5 register 1 write",
            "S-9.2.3 §E Register: ten recovery packets after register 1",
            (
                Operation::RegisterWrite { register: register(1), value: 3 },
                vec![(r, 3), (p, 5), (r, 9), (packet("78 03 7B"), 15)],
            ),
        ),
        row(
            "T5.5 paged write",
            "S-9.2.3 §E Paged",
            (
                Operation::PagedWrite { cv: cv(65), value: 5 },
                vec![(r, 3), (packet("7D 11 6C"), 5), (r, 9), (packet("78 05 7D"), 11)],
            ),
        ),
        row(
            "T5.5 hard reset",
            "S-9.2.3 §E: hard reset and ten idle or reset packets",
            (Operation::HardReset, vec![(packet("00 01 01"), 1), (r, 10)]),
        ),
    ];
    run(&rows, |(operation, expected), name| {
        let sequence = Sequence::new(*operation, DEFAULT).expect("a sequence");
        let sent: Vec<Packet> = sequence.packets().map(|(packet, _)| *packet).collect();
        let expected: Vec<Packet> =
            expected.iter().flat_map(|(packet, count)| std::iter::repeat_n(*packet, *count)).collect();
        assert_eq!(sent, expected, "{name}");
    });
}

fn direct(operation: CvOperation) -> Operation {
    Operation::Direct(CvAccess { cv: cv(29), operation })
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(&cases());
    all.extend(names(POWER_ON));
    all.extend(names(&readings()));
    all
}
