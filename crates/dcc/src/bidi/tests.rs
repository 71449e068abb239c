//! Tests of [`super`].

use proptest::prelude::*;
use std::string::ToString;
use std::vec::Vec;

use super::*;
use crate::address::{LongAddress, ShortAddress};
use crate::cv::IndexedCv;

fn datagram() -> impl Strategy<Value = Datagram> {
    prop_oneof![
        any::<u8>().prop_map(Datagram::PomReply),
        any::<u8>().prop_map(Datagram::AddressHigh),
        any::<u8>().prop_map(Datagram::AddressLow),
        (0_u16..=0x3FFF).prop_map(Datagram::Position),
        (any::<u8>(), 0_u8..64).prop_map(|(value, index)| Datagram::Dynamic(
            DynamicVariable::new(value, index).expect("six bits")
        )),
        (0_u8..4, any::<[u8; 4]>()).prop_map(|(sequence, values)| Datagram::XpomReply { sequence, values }),
        (any::<[u8; 3]>(), any::<u8>())
            .prop_map(|(cv, value)| Datagram::CvAuto { cv: IndexedCv::from_octets(cv), value }),
        any::<u32>().prop_map(Datagram::Block),
        any::<u8>().prop_map(Datagram::SecondsSincePower),
    ]
}

fn feedback_address() -> impl Strategy<Value = FeedbackAddress> {
    let short = || (1_u8..=127).prop_map(|number| ShortAddress::new(number).expect("in range"));
    prop_oneof![
        short().prop_map(FeedbackAddress::Short),
        (short(), any::<bool>())
            .prop_map(|(address, is_reversed)| FeedbackAddress::Consist { address, is_reversed }),
        (0_u16..=10_239)
            .prop_map(|number| FeedbackAddress::Long(LongAddress::new(number).expect("in range"))),
    ]
}

proptest! {
    #[test]
    fn datagrams_go_both_ways(datagrams in proptest::collection::vec(datagram(), 1..4)) {
        let mut reply = Channel2Reply::new();
        let mut placed = Vec::new();
        for datagram in datagrams {
            if reply.push(datagram).is_ok() {
                placed.push(Ok(Channel2Item::Datagram(datagram)));
            }
        }
        while reply.acknowledge().is_ok() {
            placed.push(Ok(Channel2Item::Acknowledge));
        }
        prop_assert_eq!(reply.as_bytes().len(), CHANNEL_2_OCTETS);
        let read: Vec<_> = Channel2::new(reply.as_bytes()).collect();
        prop_assert_eq!(read, placed);
    }

    #[test]
    fn one_flipped_bit_is_noticed(datagram in datagram(), place in any::<prop::sample::Index>(), bit in 0_u32..8) {
        let symbols = datagram.symbols().expect("in range");
        let mut octets = symbols.as_bytes().to_vec();
        let place = place.index(octets.len());
        octets[place] ^= 1_u8 << bit;
        let found = octets[place];
        let noticed = Channel2::new(&octets).any(|item| item == Err(BidiError::Weight { found }));
        prop_assert!(noticed);
    }

    #[test]
    fn any_octets_are_survived(octets in proptest::collection::vec(any::<u8>(), 0..12)) {
        for item in Channel2::new(&octets) {
            if let Err(error) = item {
                prop_assert!(!error.to_string().is_empty());
            }
        }
        if let [first, second, ..] = octets[..] {
            let _either = Channel1Datagram::parse([first, second]);
        }
    }

    #[test]
    fn addresses_go_both_ways(address in feedback_address()) {
        prop_assert_eq!(FeedbackAddress::from_octets(address.octets()), Some(address));
        for datagram in address.datagrams() {
            let symbols = datagram.symbols();
            let octets = [symbols.as_bytes()[0], symbols.as_bytes()[1]];
            prop_assert_eq!(Channel1Datagram::parse(octets), Ok(datagram));
        }
    }

    #[test]
    fn speeds_and_temperatures_keep_their_meaning(speed in 0_u16..=511, temperature in -50_i16..=205, decivolts in 50_u16..=305) {
        let variable = DynamicVariable::kilometres_per_hour(speed).expect("in range");
        prop_assert_eq!(variable.meaning(), DynamicMeaning::KilometresPerHour(speed));
        let variable = DynamicVariable::degrees_celsius(temperature);
        prop_assert_eq!(variable.meaning(), DynamicMeaning::DegreesCelsius(temperature));
        let variable = DynamicVariable::track_decivolts(decivolts);
        prop_assert_eq!(variable.meaning(), DynamicMeaning::TrackDecivolts(decivolts));
    }
}

#[test]
fn every_code_has_four_ones_and_stands_once() {
    let mut seen = [false; 256];
    for value in 0..64 {
        let octet = encode(value);
        assert_eq!(octet.count_ones(), 4, "value {value}");
        assert!(!seen[usize::from(octet)], "value {value} shares its code");
        seen[usize::from(octet)] = true;
        assert_eq!(decode(octet), Ok(Symbol::Value(value)));
    }
}

#[test]
fn a_missing_cv_is_acknowledged_and_then_refused() {
    let mut reply = Channel2Reply::new();
    assert_eq!(reply.refuse(), Err(BidiError::Order), "never first");
    reply.acknowledge().expect("room");
    reply.refuse().expect("room");
    assert_eq!(reply.push(Datagram::PomReply(1)), Err(BidiError::Order), "data come first");
    let read: Vec<_> = Channel2::new(reply.as_bytes()).collect();
    assert_eq!(read, [Ok(Channel2Item::Acknowledge), Ok(Channel2Item::NotAcknowledge)]);
}

#[test]
fn a_full_channel_takes_no_more() {
    let mut reply = Channel2Reply::new();
    reply.push(Datagram::Block(1)).expect("room");
    assert_eq!(reply.push(Datagram::PomReply(1)), Err(BidiError::Full));
    assert_eq!(reply.acknowledge(), Err(BidiError::Full));
}

#[test]
fn messages_name_octet_and_datagram() {
    let first_error =
        |octets: &[u8]| Channel2::new(octets).find_map(Result::err).expect("an error").to_string();
    assert_eq!(first_error(&[0xFF]), "feedback octet FF has 8 ones, expected 4");
    assert_eq!(
        first_error(&[encode(0), 0xF0]),
        "feedback octet 2 is Acknowledge, expected six bits of a datagram"
    );
    assert_eq!(first_error(&[encode(0)]), "datagram 0 has 2 octets, only 1 were received");
    assert_eq!(first_error(&[encode(15 << 2)]), "datagram 15 is not known in this channel");
    assert_eq!(first_error(&[encode(4 << 2); 6]), "datagram 4 is not known in this channel");
    assert_eq!(first_error(&[0xE1]), "feedback octet 1 is Reserved, expected six bits of a datagram");
    let out_of_range = |error: BidiError| error.to_string();
    assert_eq!(
        out_of_range(Datagram::Position(0x4000).symbols().expect_err("15 bits")),
        "position is above 16383, the most that its field holds"
    );
    assert!(Datagram::XpomReply { sequence: 4, values: [0; 4] }.symbols().is_err());
    assert!(DynamicVariable::new(0, 64).is_err());
    assert!(DynamicVariable::kilometres_per_hour(512).is_err());
    assert_eq!(Channel1Datagram::parse([encode(0), encode(0)]), Err(BidiError::Id { id: 0 }));
}
