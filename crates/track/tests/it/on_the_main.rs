//! What was programmed, tried out on the main: keys, speed, consist, and CVs written there.

use bench::{Layout, Locomotive};
use datasheets::{CvPlace, Deed};
use dcc::{Address, CvNumber, Direction, Function, LongAddress, Microseconds, ShortAddress, Speed126};
use track::{MainTrack, Permit, Rails};

use crate::demo::{Order, locomotive};
use crate::program::programmed;

fn ready(number: &str) -> Locomotive {
    let mut locomotive = locomotive(number, 7);
    assert!(programmed(&Order::of_demo(number), &mut locomotive).unwrap().is_fulfilled());
    locomotive
}

fn on_the_main<R: Rails>(rails: R) -> MainTrack<R> {
    let mut main = MainTrack::new(rails);
    main.start(&Permit::without_job());
    main
}

fn long(number: u16) -> Address {
    Address::Long(LongAddress::new(number).unwrap())
}

fn key(number: u8) -> Function {
    Function::new(number).unwrap()
}

#[test]
fn keys_do_what_the_order_wishes() {
    let mut main = on_the_main(ready("V-0031"));
    let address = long(4031);
    main.set_speed(address, Direction::Forward, Speed126::step(40).unwrap()).unwrap();
    for number in [0, 2] {
        main.set_function(address, key(number), true).unwrap();
    }
    main.hold(Microseconds::from_millis(500));
    let seen = main.rails().observe();
    assert!(seen.is_lit("headlight") && seen.is_lit("tail") && !seen.is_lit("end-of-train"));
    assert!(seen.heard.sound(Deed::Horn).is_some() && seen.heard.sound(Deed::Bell).is_none());
    main.set_function(address, key(2), false).unwrap();
    main.set_function(address, key(1), true).unwrap();
    main.hold(Microseconds::from_millis(500));
    let seen = main.rails().observe();
    assert!(seen.heard.sound(Deed::Horn).is_none() && seen.heard.sound(Deed::Bell).is_some());
    // The old address is nobody's any more.
    main.set_function(Address::Short(ShortAddress::FACTORY), key(0), false).unwrap();
    main.hold(Microseconds::from_millis(100));
    assert!(main.rails().observe().is_lit("headlight"));
}

#[test]
fn a_pair_runs_together_at_its_consist_address() {
    let mut main = on_the_main(Layout::new(vec![ready("V-0033"), ready("V-0034")]));
    let consist = Address::Short(ShortAddress::new(70).unwrap());
    main.set_speed(consist, Direction::Forward, Speed126::step(126).unwrap()).unwrap();
    main.hold(Microseconds::from_millis(30_000));
    let seen: Vec<_> = main.rails().locomotives().iter().map(Locomotive::observe).collect();
    assert_eq!([seen[0].direction, seen[1].direction], [Direction::Forward, Direction::Reverse]);
    assert!(seen.iter().all(|one| one.speed > 0.9), "{} and {}", seen[0].speed, seen[1].speed);
    main.stop();
    assert!(main.rails().locomotives().iter().all(|one| !one.observe().is_alive));
}

#[test]
fn a_cv_is_written_on_the_main_and_nowhere_else() {
    let mut main = on_the_main(Layout::new(vec![ready("V-0033"), ready("V-0034")]));
    main.write_cv(long(7002), CvNumber::new(3).unwrap(), 99).unwrap();
    main.hold(Microseconds::from_millis(100));
    let cv3 = |locomotive: &Locomotive| {
        let place = CvPlace { page: None, cv: 3 };
        locomotive.memory().into_iter().find(|(one, _)| *one == place).map(|(_, value)| value)
    };
    let held: Vec<_> = main.rails().locomotives().iter().map(cv3).collect();
    assert_eq!(held[1], Some(99));
    assert_ne!(held[0], Some(99));
}
