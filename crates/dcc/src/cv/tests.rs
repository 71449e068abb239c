//! Tests of [`super`].

use proptest::prelude::*;
use std::string::ToString;
use std::vec::Vec;

use super::*;
use crate::address::{Address, AddressError, LongAddress, ShortAddress};
use crate::function::Function;
use crate::speed::{Direction, Speed, Step};
use crate::timing::Microseconds;

fn cv(number: u16) -> CvNumber {
    CvNumber::new(number).expect("in range")
}

fn consist_address() -> impl Strategy<Value = Address> {
    prop_oneof![
        (1_u8..=127).prop_map(|number| Address::Short(ShortAddress::new(number).expect("in range"))),
        (100_u16..=10_239).prop_map(|number| Address::Long(LongAddress::new(number).expect("in range"))),
    ]
}

proptest! {
    #[test]
    fn octets_survive_their_codecs(octet: u8) {
        prop_assert_eq!(Config29::from_value(octet).value(), octet);
        prop_assert_eq!(AutomaticStop::from_value(octet).value(), octet & 0x37);
        prop_assert_eq!(FeedbackConfigurationNmra::from_value(octet).value(), octet & 0x07);
        prop_assert_eq!(FeedbackConfigurationRcn::from_value(octet).value(), octet & 0xDF);
        prop_assert_eq!(PowerSourceNmra::from_value(octet).value(), octet & 0x3F);
        prop_assert_eq!(PowerSourceRcn::from_value(octet).value(), octet & 0x7F);
        prop_assert_eq!(SignedSeven::from_octet(octet).octet(), if octet == 0x80 { 0 } else { octet });
        prop_assert_eq!(PwmPeriod::from_value(octet).value(), octet);
        prop_assert_eq!(Trim::from_value(octet).value(), octet);
    }

    #[test]
    fn records_survive_their_codecs(octets: [u8; 8]) {
        let [a, b, c, d, ..] = octets;
        prop_assert_eq!(Method2Record::from_octets([a, b, c, d]).octets(), [a, b, c, d]);
        prop_assert_eq!(Method3Record::from_octets([a, b, c, d]).octets(), [a, b, c, d]);
        prop_assert_eq!(Method4Record::from_octets([a, b, c, d]).octets(), [a, b, c, d]);
        prop_assert_eq!(Method5Record::from_octets(octets).octets(), octets);
    }

    #[test]
    fn sets_of_functions_survive_their_codecs(first: u8, second: u8) {
        let consist = ConsistFunctions::from_cvs(first, second);
        prop_assert_eq!(consist.to_cvs(), [(cv(21), first), (cv(22), second)]);
        let mut again = ConsistFunctions::default();
        again.has_f13_to_f20 = consist.has_f13_to_f20;
        again.has_f21_to_f28 = consist.has_f21_to_f28;
        for key in FunctionKey::all() {
            again.set(key, consist.contains(key));
        }
        prop_assert_eq!(again, consist);
        match AnalogFunctions::from_cvs(first, second) {
            Ok(analog) => prop_assert_eq!(analog.to_cvs(), [(cv(13), first), (cv(14), second)]),
            Err(_) => prop_assert!(second & 0xC0 != 0),
        }
    }

    #[test]
    fn consists_go_both_ways(address in consist_address(), is_reversed: bool, is_lead: bool) {
        let mut membership = ConsistMembership::new(address).expect("an address for a consist");
        membership.is_reversed = is_reversed;
        membership.is_lead = is_lead;
        let [(_, cv19), (_, cv20)] = membership.to_cvs();
        prop_assert_eq!(ConsistMembership::from_cvs(cv19, cv20, RuleSet::Rcn), Some(membership));
        if let Address::Short(_) = address {
            let by_nmra = ConsistMembership::from_cvs(cv19, cv20, RuleSet::Nmra).expect("a short address");
            prop_assert_eq!((by_nmra.address(), by_nmra.is_reversed, by_nmra.is_lead), (address, is_reversed, false));
        }
    }

    #[test]
    fn addresses_go_both_ways(number in 0_u16..=10_239, short in 1_u8..=127) {
        let long = LongAddress::new(number).expect("in range");
        let [(_, cv17), (_, cv18)] = long.to_cvs();
        prop_assert_eq!(LongAddress::from_cvs(cv17, cv18), Ok(long));
        let short = ShortAddress::new(short).expect("in range");
        let [(_, cv1)] = short.to_cvs();
        prop_assert_eq!(ShortAddress::from_cv(cv1), Ok(short));
    }

    #[test]
    fn places_on_pages_go_both_ways(octets: [u8; 3], number in 1_u16..=1024) {
        let place = IndexedCv::from_octets(octets);
        prop_assert_eq!(place.octets(), octets);
        prop_assert_eq!(IndexedCv::in_window(place.cv31, place.cv32, place.window_cv()), Ok(place));
        prop_assert_eq!(IndexedCv::plain(cv(number)).plain_cv(), Some(cv(number)));
    }

    #[test]
    fn a_rising_table_rises_between_its_entries(levels in proptest::collection::vec(any::<u8>(), 28)) {
        let mut levels: [u8; 28] = levels.try_into().expect("28 levels");
        levels.sort_unstable();
        let table = SpeedTable::new(levels);
        prop_assert!(table.is_rising());
        let all: Vec<u8> = (1..=126).map(|step| table.level(Step::<126>::new(step).expect("in range"))).collect();
        prop_assert!(all.is_sorted(), "{:?}", all);
        prop_assert_eq!(all.last(), levels.last());
        for (place, level) in (1..).zip(levels) {
            prop_assert_eq!(table.level(Step::<28>::new(place).expect("in range")), level);
            // Two steps of 28 are nine steps of 126.
            if place % 2 == 0 {
                prop_assert_eq!(all[usize::from(place) / 2 * 9 - 1], level);
            }
        }
    }

    #[test]
    fn a_curve_meets_its_points(start: u8, middle in 2_u8.., top in 2_u8..) {
        let curve = ThreePointCurve { start, middle, top };
        prop_assert_eq!(curve.level(Step::<28>::new(1).expect("in range")), start);
        prop_assert_eq!(curve.level(Step::<28>::new(14).expect("in range")), middle);
        prop_assert_eq!(curve.level(Step::<28>::LAST), top);
        prop_assert_eq!(curve.level(Step::<126>::new(63).expect("in range")), middle);
        prop_assert_eq!(curve.level(Step::<14>::new(7).expect("in range")), middle);
        if start <= middle && middle <= top {
            let all: Vec<u8> = (1..=126).map(|step| curve.level(Step::<126>::new(step).expect("in range"))).collect();
            prop_assert!(all.is_sorted(), "{:?}", all);
        }
    }

    #[test]
    fn momentum_is_held_at_its_ends(rate: u8, adjustment: u8, steps in 1_u8..) {
        let momentum = Momentum::new(rate, SignedSeven::from_octet(adjustment));
        let sum = i16::from(rate) + i16::from(SignedSeven::from_octet(adjustment).get());
        prop_assert_eq!(i16::from(momentum.effective()), sum.clamp(0, 255));
        let whole = momentum.per_step(steps).as_micros() * u64::from(steps);
        prop_assert!(whole.abs_diff(momentum.full_range().as_micros()) <= u64::from(steps).div_ceil(2));
        let plain = Momentum::new(rate, SignedSeven::ZERO);
        prop_assert_eq!(Momentum::rate_for_full_range(plain.full_range()), rate);
    }

    #[test]
    fn the_nearest_period_is_the_nearest(micros in 0_u32..40_000) {
        let nearest = PwmPeriod::nearest_to_micros(micros).micros().abs_diff(micros);
        prop_assert!((0..=255).all(|value| PwmPeriod::from_value(value).micros().abs_diff(micros) >= nearest));
    }

    #[test]
    fn an_output_is_driven_by_what_was_put_on_it(place in 0_usize..14, output in 0_u8..20) {
        let key = FunctionKey::all().nth(place).expect("fourteen keys");
        let mut map = FunctionMap::from_values([0; 14]);
        let is_reached = FunctionMap::reach(key).contains(&output);
        prop_assert_eq!(map.set(key, output, true).is_ok(), is_reached);
        prop_assert_eq!(map.drives(key, output), is_reached);
        prop_assert!(map.outputs_of(key).eq(is_reached.then_some(output)));
        prop_assert!(map.keys_of(output).eq(is_reached.then_some(key)));
        let written: Vec<_> = map.to_cvs().filter(|(_, value)| *value != 0).map(|(cv, _)| cv).collect();
        prop_assert_eq!(written, if is_reached { std::vec![FunctionMap::cv_of(key)] } else { std::vec![] });
        if is_reached {
            map.set(key, output, false).expect("it is reached");
        }
        prop_assert_eq!(map.values(), &[0; 14]);
    }
}

#[test]
fn every_cv_has_one_entry_and_a_name() {
    let mut next = 1;
    for entry in standard_cvs() {
        assert_eq!(entry.first.get(), next, "{}", entry.name);
        assert!(entry.first <= entry.last && !entry.name.is_empty() && !entry.source.is_empty());
        assert!(
            entry.default.is_none_or(|value| entry.takes(value)),
            "{} is delivered out of range",
            entry.name
        );
        next = entry.last.get() + 1;
    }
    assert_eq!(next, 1025);
    for number in CvNumber::all() {
        assert!(standard_cv(number).is_some_and(|entry| entry.contains(number)), "{number}");
    }
    assert_eq!(standard_cv(cv(78)).map(|entry| entry.name), Some("speed table, step 12 of 28"));
    assert_eq!(standard_accessory_cv(cv(2)), None);
    assert_eq!(standard_accessory_cv(cv(4)).map(|entry| entry.name), Some("on-time of an output"));
}

#[test]
fn both_rule_sets_can_be_asked() {
    let cv20 = standard_cv(cv(20)).expect("an entry");
    assert_eq!(cv20.uniformity(RuleSet::Nmra), Uniformity::Reserved);
    assert_eq!(cv20.uniformity(RuleSet::Rcn), Uniformity::Optional);
    assert_eq!(cv20.rcn.to_string(), "optional");
}

#[test]
fn the_default_table_is_a_straight_line() {
    let table = SpeedTable::straight(1, 28);
    assert!(table.levels().iter().copied().eq(1..=28));
    let cvs: Vec<_> = table.to_cvs().collect();
    assert_eq!((cvs.first(), cvs.last()), (Some(&(cv(67), 1)), Some(&(cv(94), 28))));
    assert_eq!(SpeedTable::straight(255, 0).levels()[27], 0, "a falling line is possible too");
    assert!(!SpeedTable::straight(255, 0).is_rising());
}

#[test]
fn unused_points_of_the_curve_are_filled() {
    let curve = ThreePointCurve { start: 10, middle: 0, top: 1 };
    assert_eq!(curve.level(Step::<28>::LAST), 255);
    assert_eq!(
        curve.level(Step::<28>::new(14).expect("in range")),
        133,
        "half way between 10 and 255, half upward"
    );
    assert_eq!(curve.to_cvs(), [(cv(2), 10), (cv(5), 1), (cv(6), 0)]);
}

#[test]
fn a_point_of_one_is_unused_and_a_point_of_two_is_not() {
    let level = |middle, top, step| {
        ThreePointCurve { start: 0, middle, top }.level(Step::<28>::new(step).expect("in range"))
    };
    assert_eq!((level(1, 200, 14), level(2, 200, 14)), (100, 2));
    assert_eq!((level(2, 1, 28), level(2, 2, 28)), (255, 2));
}

#[test]
fn levels_between_entries_are_rounded_to_the_nearest() {
    // Below the first entry lies 0; steps 1, 2 and 3 of 126 are 2, 4 and 6 ninths of the way: 2.22, 4.44, 6.67.
    let table = SpeedTable::new([10; 28]);
    let level = |step| table.level(Step::<126>::new(step).expect("in range"));
    assert_eq!([level(1), level(2), level(3), level(4), level(5)], [2, 4, 7, 9, 10]);
}

#[test]
fn trims_scale_and_hold() {
    assert_eq!(Trim::from_value(255).apply(200), 255);
    assert_eq!(Trim::from_value(1).apply(64), 1, "half upward");
    assert_eq!(Trim::default().apply(77), 77);
}

#[test]
fn cv25_knows_its_three_ranges() {
    let kinds = [0, 1, 2, 127, 128, 129, 154, 155, 255].map(MidPoint::from_value);
    assert_eq!(
        kinds,
        [
            MidPoint::NotUsed,
            MidPoint::NotUsed,
            MidPoint::Preset(2),
            MidPoint::Preset(127),
            MidPoint::Default,
            MidPoint::Step28(1),
            MidPoint::Step28(26),
            MidPoint::Default,
            MidPoint::Default,
        ]
    );
}

#[test]
fn functions_follow_the_consist_by_direction() {
    let f0_forward_only = ConsistFunctions::from_cvs(0, 0x41);
    assert!(f0_forward_only.follows(Function::F0, Direction::Forward));
    assert!(!f0_forward_only.follows(Function::F0, Direction::Reverse));
    let f13 = Function::new(13).expect("in range");
    let f29 = Function::new(29).expect("in range");
    assert!(f0_forward_only.follows(f13, Direction::Forward), "bit 6 is F13 to F20");
    assert!(!ConsistFunctions::from_cvs(255, 255).follows(f29, Direction::Forward));
}

#[test]
fn the_lock_opens_with_its_number() {
    let locked = DecoderLock { cv15: 1, cv16: 2 };
    assert!(!locked.may_write(cv(29)) && locked.may_write(cv(15)));
    assert!(locked.may_read(RuleSet::Nmra) && !locked.may_read(RuleSet::Rcn));
    assert!(locked.with_key(2, RuleSet::Rcn).is_open());
    assert!(locked.with_key(255, RuleSet::Rcn).is_open(), "255 opens every decoder");
    assert!(!locked.with_key(255, RuleSet::Nmra).is_open());
    assert_eq!(locked.with_key(240, RuleSet::Rcn), locked, "commands are not stored");
    assert!(!DecoderLock { cv15: 0, cv16: 2 }.is_open(), "0 locks all");
    assert_eq!(LockNumber::all().count(), 239);
    assert_eq!(LockNumber::new(0).expect_err("0").to_string(), "CV16 = 0, expected 1 to 239");
    assert_eq!((LockNumber::MOTOR.get(), LockNumber::SOUND.get()), (1, 2));
}

#[test]
fn records_of_a_method_lie_on_its_page() {
    let method_2 = MappingMethod::OutputsPerFunction.record(31, Direction::Reverse).expect("a record");
    assert_eq!((method_2.cv32, method_2.window_cv()), (40, cv(509)));
    assert_eq!(MappingMethod::OutputsPerFunction.record(32, Direction::Forward), None);
    assert_eq!(MappingMethod::Matrix.record(0, Direction::Forward), None);
    for value in 1..=6 {
        assert_eq!(MappingMethod::from_value(value).map(MappingMethod::value), Ok(value));
    }
    assert_eq!(MappingMethod::from_value(7).expect_err("7").to_string(), "CV96 = 7, expected 1 to 6");
    assert!(Method5Entry::new(64, When::Always).is_err() && Method5Entry::new(63, When::Blocks).is_err());
    assert!(Method5Pair::new(0x8000, false).is_err() && Method5Pair::new(0x7FFF, true).is_err());
    let pairs = [Some(Method5Pair::new(300, true).expect("in range")), None];
    let record = Method5Record { entries: [None; 4], pairs };
    assert_eq!(record.octets(), [255, 255, 255, 255, 0x81, 0x2C, 255, 255]);
}

#[test]
fn what_cannot_be_is_told() {
    assert_eq!(CvNumber::new(1025).expect_err("1025").to_string(), "CV number 1025 is outside 1 to 1024");
    assert_eq!(BitPosition::new(8).expect_err("8").to_string(), "bit 8 is outside 0 to 7");
    assert_eq!(
        IndexedCv::in_window(0, 40, cv(29)).expect_err("CV29").to_string(),
        "CV29 = 29, expected a CV from 257 to 512, the window of a page"
    );
    assert_eq!(
        AnalogFunctions::from_cvs(0, 0x40).expect_err("bit 6").to_string(),
        "CV14 = 64, expected bits 0 to 5 only"
    );
    let too_low = Address::Long(LongAddress::new(99).expect("in range"));
    assert_eq!(ConsistMembership::new(too_low), Err(AddressError::Consist { number: 99 }));
    assert_eq!(
        ConsistMembership::new(Address::Broadcast).expect_err("broadcast").to_string(),
        "0 cannot be the address of a consist: short 1 to 127 or long 100 to 10239"
    );
    assert_eq!(LongAddress::new(10_240).expect_err("10240").to_string(), "long address 10240 is above 10239");
    assert_eq!(ShortAddress::new(128).expect_err("128").to_string(), "short address 128 is outside 1 to 127");
    assert_eq!(
        LongAddress::from_cvs(232, 0).expect_err("232").to_string(),
        "first octet of a long address (CV17) is 232, expected 192 to 231"
    );
}

#[test]
fn a_bare_number_is_short_or_long() {
    assert!(matches!(Address::from_number(127), Ok(Address::Short(_))));
    assert!(matches!(Address::from_number(128), Ok(Address::Long(_))));
    assert!(Address::from_number(0).is_err() && Address::from_number(10_240).is_err());
    assert_eq!(Address::from_number(4014).expect("in range").to_string(), "long address 4014");
}

#[test]
fn page_uses_read_aloud() {
    assert_eq!(page_use(0, 41).to_string(), "function mapping, method 3");
    assert_eq!(page_use(16, 0).to_string(), "for the maker");
    assert_eq!(IndexedCv { cv31: 0, cv32: 43, offset: 1 }.to_string(), "CV258 of page 0/43");
    assert_eq!(IndexedCv::plain(cv(29)).to_string(), "CV29");
    let last_plain = IndexedCv { cv31: 0, cv32: 3, offset: 255 };
    assert_eq!(last_plain.plain_cv(), Some(CvNumber::LAST));
    assert_eq!(IndexedCv { cv31: 0, cv32: 4, offset: 0 }.plain_cv(), None);
    let (place, bit) = Capability::Mapping(BitPosition::new(4).expect("in range")).place();
    assert_eq!((place.window_cv(), bit.weight()), (cv(290), 16));
}

#[test]
fn long_times_of_momentum_are_held() {
    assert_eq!(Momentum::rate_for_full_range(Microseconds::from_millis(10_000)), 11, "to the nearest");
    assert_eq!(Momentum::rate_for_full_range(Microseconds::from_millis(1_000_000)), 255);
    assert_eq!(Momentum::new(5, SignedSeven::ZERO).per_step(0), Microseconds::ZERO);
    assert_eq!(SignedSeven::new(-128).get(), -127);
    assert_eq!(Speed::<28>::Stop.to_string(), "stop");
}
