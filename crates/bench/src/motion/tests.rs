//! Tests of [`super`].

use dcc::Direction;
use proptest::prelude::*;

use super::{Curve, Manner, Momentum, Motion};
use crate::memory::{Memory, plain};
use crate::tests::sheet;

const EASY: Manner = Manner {
    momentum: Momentum { acceleration: 10.0, deceleration: 5.0 },
    is_braking: false,
    is_shunting: false,
};

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() < 1e-9
}

#[test]
fn momentum_takes_its_time_up_and_down() {
    let mut motion = Motion::standing();
    motion.command(28, 28, Direction::Forward);
    motion.advance(4.0, &EASY);
    assert!(near(motion.position, 0.4));
    motion.advance(7.0, &EASY);
    assert!(near(motion.position, 1.0));
    motion.command(0, 28, Direction::Forward);
    motion.advance(2.0, &EASY);
    assert!(near(motion.position, 0.6));
    motion.advance(3.0, &Manner { is_braking: true, ..EASY });
    assert!(near(motion.position, 0.0), "three seconds over the whole range with the brake");
}

#[test]
fn turning_round_slows_to_a_stop_first() {
    let mut motion = Motion::standing();
    motion.command(14, 28, Direction::Forward);
    motion.advance(5.0, &EASY);
    motion.command(14, 28, Direction::Reverse);
    motion.advance(1.0, &EASY);
    assert_eq!(motion.moving(), Direction::Forward);
    assert!(near(motion.position, 0.3));
    motion.advance(1.5 + 2.0, &EASY);
    assert_eq!(motion.moving(), Direction::Reverse);
    assert!(near(motion.position, 0.2));
    assert!(!motion.is_settled(&EASY));
}

#[test]
fn shunting_knows_no_momentum_and_half_the_speed() {
    let shunting = Manner { is_shunting: true, ..EASY };
    let mut motion = Motion::standing();
    motion.command(4, 5, Direction::Forward);
    motion.advance(0.0, &shunting);
    assert!(near(motion.position, 0.4) && motion.is_settled(&shunting));
}

#[test]
fn an_emergency_stop_and_a_ceiling() {
    let mut motion = Motion::standing();
    motion.limit(0.25);
    motion.command(28, 28, Direction::Forward);
    motion.advance(60.0, &EASY);
    assert!(near(motion.position, 0.25));
    motion.stop_at_once();
    assert!(near(motion.position, 0.0) && motion.is_settled(&EASY));
}

#[test]
fn the_first_of_126_steps_is_the_start_level_too() {
    let mut memory = Memory::on_delivery(&sheet("standard"));
    for (cv, value) in [(2, 10), (6, 100), (5, 200)] {
        memory.store(plain(cv), value);
    }
    let curve = Curve::of(&memory);
    for (step, expected) in [(1.0, 10.0), (63.0, 100.0), (126.0, 200.0)] {
        assert!(near(curve.level(step / 126.0, 126.0, Direction::Forward), expected), "step {step}");
    }
}

#[test]
fn the_table_counts_when_it_is_chosen_and_trim_is_a_factor() {
    let mut memory = Memory::on_delivery(&sheet("standard"));
    memory.store(plain(29), 16 + 2);
    memory.store(plain(66 + 14), 100);
    memory.store(plain(66 + 15), 120);
    memory.store(plain(95), 64);
    let curve = Curve::of(&memory);
    assert!(near(curve.level(14.5 / 28.0, 126.0, Direction::Forward), 110.0));
    assert!(near(curve.level(14.5 / 28.0, 126.0, Direction::Reverse), 55.0), "trim 64 is one half (K62)");
    memory.store(plain(66), 255);
    assert!(near(Curve::of(&memory).level(1.0, 28.0, Direction::Forward), 255.0), "never above full");
}

proptest! {
    #[test]
    fn motion_stays_on_its_scale_and_arrives(
        throttles in proptest::collection::vec((0_u8..=126, any::<bool>(), 0.0..20.0), 1..20),
        up in 0.0..50.0, down in 0.0..50.0,
    ) {
        let manner = Manner { momentum: Momentum { acceleration: up, deceleration: down }, ..EASY };
        let mut motion = Motion::standing();
        for (throttle, is_forward, seconds) in throttles {
            motion.command(throttle, 126, Direction::from_bit(is_forward));
            motion.advance(seconds, &manner);
            prop_assert!((0.0..=1.0).contains(&motion.position));
        }
        motion.advance(200.0, &manner);
        prop_assert!(motion.is_settled(&manner));
    }
}
