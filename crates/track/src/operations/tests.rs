//! The sender on rails that listen: whatever it is told, it breaks no rule between packets.

use dcc::operations::Pacing;
use dcc::{
    Address, CvNumber, Direction, Event, Function, LongAddress, Microseconds, Packet, PacketReceiver,
    ShortAddress, Speed126,
};
use proptest::prelude::*;

use super::{MainTrack, OperationsError};
use crate::permit::Permit;
use crate::rails::Rails;

/// Rails that write down what they hear and judge the time between packets.
#[derive(Default)]
struct Listener {
    now: u64,
    receiver: Option<PacketReceiver>,
    pacing: Pacing,
    heard: Vec<Packet>,
    faults: Vec<String>,
    is_powered: bool,
}

impl Rails for Listener {
    fn set_power(&mut self, is_on: bool) {
        self.is_powered = is_on;
        self.receiver = Some(PacketReceiver::new());
    }

    fn drive(&mut self, half_bits: &[u32], _: &mut Vec<f32>) {
        // One call carries one packet; its start bit is its first zero, after the preamble.
        let preamble: u64 = half_bits
            .iter()
            .take_while(|half_bit| **half_bit < 90)
            .map(|half_bit| u64::from(*half_bit))
            .sum();
        let start = Microseconds::from_micros(self.now + preamble);
        for half_bit in half_bits {
            self.now += u64::from(*half_bit);
            let receiver = self.receiver.as_mut().expect("driven without power");
            if let Some(Event::Packet(packet)) = receiver.half_bit(*half_bit) {
                let end = Microseconds::from_micros(self.now);
                self.faults.extend(self.pacing.packet(&packet, start, end).map(|fault| fault.to_string()));
                self.heard.push(packet.to_packet());
            }
        }
    }

    fn wait(&mut self, microseconds: u64) {
        self.now += microseconds;
    }
}

fn short(number: u8) -> Address {
    Address::Short(ShortAddress::new(number).unwrap())
}

fn started() -> MainTrack<Listener> {
    let mut main = MainTrack::new(Listener::default());
    main.start(&Permit::without_job());
    main
}

fn said(main: &MainTrack<Listener>) -> Vec<String> {
    let after_start = main.rails().heard.iter().skip(30);
    after_start.map(ToString::to_string).collect()
}

#[test]
fn it_begins_with_resets_and_idles() {
    let main = started();
    let heard = &main.rails().heard;
    assert_eq!(heard.len(), 30);
    assert!(heard[..20].iter().all(|packet| packet.view().is_reset()));
    assert!(heard[20..].iter().all(|packet| packet.view().is_idle()));
}

#[test]
fn a_cv_is_written_by_two_packets_with_an_idle_between() {
    let mut main = started();
    main.write_cv(short(3), CvNumber::new(29).unwrap(), 38).unwrap();
    // Reference text, check value K76.
    assert_eq!(said(&main)[..3], ["03 EC 1C 26 D5", "FF 00 FF", "03 EC 1C 26 D5"]);
    assert!(said(&main)[3..].iter().all(|packet| packet == "FF 00 FF"), "100 ms of idles");
    assert!(main.rails().faults.is_empty(), "{:?}", main.rails().faults);
}

#[test]
fn what_was_told_is_told_again() {
    let mut main = started();
    main.set_speed(short(3), Direction::Forward, Speed126::step(50).unwrap()).unwrap();
    main.set_function(short(3), Function::F0, true).unwrap();
    let before = said(&main).len();
    main.hold(Microseconds::from_millis(100));
    let again = &said(&main)[before..];
    // Reference text, 2.1: `03 3F B3 8F` is step 50 forward; F0 on is 90 (S-9.2.1 §C).
    assert!(again.iter().filter(|packet| *packet == "03 3F B3 8F").count() >= 2, "{again:?}");
    assert!(again.iter().any(|packet| packet == "03 90 93"), "{again:?}");
    main.stop();
    assert!(!main.rails().is_powered);
    assert_eq!(said(&main).last().unwrap(), "00 51 51");
}

#[test]
fn what_is_not_written_on_the_main() {
    let mut main = started();
    let cv8 = CvNumber::new(8).unwrap();
    let error = main.write_cv(short(3), cv8, 8).unwrap_err();
    assert_eq!(error.to_string(), "CV8 is not written on the main: use the programming track");
    assert_eq!(main.write_cv(Address::Broadcast, CvNumber::FIRST, 5), Err(OperationsError::ToEverybody));
    main.stop();
    assert_eq!(main.write_cv(short(3), CvNumber::FIRST, 5), Err(OperationsError::NotStarted));
    assert_eq!(main.stop_one(short(3)), Err(OperationsError::NotStarted));
}

#[derive(Debug, Clone)]
enum Act {
    Speed(Address, u8),
    Key(Address, u8, bool),
    Write(Address, u16, u8),
    Hold(u64),
}

fn act() -> impl Strategy<Value = Act> {
    let address = prop_oneof![
        (1_u8..=127).prop_map(short),
        (0_u16..=10_239).prop_map(|number| Address::Long(LongAddress::new(number).unwrap())),
    ];
    prop_oneof![
        (address.clone(), 1_u8..=126).prop_map(|(address, step)| Act::Speed(address, step)),
        (address.clone(), 0_u8..=28, any::<bool>())
            .prop_map(|(address, key, is_on)| Act::Key(address, key, is_on)),
        (address, 9_u16..=1024, any::<u8>()).prop_map(|(address, cv, value)| Act::Write(address, cv, value)),
        (0_u64..60_000).prop_map(Act::Hold),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_rule_between_packets_is_broken(acts in proptest::collection::vec(act(), 1..12)) {
        let mut main = started();
        for act in &acts {
            match act {
                Act::Speed(address, step) => {
                    main.set_speed(*address, Direction::Reverse, Speed126::step(*step).unwrap()).unwrap();
                }
                Act::Key(address, key, is_on) => {
                    main.set_function(*address, Function::new(*key).unwrap(), *is_on).unwrap();
                }
                Act::Write(address, cv, value) => {
                    main.write_cv(*address, CvNumber::new(*cv).unwrap(), *value).unwrap();
                }
                Act::Hold(span) => main.hold(Microseconds::from_micros(*span)),
            }
        }
        prop_assert!(main.rails().faults.is_empty(), "{:?}", main.rails().faults);
        prop_assert_eq!(main.rail_time(), Microseconds::from_micros(main.rails().now));
    }
}
