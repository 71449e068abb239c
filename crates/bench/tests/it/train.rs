//! Several locomotives on one pair of rails, and consists.
//!
//! Source: S-9.2.1 §C 0001; S-9.2.2 CV19, CV21, CV22; RCN-225 (contradiction C8).

use bench::{Layout, Locomotive};
use dcc::{Address, Command, ConsistControl, Direction, ShortAddress};

use crate::hand::{Hand, locomotive, short};

const QUICK: &str = "CV3 = 0\nCV4 = 0\n";

fn unit(decoder: &str, cvs: &str) -> Locomotive {
    locomotive(decoder, &format!("[cv]\n{QUICK}{cvs}"))
}

fn seen(hand: &Hand<Layout>, index: usize) -> bench::Observation {
    hand.rails.locomotives()[index].observe()
}

#[test]
fn a_reversed_unit_runs_backward_and_its_lamps_with_it() {
    let units = vec![
        unit("demo-21-sound", "CV1 = 5\nCV19 = 70\nCV22 = 3\n"),
        unit("demo-21-sound", "CV1 = 6\nCV19 = 198\nCV22 = 3\n"),
    ];
    let mut hand = Hand::on(Layout::new(units));
    hand.throttle(short(70), Direction::Forward, 126);
    hand.keys(short(70), &[0]);
    hand.idle(20);
    let (first, second) = (seen(&hand, 0), seen(&hand, 1));
    assert_eq!((first.direction, second.direction), (Direction::Forward, Direction::Reverse));
    assert!((first.speed - second.speed).abs() < 1e-9 && first.speed > 0.9);
    assert!(first.is_on("front") && !first.is_on("rear") && second.is_on("rear") && !second.is_on("front"));
    // Speed to the own address is not heard in a consist.
    hand.throttle(short(5), Direction::Reverse, 0);
    hand.idle(20);
    assert!(seen(&hand, 0).speed > 0.9);
}

#[test]
fn by_nmra_a_masked_function_listens_to_both_addresses() {
    let mut hand = Hand::on(Layout::new(vec![unit("standard", "CV1 = 5\nCV19 = 70\nCV21 = 1\n")]));
    hand.keys(short(70), &[1, 2]);
    let both = seen(&hand, 0);
    assert!(both.is_on("AUX1") && !both.is_on("AUX2"), "F1 follows, F2 does not");
    hand.keys(short(5), &[2]);
    let own = seen(&hand, 0);
    assert!(!own.is_on("AUX1") && own.is_on("AUX2"), "and its own address is heard too");
}

#[test]
fn by_rcn_a_masked_function_listens_to_the_consist_only() {
    let cvs = "CV1 = 5\nCV19 = 70\nCV21 = 1\nCV22 = 64\n[[page]]\nhigh = 16\nlow = 0\ncv = { CV258 = 4, CV259 = 5, CV270 = 2 }\n";
    let mut hand = Hand::on(Layout::new(vec![unit("demo-8-paged", cvs)]));
    hand.keys(short(5), &[1, 2]);
    let own = seen(&hand, 0);
    assert!(!own.is_on("AUX1") && own.is_on("AUX2"));
    hand.keys(short(70), &[1, 2, 13]);
    let consist = seen(&hand, 0);
    assert!(consist.is_on("AUX1") && consist.is_on("rear"), "F13 follows by CV22 bit 6");
}

#[test]
fn consist_control_joins_and_leaves() {
    let join = |address, is_reversed| {
        Command::Consist(ConsistControl::join(ShortAddress::new(address).unwrap(), is_reversed))
    };
    let mut hand = Hand::on(Layout::new(vec![unit("demo-21-sound", "CV1 = 5\n")]));
    hand.tell(short(5), join(10, true));
    hand.idle(20);
    hand.throttle(short(10), Direction::Forward, 126);
    hand.idle(20);
    assert!(seen(&hand, 0).direction == Direction::Reverse && seen(&hand, 0).speed > 0.9);
    hand.write_on_the_main(short(10), 3, 99);
    hand.idle(20);
    let holds = |hand: &Hand<Layout>, cv, value| {
        hand.rails.locomotives()[0].memory().contains(&(datasheets::CvPlace { page: None, cv }, value))
    };
    assert!(holds(&hand, 3, 0), "no programming through the consist address");
    hand.tell(Address::Broadcast, Command::Consist(ConsistControl::LEAVE));
    hand.idle(20);
    assert!(holds(&hand, 19, 0), "dissolved by broadcast");
}

#[test]
fn a_consist_address_above_127_is_rcn_only() {
    let cvs = "CV1 = 5\nCV19 = 34\nCV20 = 12\n";
    let mut hand = Hand::on(Layout::new(vec![unit("demo-8-paged", cvs), unit("demo-21-sound", cvs)]));
    let consist = Address::Long(dcc::LongAddress::new(1234).unwrap());
    hand.throttle(consist, Direction::Forward, 126);
    hand.idle(20);
    assert!(seen(&hand, 0).speed > 0.9 && seen(&hand, 1).speed < 0.01);
}

#[test]
fn currents_add_and_dirt_is_each_ones_own() {
    let dirty = "[pickup]\nwrong-half-bits = \"2 %\"\n[cv]\nCV1 = 6\n";
    let mut hand =
        Hand::on(Layout::new(vec![unit("demo-21-sound", "CV1 = 5\n"), locomotive("standard", dirty)]));
    hand.idle(500);
    assert!(hand.samples.iter().all(|sample| (sample - 65.0).abs() < 0.01), "45 mA and 20 mA");
    let heard: Vec<u64> = hand.rails.locomotives().iter().map(Locomotive::packets_heard).collect();
    assert!(heard[0] > 100 && heard[1] < heard[0] / 2 && heard[1] > 0, "{heard:?}");
    let mut empty = Hand::on(Layout::new(Vec::new()));
    empty.samples.clear();
    empty.idle(500);
    // 82 idle packets of 6.028 ms.
    assert!(empty.samples.len().abs_diff(4943) <= 1 && empty.samples.iter().all(|sample| *sample <= 0.0));
    assert!(empty.rails.into_locomotives().is_empty());
}
