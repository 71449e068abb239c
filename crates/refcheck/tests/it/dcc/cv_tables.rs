//! Whole tables: the function matrix, the mappings of RCN-227, uniformity and delivery values, index pages.

use dcc::cv::{
    Access, Capability, FunctionKey, FunctionMap, MappingMethod, Method4Record, Method5Record, PageUse,
    Uniformity, page_use, standard_accessory_cv, standard_cv,
};
use dcc::{Direction, Step};

use super::{Row, cv, row, run};

/// CV, outputs it reaches, output by default, value by default.
type Reach = (u16, [u8; 2], u8, u8);

/// S-9.2.2 Table 2; bit and value derived.
static MATRIX: &[Row<Reach>] = &[
    row("T4.9 F0 forward", "S-9.2.2 Table 2", (33, [1, 8], 1, 1)),
    row("T4.9 F0 reverse", "S-9.2.2 Table 2", (34, [1, 8], 2, 2)),
    row("T4.9 F1", "S-9.2.2 Table 2", (35, [1, 8], 3, 4)),
    row("T4.9 F2", "S-9.2.2 Table 2", (36, [1, 8], 4, 8)),
    row("T4.9 F3", "S-9.2.2 Table 2", (37, [1, 8], 5, 16)),
    row("T4.9 F4", "S-9.2.2 Table 2", (38, [4, 11], 6, 4)),
    row("T4.9 F5", "S-9.2.2 Table 2", (39, [4, 11], 7, 8)),
    row("T4.9 F6", "S-9.2.2 Table 2", (40, [4, 11], 8, 16)),
    row("T4.9 F7", "S-9.2.2 Table 2", (41, [4, 11], 9, 32)),
    row("T4.9 F8", "S-9.2.2 Table 2", (42, [4, 11], 10, 64)),
    row("T4.9 F9", "S-9.2.2 Table 2", (43, [7, 14], 11, 16)),
    row("T4.9 F10", "S-9.2.2 Table 2", (44, [7, 14], 12, 32)),
    row("T4.9 F11", "S-9.2.2 Table 2", (45, [7, 14], 13, 64)),
    row("T4.9 F12", "S-9.2.2 Table 2", (46, [7, 14], 14, 128)),
];

#[test]
fn the_matrix_reaches_and_defaults_as_printed() {
    assert_eq!(MATRIX.len(), FunctionKey::all().count(), "one row for each key");
    for (row, key) in MATRIX.iter().zip(FunctionKey::all()) {
        let (number, [first, last], output, value) = row.case;
        let name = row.name;
        assert_eq!(FunctionMap::cv_of(key), cv(number), "{name}");
        assert_eq!(FunctionMap::reach(key), first..=last, "{name}");
        assert!(FunctionMap::DEFAULT.outputs_of(key).eq([output]), "{name}");
        assert!(FunctionMap::DEFAULT.keys_of(output).eq([key]), "{name}");
        assert_eq!(FunctionMap::DEFAULT.values()[usize::from(key.index())], value, "{name}");
        assert_eq!(standard_cv(cv(number)).and_then(|entry| entry.default), Some(value), "{name}");
    }
}

/// An output of the worked example: first CV and octets of method 4 forward, method 4 reverse, method 5.
struct Example {
    output: u8,
    forward: (u16, [u8; 4]),
    reverse: (u16, [u8; 4]),
    method_5: (u16, [u8; 4]),
}

/// F0 changes lights with direction; F1 darkens cab 1, F2 cab 2; F6 shunting; F23 parking (RCN-227 §3.2 and §3.3; where
/// the print repeats CV numbers, those of its layout rule).
static EXAMPLE: &[Row<Example>] = &[
    row(
        "T4.9 white 1",
        "RCN-227 §3.2, §3.3, printed",
        Example {
            output: 0,
            forward: (257, [0, 6, 255, 1]),
            reverse: (261, [255, 6, 255, 1]),
            method_5: (257, [64, 193, 6, 215]),
        },
    ),
    row(
        "T4.9 white 2",
        "RCN-227 §3.2, §3.3, printed",
        Example {
            output: 1,
            forward: (265, [255, 6, 255, 2]),
            reverse: (269, [0, 6, 255, 2]),
            method_5: (265, [128, 194, 6, 215]),
        },
    ),
    row(
        "T4.9 red 1",
        "RCN-227 §3.2, §3.3, printed",
        Example {
            output: 2,
            forward: (273, [255, 23, 255, 1]),
            reverse: (277, [0, 23, 255, 1]),
            method_5: (273, [128, 193, 198, 23]),
        },
    ),
    row(
        "T4.9 red 2",
        "RCN-227 §3.2, §3.3, printed",
        Example {
            output: 3,
            forward: (281, [0, 23, 255, 2]),
            reverse: (285, [255, 23, 255, 2]),
            method_5: (281, [64, 194, 198, 23]),
        },
    ),
];

/// Whether an output is on by method 4: one of its functions is on and the one that switches off is not.
fn is_on_by_method_4(record: Method4Record, on: &[u8]) -> bool {
    record.on_by.iter().flatten().any(|function| on.contains(function))
        && !record.off_by.is_some_and(|function| on.contains(&function))
}

/// Whether an output is on by method 5.
fn is_on_by_method_5(record: Method5Record, on: &[u8], direction: Direction) -> bool {
    use dcc::cv::When;
    let counts = |when| match when {
        When::Always => true,
        When::Forward => direction.is_forward(),
        When::Reverse => !direction.is_forward(),
        When::Blocks => false,
    };
    let entries = || record.entries.iter().flatten().filter(|entry| on.contains(&entry.function()));
    entries().any(|entry| counts(entry.when())) && !entries().any(|entry| entry.when() == When::Blocks)
}

#[test]
fn the_worked_example_of_the_mappings() {
    run(EXAMPLE, |case, name| {
        let method_4 = MappingMethod::FunctionNumbersPerOutput;
        let method_5 = MappingMethod::DirectedFunctionsPerOutput;
        let [a, b, c, d] = case.method_5.1;
        let directed = Method5Record::from_octets([a, b, c, d, 255, 255, 255, 255]);
        assert_eq!(directed.octets(), [a, b, c, d, 255, 255, 255, 255], "{name}");
        let place = method_5.record(case.output, Direction::Forward).expect("an output");
        assert_eq!((place.cv32, place.window_cv()), (43, cv(case.method_5.0)), "{name}");
        for (direction, (number, octets)) in
            [(Direction::Forward, case.forward), (Direction::Reverse, case.reverse)]
        {
            let place = method_4.record(case.output, direction).expect("an output");
            assert_eq!((place.cv32, place.window_cv()), (42, cv(number)), "{name}, {direction}");
            let record = Method4Record::from_octets(octets);
            assert_eq!(record.octets(), octets, "{name}, {direction}");
            // The example writes the same wishes in both methods, so both must light the same lamps, save where method 4
            // has no room for a second blocking function: with F6 or F23 together with others.
            for on in [&[][..], &[0], &[1], &[2], &[0, 1], &[0, 2], &[6], &[23]] {
                assert_eq!(
                    is_on_by_method_4(record, on),
                    is_on_by_method_5(directed, on, direction),
                    "{name}, {direction}, functions {on:?}"
                );
            }
        }
    });
}

use Uniformity::{
    Maker as K, Mandatory as M, Optional as O, Recommended as R, Reserved as X, Unmentioned as U,
};

/// First and last CV, uniformity of NMRA and RCN, delivery value, and access. "Optional" entries whose use is left to the
/// maker stand as [`Uniformity::Maker`]; CV33–46 are in [`MATRIX`].
type Standard = ([u16; 2], [Uniformity; 2], Option<u8>, Access);

const S: Access = Access::Stored;
const RO: Access = Access::ReadOnly;
const V: Access = Access::Volatile;

static STANDARD: &[Row<Standard>] = &[
    row("T4.1 CV1", "S-9.2.2 Table 1; RCN-225 §2", ([1, 1], [M, M], Some(3), S)),
    row("T4.1 CV2", "S-9.2.2 Table 1; RCN-225 §2", ([2, 2], [R, M], None, S)),
    row("T4.1 CV3", "S-9.2.2 Table 1; RCN-225 §2", ([3, 3], [R, M], None, S)),
    row("T4.1 CV4", "S-9.2.2 Table 1; RCN-225 §2", ([4, 4], [R, M], None, S)),
    row("T4.1 CV5", "S-9.2.2 Table 1; RCN-225 §2", ([5, 5], [O, M], None, S)),
    row("T4.1 CV6", "S-9.2.2 Table 1; RCN-225 §2", ([6, 6], [O, O], None, S)),
    row("T4.1 CV7", "S-9.2.2 Table 1; RCN-225 §2", ([7, 7], [M, M], None, RO)),
    row("T4.1 CV8", "S-9.2.2 Table 1; RCN-225 §2", ([8, 8], [M, M], None, RO)),
    row("T4.1 CV9", "S-9.2.2 Table 1; RCN-225 §2", ([9, 9], [O, O], None, S)),
    row("T4.1 CV10", "S-9.2.2 Table 1; RCN-225 §2", ([10, 10], [O, K], None, S)),
    row("T4.1 CV11", "S-9.2.2 Table 1; RCN-225 §2", ([11, 11], [R, R], None, S)),
    row("T4.1 CV12", "S-9.2.2 Table 1; RCN-225 §2", ([12, 12], [O, O], None, S)),
    row("T4.1 CV13–14", "S-9.2.2 Table 1; RCN-225 §2", ([13, 14], [O, O], None, S)),
    row("T4.1 CV15–16", "S-9.2.2 Table 1; RCN-225 §2", ([15, 16], [O, O], None, S)),
    row("T4.1 CV17", "S-9.2.2 Table 1; RCN-225 §2", ([17, 17], [O, M], Some(195), S)),
    row("T4.1 CV18", "S-9.2.2 Table 1; RCN-225 §2", ([18, 18], [O, M], Some(232), S)),
    row("T4.1 CV19", "S-9.2.2 Table 1; RCN-225 §2", ([19, 19], [O, R], None, S)),
    row("T4.1 CV20", "S-9.2.2 Table 1; RCN-225 §2", ([20, 20], [X, O], None, S)),
    row("T4.1 CV21–22", "S-9.2.2 Table 1; RCN-225 §2", ([21, 22], [O, O], None, S)),
    row("T4.1 CV23–24", "S-9.2.2 Table 1; RCN-225 §2", ([23, 24], [O, O], None, S)),
    row("T4.1 CV25", "S-9.2.2 Table 1; RCN-225 §2", ([25, 25], [O, O], None, S)),
    row("T4.1 CV26", "S-9.2.2 Table 1; RCN-225 §2", ([26, 26], [X, X], None, S)),
    row("T4.1 CV27", "S-9.2.2 Table 1; RCN-225 §2", ([27, 27], [O, O], None, S)),
    row("T4.1 CV28", "S-9.2.2 Table 1; RCN-225 §2", ([28, 28], [O, O], None, S)),
    row("T4.1 CV29", "S-9.2.2 Table 1; RCN-225 §2", ([29, 29], [M, M], None, S)),
    row("T4.1 CV30", "S-9.2.2 Table 1; RCN-225 §2", ([30, 30], [O, O], Some(0), V)),
    row("T4.1 CV31–32", "S-9.2.2 Table 1; RCN-225 §2", ([31, 32], [O, O], None, S)),
    row("T4.1 CV47–64", "S-9.2.2 Table 1; RCN-225 §2", ([47, 64], [K, K], None, S)),
    row("T4.1 CV65", "S-9.2.2 Table 1; RCN-225 §2", ([65, 65], [O, K], None, S)),
    row("T4.1 CV66", "S-9.2.2 Table 1; RCN-225 §2", ([66, 66], [O, O], None, S)),
    row("T4.1 CV67–94", "S-9.2.2 Table 1; RCN-225 §2", ([67, 94], [O, O], None, S)),
    row("T4.1 CV95", "S-9.2.2 Table 1; RCN-225 §2", ([95, 95], [O, O], None, S)),
    row("T4.1 CV96", "S-9.2.2 Table 1; RCN-225 §2", ([96, 96], [X, O], None, S)),
    row("T4.1 CV97–104", "S-9.2.2 Table 1; RCN-225 §2", ([97, 104], [X, K], None, S)),
    row("T4.1 CV105–106", "S-9.2.2 Table 1; RCN-225 §2", ([105, 106], [O, O], None, S)),
    row("T4.1 CV107–108", "S-9.2.2 Table 1; RCN-225 §2", ([107, 108], [X, O], None, RO)),
    row("T4.1 CV109–111", "S-9.2.2 Table 1; RCN-225 §2", ([109, 111], [X, K], None, S)),
    row("T4.1 CV112–256", "S-9.2.2 Table 1; RCN-225 §2", ([112, 256], [K, K], None, S)),
    row("T4.1 CV257–512", "S-9.2.2 Table 1; RCN-225 §2", ([257, 512], [U, O], None, S)),
    row("T4.1 CV513–768", "S-9.2.2 Table 1; RCN-225 §2", ([513, 768], [K, K], None, S)),
    row("T4.1 CV769–879", "S-9.2.2 Table 1; RCN-225 §2", ([769, 879], [K, X], None, S)),
    row("T4.1 CV880–891", "S-9.2.2 Table 1; RCN-225 §2", ([880, 891], [K, X], None, V)),
    row("T4.1 CV892–895", "S-9.2.2 Table 1; RCN-225 §2", ([892, 895], [O, X], None, V)),
    row("T4.1 CV896", "S-9.2.2 Table 1; RCN-225 §2", ([896, 896], [O, X], None, S)),
    row("T4.1 CV897–1024", "S-9.2.2 Table 1; RCN-225 §2", ([897, 1024], [O, O], None, S)),
];

#[test]
fn standard_cvs_have_their_duty_and_delivery_value() {
    run(STANDARD, |([first, last], [nmra, rcn], default, access), name| {
        for number in *first..=*last {
            let entry = standard_cv(cv(number)).expect("every CV has an entry");
            assert!(entry.contains(cv(number)), "{name}");
            assert_eq!((entry.nmra, entry.rcn), (*nmra, *rcn), "{name}");
            assert_eq!((entry.default, entry.access), (*default, *access), "{name}");
        }
    });
    let covered: usize =
        STANDARD.iter().map(|row| row.case.0).map(|[first, last]| usize::from(last - first) + 1).sum();
    assert_eq!(covered + MATRIX.len(), 1024, "every CV is in one of the tables");
}

/// CVs of accessory decoders and their delivery value (S-9.2.2 Table 3).
static ACCESSORY: &[Row<(u16, Option<u8>)>] = &[
    row("T4.12 CV1", "S-9.2.2 Table 3", (1, Some(1))),
    row("T4.12 CV9", "S-9.2.2 Table 3", (9, Some(0))),
    row("T4.12 CV33", "RCN-225 §3.1", (33, None)),
];

#[test]
fn accessory_cvs_are_delivered_as_printed() {
    run(ACCESSORY, |(number, default), name| {
        let entry = standard_accessory_cv(cv(*number)).expect("an entry");
        assert_eq!(entry.default, *default, "{name}");
    });
}

/// The step of a speed-table entry and its CV: CV 66 + step (S-9.2.2 CV67–94).
static SPEED_TABLE: &[Row<(u8, u16)>] = &[
    row("T4.1 first entry", "S-9.2.2 CV67–94", (1, 67)),
    row("T4.1 last entry", "S-9.2.2 CV67–94", (28, 94)),
];

#[test]
fn the_speed_table_begins_at_cv67() {
    run(SPEED_TABLE, |(step, number), name| {
        assert_eq!(dcc::cv::SpeedTable::cv_of(Step::new(*step).expect("a step")), cv(*number), "{name}");
    });
}

static PAGES: &[Row<(u8, u8, PageUse)>] = &[
    row("T4.11 plain", "RCN-225 CV31/32", (0, 1, PageUse::Plain)),
    row("T4.11 mapping, first", "RCN-225 CV31/32, RCN-227", (0, 40, PageUse::FunctionMapping { method: 2 })),
    row("T4.11 mapping, last", "RCN-225 CV31/32, RCN-227", (0, 43, PageUse::FunctionMapping { method: 5 })),
    row("T4.11 capabilities", "RCN-225 CV31/32", (0, 254, PageUse::Capabilities)),
    row("T4.11 feedback block", "RCN-225 CV31/32", (0, 255, PageUse::FeedbackBlock)),
    row("T4.11 locomotive", "RCN-225 CV31/32", (1, 1, PageUse::LocomotiveInfo)),
    row("T4.11 data space", "RCN-225 CV31/32, RCN-218", (2, 4, PageUse::LogonDataSpace { number: 4 })),
    row("T4.11 reserved", "RCN-225 CV31/32", (3, 0, PageUse::Reserved)),
    row("T4.11 maker", "RCN-225 CV31/32", (16, 0, PageUse::Maker)),
];

#[test]
fn pages_are_used_as_printed() {
    run(PAGES, |(cv31, cv32, expected), name| assert_eq!(page_use(*cv31, *cv32), *expected, "{name}"));
}

/// Capability, octet of page 0/254, bit.
static CAPABILITIES: &[Row<(Capability, u8, u8)>] = &[
    row("T4.11 combined packet", "RCN-225 CV31/32", (Capability::SpeedAndFunctions, 0, 0)),
    row("T4.11 address, short form", "RCN-225 CV31/32", (Capability::ShortFormAddress, 16, 0)),
    row(
        "T4.11 page, short form",
        "RCN-225 CV31/32, misprint corrected",
        (Capability::ShortFormIndexPage, 16, 1),
    ),
    row("T4.11 XPOM", "RCN-225 CV31/32", (Capability::Xpom, 17, 0)),
];

#[test]
fn capabilities_have_their_bits() {
    run(CAPABILITIES, |(capability, offset, bit), name| {
        let (place, position) = capability.place();
        assert_eq!((place.cv31, place.cv32, place.offset, position.get()), (0, 254, *offset, *bit), "{name}");
    });
}
