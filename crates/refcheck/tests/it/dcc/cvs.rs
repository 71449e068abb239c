//! Values of single CVs: addresses, configuration, momentum, trims, functions, pages.

use std::collections::BTreeSet;

use dcc::cv::{
    AnalogFunctions, AutomaticStop, Config29, ConsistFunctions, ConsistMembership, FeedbackBlock,
    FeedbackConfigurationRcn, FunctionKey, FunctionMap, IndexedCv, ManufacturerId, Momentum, PwmPeriod,
    RuleSet, SignedSeven, Trim,
};
use dcc::{Address, AddressError, Direction, Function, LongAddress};

use super::{Row, cv, long, names, row, run, short};

/// CV19, CV20, address, reversed, lead.
type Consist = (u8, u8, Option<(Address, bool, bool)>);

fn consists() -> Vec<Row<Consist>> {
    vec![
        row("K43", "S-9.2.2 CV19", (0x8A, 0, Some((short(10), true, false)))),
        row("K44", "RCN-225 CV19/20, derived", (162, 140, Some((long(1234), true, true)))),
        row("K45", "RCN-225 CV19/20, derived: 10240 is above 10239", (40, 102, None)),
        row("T4.7 none", "RCN-225 CV19/20", (0, 0, None)),
        row("T4.7 none, reversed", "RCN-225 CV19/20", (0x80, 0, None)),
        row("T4.7 highest short", "RCN-225 CV19/20", (127, 0, Some((short(127), false, false)))),
        row("T4.7 above 99 tolerated", "RCN-225 CV19/20", (120, 12, Some((long(1320), false, false)))),
        row("T4.7 highest", "RCN-225 CV19/20", (39, 102, Some((long(10_239), false, false)))),
    ]
}

#[test]
fn consist_addresses_are_read() {
    run(&consists(), |(cv19, cv20, expected), name| {
        let read = ConsistMembership::from_cvs(*cv19, *cv20, RuleSet::Rcn);
        let read = read.map(|membership| (membership.address(), membership.is_reversed, membership.is_lead));
        assert_eq!(read, *expected, "{name}");
    });
}

#[test]
fn consist_addresses_are_written() {
    let made = consists();
    let made: Vec<_> = made.iter().filter(|row| row.case.0 & 0x7F < 100).collect();
    assert!(made.len() >= 3, "too few cases ran");
    for row in made {
        let (cv19, cv20, Some((address, is_reversed, is_lead))) = row.case else { continue };
        let mut membership = ConsistMembership::new(address).expect("an address");
        membership.is_reversed = is_reversed;
        membership.is_lead = is_lead;
        assert_eq!(membership.to_cvs(), [(cv(19), cv19), (cv(20), cv20)], "{} ({})", row.name, row.source);
    }
}

/// Long address, CV17, CV18.
static LONG_ADDRESSES: &[Row<(u16, u8, u8)>] = &[
    row("K46", "RCN-225 CV17/18, printed", (1000, 195, 232)),
    row("K47", "S-9.2.2 CV17/18, derived", (1234, 196, 210)),
    row("K48", "S-9.2.2 CV17/18, derived", (128, 192, 128)),
    row("K49", "S-9.2.2 CV17/18, derived", (9999, 231, 15)),
    row("K50", "S-9.2.2 CV17/18, derived", (10_239, 231, 255)),
    row("K51", "S-9.2.2 CV17/18, derived", (1850, 199, 58)),
    row("T4.6 1", "S-9.2.2 CV17/18, derived", (1, 192, 1)),
    row("T4.6 100", "S-9.2.2 CV17/18, derived", (100, 192, 100)),
    row("T4.6 127", "S-9.2.2 CV17/18, derived", (127, 192, 127)),
    row("T4.6 256", "S-9.2.2 CV17/18, derived", (256, 193, 0)),
    row("T4.6 4014", "S-9.2.2 CV17/18, derived", (4014, 207, 174)),
];

#[test]
fn long_addresses_go_both_ways() {
    run(LONG_ADDRESSES, |(number, cv17, cv18), name| {
        let address = LongAddress::new(*number).expect("an address");
        assert_eq!(address.to_cvs(), [(cv(17), *cv17), (cv(18), *cv18)], "{name}");
        assert_eq!(LongAddress::from_cvs(*cv17, *cv18), Ok(address), "{name}");
        assert_eq!(address.octets(), [*cv17, *cv18], "{name}: the same octets stand in packets");
    });
}

static NO_LONG_ADDRESS: &[Row<u8>] = &[
    row("K52", "S-9.2.2 CV17: 192 to 231 allowed", 232),
    row("T4.6 too low", "S-9.2.2 CV17: 192 to 231 allowed", 191),
];

#[test]
fn other_values_of_cv17_are_refused() {
    run(NO_LONG_ADDRESS, |cv17, name| {
        assert_eq!(
            LongAddress::from_cvs(*cv17, 0),
            Err(AddressError::LongFirstOctet { found: *cv17 }),
            "{name}"
        );
    });
}

const STEPS: Config29 = Config29 {
    is_reversed: false,
    has_28_steps: true,
    is_analog_allowed: false,
    is_feedback_on: false,
    has_speed_table: false,
    has_long_address: false,
    is_reserved_set: false,
    is_accessory: false,
};

static CONFIGURATIONS: &[Row<(Config29, u8)>] = &[
    row("K53", "S-9.2.2 CV29, derived", (Config29 { is_analog_allowed: true, ..STEPS }, 6)),
    row(
        "K54",
        "S-9.2.2 CV29, derived",
        (Config29 { is_analog_allowed: true, is_feedback_on: true, has_long_address: true, ..STEPS }, 46),
    ),
    row(
        "K55",
        "S-9.2.2 CV29, derived",
        (Config29 { is_reversed: true, has_speed_table: true, has_long_address: true, ..STEPS }, 51),
    ),
    row("K56", "S-9.2.2 CV29, derived", (Config29 { has_long_address: true, ..STEPS }, 0x22)),
    row("T4.6 CV29 = 0", "S-9.2.2 CV29, derived", (Config29 { has_28_steps: false, ..STEPS }, 0)),
    row("T4.6 CV29 = 2", "S-9.2.2 CV29, derived", (STEPS, 2)),
    row("T4.6 CV29 = 3", "S-9.2.2 CV29, derived", (Config29 { is_reversed: true, ..STEPS }, 3)),
    row("T4.6 CV29 = 10", "S-9.2.2 CV29, derived", (Config29 { is_feedback_on: true, ..STEPS }, 10)),
    row(
        "T4.6 CV29 = 14",
        "S-9.2.2 CV29, derived",
        (Config29 { is_analog_allowed: true, is_feedback_on: true, ..STEPS }, 14),
    ),
    row("T4.6 CV29 = 18", "S-9.2.2 CV29, derived", (Config29 { has_speed_table: true, ..STEPS }, 18)),
    row(
        "T4.6 CV29 = 38",
        "S-9.2.2 CV29, derived",
        (Config29 { is_analog_allowed: true, has_long_address: true, ..STEPS }, 38),
    ),
    row(
        "T4.6 CV29 = 50",
        "S-9.2.2 CV29, derived",
        (Config29 { has_speed_table: true, has_long_address: true, ..STEPS }, 50),
    ),
    row(
        "T4.6 CV29 = 54",
        "S-9.2.2 CV29, derived",
        (Config29 { is_analog_allowed: true, has_speed_table: true, has_long_address: true, ..STEPS }, 54),
    ),
    row(
        "T4.6 CV29 = 63",
        "S-9.2.2 CV29, derived",
        (
            Config29 {
                is_reversed: true,
                is_analog_allowed: true,
                is_feedback_on: true,
                has_speed_table: true,
                has_long_address: true,
                ..STEPS
            },
            63,
        ),
    ),
];

#[test]
fn cv29_goes_both_ways() {
    run(CONFIGURATIONS, |(config, value), name| {
        assert_eq!(config.value(), *value, "{name}");
        assert_eq!(Config29::from_value(*value), *config, "{name}");
    });
}

/// CV3, CV23, steps, effective rate, microseconds per step.
type MomentumCase = (u8, u8, u8, u8, u64);

static MOMENTUM: &[Row<MomentumCase>] = &[
    row("K57", "S-9.2.2 CV3, printed: 0.064 s", (2, 0, 28, 2, 64_000)),
    row("K58", "S-9.2.2 CV3, derived: 0.17778 s", (25, 0, 126, 25, 177_778)),
    row("K59", "S-9.2.2 CV23, derived: 20 − 10", (20, 0x8A, 28, 10, 320_000)),
    row("K60", "S-9.2.2 CV23, derived: underflow, no delay", (5, 0x94, 28, 0, 0)),
    row("T4.3 overflow", "S-9.2.2 CV23: overflow, the most", (250, 0x7F, 28, 255, 8_160_000)),
    row("T4.3 1 at 14", "S-9.2.2 CV3, derived", (1, 0, 14, 1, 64_000)),
    row("T4.3 1 at 28", "S-9.2.2 CV3, derived", (1, 0, 28, 1, 32_000)),
    row("T4.3 100 at 14", "S-9.2.2 CV3, derived", (100, 0, 14, 100, 6_400_000)),
    row("T4.3 255 at 28", "S-9.2.2 CV3, derived", (255, 0, 28, 255, 8_160_000)),
    row("T4.3 255 at 14", "S-9.2.2 CV3, derived", (255, 0, 14, 255, 16_320_000)),
    row("T4.3 255 at 126", "S-9.2.2 CV3, derived: 1.8133 s", (255, 0, 126, 255, 1_813_333)),
];

#[test]
fn momentum_is_seconds_per_step() {
    run(MOMENTUM, |(rate, adjustment, steps, effective, micros), name| {
        let momentum = Momentum::new(*rate, SignedSeven::from_octet(*adjustment));
        assert_eq!(momentum.effective(), *effective, "{name}");
        assert_eq!(momentum.per_step(*steps).as_micros(), *micros, "{name}");
    });
}

/// CV3 and the time from standing to full speed, ms.
static FULL_RANGE: &[Row<(u8, u64)>] = &[
    row("K58", "S-9.2.2 CV3, derived: 22.4 s", (25, 22_400)),
    row("T4.3 1", "S-9.2.2 CV3, derived", (1, 896)),
    row("T4.3 2", "S-9.2.2 CV3, derived", (2, 1_792)),
    row("T4.3 100", "S-9.2.2 CV3, derived", (100, 89_600)),
    row("T4.3 255", "S-9.2.2 CV3, derived", (255, 228_480)),
];

#[test]
fn the_full_range_is_the_same_for_any_number_of_steps() {
    run(FULL_RANGE, |(rate, millis), name| {
        let momentum = Momentum::new(*rate, SignedSeven::ZERO);
        assert_eq!(momentum.full_range(), dcc::Microseconds::from_millis(*millis), "{name}");
        assert_eq!(Momentum::rate_for_full_range(momentum.full_range()), *rate, "{name}");
    });
}

/// CV9, period in µs, frequency in hundredths of a hertz.
static PWM: &[Row<(u8, u32, u32)>] = &[
    row("K61", "S-9.2.2 CV9, derived", (0, 131, 763_359)),
    row("K61", "S-9.2.2 CV9, derived", (255, 32_640, 3_064)),
    row("T4.4 31", "S-9.2.2 CV9, derived", (31, 255, 392_157)),
    row("T4.4 32", "S-9.2.2 CV9, derived", (32, 262, 381_679)),
    row("T4.4 96", "S-9.2.2 CV9, derived", (96, 1_048, 95_420)),
    row("T4.4 160", "S-9.2.2 CV9, derived", (160, 4_192, 23_855)),
    row("T4.4 224", "S-9.2.2 CV9, derived", (224, 16_768, 5_964)),
];

#[test]
fn cv9_is_a_period() {
    run(PWM, |(value, micros, centihertz), name| {
        let period = PwmPeriod::from_value(*value);
        assert_eq!(period.micros(), *micros, "{name}");
        // The table prints two places; half of the last is its rounding.
        assert!((period.hertz() * 100.0 - f64::from(*centihertz)).abs() <= 0.5, "{name}: {}", period.hertz());
    });
}

/// CV66, factor in 128ths, a level before and after.
type TrimCase = (u8, Option<u8>, u8, u8);

static TRIMS: &[Row<TrimCase>] = &[
    row("K62", "S-9.2.2 CV66, derived: factor 1.0", (128, Some(128), 200, 200)),
    row("K62", "S-9.2.2 CV66, derived: factor 0.5", (64, Some(64), 200, 100)),
    row("K62", "S-9.2.2 CV66, derived: not used", (0, None, 200, 200)),
];

#[test]
fn trims_scale_the_level() {
    run(TRIMS, |(value, factor, before, after), name| {
        let trim = Trim::from_value(*value);
        assert_eq!(trim.factor_in_128ths(), *factor, "{name}");
        assert_eq!(trim.apply(*before), *after, "{name}");
    });
}

fn key(number: u8, direction: Direction) -> FunctionKey {
    FunctionKey::new(Function::new(number).expect("a function"), direction).expect("F0 to F12")
}

fn of(number: u8) -> FunctionKey {
    key(number, Direction::Forward)
}

/// Function, outputs, CV, its value or `None` when an output cannot be reached.
type Outputs = (u8, &'static [u8], u16, Option<u8>);

static OUTPUTS: &[Row<Outputs>] = &[
    row("K63", "S-9.2.2 Table 2, derived", (8, &[10], 42, Some(64))),
    row("K64", "S-9.2.2 Table 2, derived", (1, &[3, 5], 35, Some(20))),
    row("K65", "S-9.2.2 Table 2, derived: CV38 reaches 4 to 11", (4, &[3], 38, None)),
    row("K66", "S-9.2.2 Table 2, derived", (9, &[7, 14], 43, Some(129))),
];

#[test]
fn functions_are_put_on_outputs() {
    run(OUTPUTS, |(function, outputs, number, value), name| {
        let key = of(*function);
        assert_eq!(FunctionMap::cv_of(key), cv(*number), "{name}");
        let mut map = FunctionMap::from_values([0; 14]);
        let placed: Result<(), _> = outputs.iter().try_for_each(|output| map.set(key, *output, true));
        assert_eq!(placed.is_ok(), value.is_some(), "{name}");
        let of_cv = map.to_cvs().find(|(written, _)| *written == cv(*number)).map(|(_, value)| value);
        assert_eq!(of_cv, Some(value.unwrap_or(0)), "{name}");
        if value.is_some() {
            assert!(map.outputs_of(key).eq(outputs.iter().copied()), "{name}");
        }
    });
}

struct Bits {
    keys: Vec<FunctionKey>,
    values: [u8; 2],
}

fn consist_functions() -> Vec<Row<Bits>> {
    vec![
        row("K67", "S-9.2.2 CV21, derived", Bits { keys: vec![of(2), of(5)], values: [18, 0] }),
        row(
            "K68",
            "S-9.2.2 CV22, derived",
            Bits { keys: vec![FunctionKey::F0_FORWARD, FunctionKey::F0_REVERSE, of(9)], values: [0, 7] },
        ),
        row("T4.5 F8", "S-9.2.2 CV21", Bits { keys: vec![of(8)], values: [128, 0] }),
        row("T4.5 F12", "S-9.2.2 CV22", Bits { keys: vec![of(12)], values: [0, 32] }),
    ]
}

#[test]
fn cv21_and_cv22_are_sets_of_functions() {
    run(&consist_functions(), |case, name| {
        let mut functions = ConsistFunctions::default();
        for key in &case.keys {
            functions.set(*key, true);
        }
        assert_eq!(functions.to_cvs(), [(cv(21), case.values[0]), (cv(22), case.values[1])], "{name}");
        let read = ConsistFunctions::from_cvs(case.values[0], case.values[1]);
        let keys: Vec<_> = FunctionKey::all().filter(|key| read.contains(*key)).collect();
        assert_eq!(keys, case.keys, "{name}");
    });
}

fn analog_functions() -> Vec<Row<Bits>> {
    vec![
        row("K69", "S-9.2.2 CV13, derived", Bits { keys: vec![of(1), of(3)], values: [5, 0] }),
        row(
            "K70",
            "S-9.2.2 CV14, derived",
            Bits { keys: vec![FunctionKey::F0_FORWARD, FunctionKey::F0_REVERSE, of(12)], values: [0, 35] },
        ),
    ]
}

#[test]
fn cv13_and_cv14_are_sets_of_functions() {
    run(&analog_functions(), |case, name| {
        let mut functions = AnalogFunctions::default();
        for key in &case.keys {
            functions.set(*key, true);
        }
        assert_eq!(functions.to_cvs(), [(cv(13), case.values[0]), (cv(14), case.values[1])], "{name}");
        let read = AnalogFunctions::from_cvs(case.values[0], case.values[1]).expect("no reserved bit");
        let keys: Vec<_> = FunctionKey::all().filter(|key| read.contains(*key)).collect();
        assert_eq!(keys, case.keys, "{name}");
    });
}

const RIGHT_AND_LEFT: AutomaticStop = AutomaticStop {
    on_asymmetry_right: true,
    on_asymmetry_left: true,
    on_signal_controlled: false,
    on_reverse_current: false,
    on_forward_current: false,
};

static STOPS: &[Row<(AutomaticStop, u8)>] = &[row("K71", "S-9.2.2 CV27, derived", (RIGHT_AND_LEFT, 3))];

#[test]
fn cv27_goes_both_ways() {
    run(STOPS, |(stop, value), name| {
        assert_eq!(stop.value(), *value, "{name}");
        assert_eq!(AutomaticStop::from_value(*value), *stop, "{name}");
    });
}

static DELIVERED: &[Row<u8>] = &[row("K72", "RCN-217 §4.2.1, derived", 3)];

#[test]
fn cv28_is_delivered_with_both_channels() {
    run(DELIVERED, |value, name| {
        let delivered = FeedbackConfigurationRcn::DELIVERED;
        assert_eq!(delivered.value(), *value, "{name}");
        assert!(
            delivered.has_channel_1 && delivered.has_channel_2 && !delivered.has_dynamic_channel_1,
            "{name}"
        );
    });
}

static MANUFACTURERS: &[Row<([u8; 3], ManufacturerId)>] = &[
    row("K73", "RCN-225 CV107/108, derived", ([238, 1, 44], ManufacturerId::Extended(300))),
    row(
        "T4.1 upper bits dropped",
        "RCN-225 CV107/108: 12 bits",
        ([238, 0xF1, 44], ManufacturerId::Extended(300)),
    ),
    row("T4.10 resetting", "S-9.2.3 §E", ([255, 0, 0], ManufacturerId::Resetting)),
];

#[test]
fn manufacturers_are_numbers() {
    run(MANUFACTURERS, |([cv8, cv107, cv108], expected), name| {
        assert_eq!(ManufacturerId::from_cvs(*cv8, *cv107, *cv108), *expected, "{name}");
    });
}

/// CV31, CV32, CV of the window; page, offset, 24-bit address.
type Page = ([u8; 2], u16, u16, [u8; 3]);

static PAGES: &[Row<Page>] = &[
    row("K74", "S-9.2.2 CV31/32; RCN-217 §5.7, derived", ([16, 3], 260, 4099, [0x10, 0x03, 0x03])),
    row("T3.11 first of a page", "RCN-217 §5.6, derived", ([0, 43], 257, 43, [0x00, 0x2B, 0x00])),
];

#[test]
fn pages_hold_256_cvs() {
    run(PAGES, |([cv31, cv32], number, page, octets), name| {
        let place = IndexedCv::in_window(*cv31, *cv32, cv(*number)).expect("in the window");
        assert_eq!(place.page(), *page, "{name}");
        assert_eq!(place.octets(), *octets, "{name}");
        assert_eq!(place.window_cv(), cv(*number), "{name}");
    });
}

/// A field of the feedback block, its first octet and how many it has, and its first CV.
type Field = (FeedbackBlock, u8, u8, u16);

static BLOCK: &[Row<Field>] = &[
    row("K75", "RCN-217 §5.5 note, printed", (FeedbackBlock::HalfTopSpeed, 145, 1, 402)),
    row("T7.8 manufacturer", "RCN-217 Table 9", (FeedbackBlock::Manufacturer, 0, 2, 257)),
    row("T7.8 product", "RCN-217 Table 9", (FeedbackBlock::Product, 4, 4, 261)),
    row("T7.8 serial number", "RCN-217 Table 9", (FeedbackBlock::SerialNumber, 8, 4, 265)),
    row("T7.8 production date", "RCN-217 Table 9", (FeedbackBlock::ProductionDate, 12, 4, 269)),
    row("T7.8 dynamic variables", "RCN-217 Table 9", (FeedbackBlock::DynamicVariables, 64, 64, 321)),
    row("T7.8 version", "RCN-217 Table 9", (FeedbackBlock::Version, 128, 2, 385)),
    row("T7.8 consumption", "RCN-217 Table 9", (FeedbackBlock::Consumption, 132, 12, 389)),
    row("T7.8 fill containers", "RCN-217 Table 9", (FeedbackBlock::FillContainers, 144, 1, 401)),
];

#[test]
fn the_feedback_block_lies_on_page_0_255() {
    run(BLOCK, |(field, offset, count, number), name| {
        let (place, n_octets) = field.place();
        assert_eq!((place.cv31, place.cv32, place.offset, n_octets), (0, 255, *offset, *count), "{name}");
        assert_eq!(place.window_cv(), cv(*number), "{name}");
    });
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    let mut all = names(&consists());
    all.extend(names(LONG_ADDRESSES));
    all.extend(names(NO_LONG_ADDRESS));
    all.extend(names(CONFIGURATIONS));
    all.extend(names(MOMENTUM));
    all.extend(names(FULL_RANGE));
    all.extend(names(PWM));
    all.extend(names(TRIMS));
    all.extend(names(OUTPUTS));
    all.extend(names(&consist_functions()));
    all.extend(names(&analog_functions()));
    all.extend(names(STOPS));
    all.extend(names(DELIVERED));
    all.extend(names(MANUFACTURERS));
    all.extend(names(PAGES));
    all.extend(names(BLOCK));
    all
}
