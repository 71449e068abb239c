//! Speed octets: the whole tables of 28 and 14 steps.

use std::collections::BTreeSet;

use dcc::{BaselineSpeed, Direction, Speed, Speed14, Speed28};

use super::{Row, names, row, run};

/// Forward and reverse octets of steps 1 to 28 (S-9.2 Fig. 2; NEM 671 Table 1).
static STEPS_28: &[Row<(Speed28Of, u8, u8)>] = &[
    row("T2.2 stop", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Stop, 0x60, 0x40)),
    row("T2.2 emergency stop", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::EmergencyStop, 0x61, 0x41)),
    row("T2.2 step 1", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(1), 0x62, 0x42)),
    row("T2.2 step 2", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(2), 0x72, 0x52)),
    row("T2.2 step 3", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(3), 0x63, 0x43)),
    row("T2.2 step 4", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(4), 0x73, 0x53)),
    row("T2.2 step 5", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(5), 0x64, 0x44)),
    row("T2.2 step 6", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(6), 0x74, 0x54)),
    row("T2.2 step 7", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(7), 0x65, 0x45)),
    row("T2.2 step 8", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(8), 0x75, 0x55)),
    row("T2.2 step 9", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(9), 0x66, 0x46)),
    row("T2.2 step 10", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(10), 0x76, 0x56)),
    row("K04", "S-9.2 Fig. 2; NEM 671 Table 1: 67 is forward, step 11", (Speed28Of::Step(11), 0x67, 0x47)),
    row("T2.2 step 12", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(12), 0x77, 0x57)),
    row("T2.2 step 13", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(13), 0x68, 0x48)),
    row("T2.2 step 14", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(14), 0x78, 0x58)),
    row("T2.2 step 15", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(15), 0x69, 0x49)),
    row("T2.2 step 16", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(16), 0x79, 0x59)),
    row("T2.2 step 17", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(17), 0x6A, 0x4A)),
    row("T2.2 step 18", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(18), 0x7A, 0x5A)),
    row("T2.2 step 19", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(19), 0x6B, 0x4B)),
    row("T2.2 step 20", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(20), 0x7B, 0x5B)),
    row("T2.2 step 21", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(21), 0x6C, 0x4C)),
    row("T2.2 step 22", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(22), 0x7C, 0x5C)),
    row("T2.2 step 23", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(23), 0x6D, 0x4D)),
    row("T2.2 step 24", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(24), 0x7D, 0x5D)),
    row("T2.2 step 25", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(25), 0x6E, 0x4E)),
    row("T2.2 step 26", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(26), 0x7E, 0x5E)),
    row("T2.2 step 27", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(27), 0x6F, 0x4F)),
    row("T2.2 step 28", "S-9.2 Fig. 2; NEM 671 Table 1", (Speed28Of::Step(28), 0x7F, 0x5F)),
];

/// A speed that can stand in a table.
enum Speed28Of {
    Stop,
    EmergencyStop,
    Step(u8),
}

impl Speed28Of {
    fn speed(&self) -> Speed28 {
        match self {
            Self::Stop => Speed::Stop,
            Self::EmergencyStop => Speed::EmergencyStop,
            Self::Step(number) => Speed::step(*number).expect("a step"),
        }
    }
}

pub(crate) fn all_names() -> BTreeSet<&'static str> {
    names(STEPS_28)
}

#[test]
fn octets_of_28_steps() {
    run(STEPS_28, |(speed, forward, reverse), name| {
        for (direction, octet) in [(Direction::Forward, *forward), (Direction::Reverse, *reverse)] {
            let encoded = BaselineSpeed::in_28_steps(direction, speed.speed());
            assert_eq!(encoded.octet(), octet, "{name}, {direction}");
            let read = BaselineSpeed::from_octet(octet).expect("a speed octet");
            assert_eq!(
                (read.as_28_steps(), read.direction()),
                (speed.speed(), direction),
                "{name}, {direction}"
            );
            assert!(!read.may_ignore_direction(), "{name}");
        }
    });
}

/// The stops with C = 1 (S-9.2 Fig. 2), forward and reverse.
static STOPS_WITH_C: &[Row<(Speed28, [u8; 2])>] = &[
    row("T2.2 stop, C = 1", "S-9.2 Fig. 2", (Speed::Stop, [0x70, 0x50])),
    row("T2.2 emergency stop, C = 1", "S-9.2 Fig. 2", (Speed::EmergencyStop, [0x71, 0x51])),
];

#[test]
fn stops_with_c_let_the_direction_be_ignored() {
    run(STOPS_WITH_C, |(speed, octets), name| {
        for octet in octets {
            let read = BaselineSpeed::from_octet(*octet).expect("a speed octet");
            assert_eq!(read.as_28_steps(), *speed, "{name}");
            assert!(read.may_ignore_direction(), "{name}");
        }
    });
}

/// Forward with headlight off, forward with it on, reverse with it off (S-9.2.1 §C 010/011).
static STEPS_14: &[Row<(u8, [u8; 3])>] = &[
    row("T2.2 14 steps, stop", "S-9.2.1 §C 010/011, derived", (0, [0x60, 0x70, 0x40])),
    row("T2.2 14 steps, emergency stop", "S-9.2.1 §C 010/011, derived", (255, [0x61, 0x71, 0x41])),
    row("T2.2 14 steps, step 1", "S-9.2.1 §C 010/011, derived", (1, [0x62, 0x72, 0x42])),
    row("T2.2 14 steps, step 2", "S-9.2.1 §C 010/011, derived", (2, [0x63, 0x73, 0x43])),
    row("T2.2 14 steps, step 3", "S-9.2.1 §C 010/011, derived", (3, [0x64, 0x74, 0x44])),
    row("T2.2 14 steps, step 4", "S-9.2.1 §C 010/011, derived", (4, [0x65, 0x75, 0x45])),
    row("T2.2 14 steps, step 5", "S-9.2.1 §C 010/011, derived", (5, [0x66, 0x76, 0x46])),
    row("T2.2 14 steps, step 6", "S-9.2.1 §C 010/011, derived", (6, [0x67, 0x77, 0x47])),
    row("T2.2 14 steps, step 7", "S-9.2.1 §C 010/011, derived", (7, [0x68, 0x78, 0x48])),
    row("T2.2 14 steps, step 8", "S-9.2.1 §C 010/011, derived", (8, [0x69, 0x79, 0x49])),
    row("T2.2 14 steps, step 9", "S-9.2.1 §C 010/011, derived", (9, [0x6A, 0x7A, 0x4A])),
    row("T2.2 14 steps, step 10", "S-9.2.1 §C 010/011, derived", (10, [0x6B, 0x7B, 0x4B])),
    row("T2.2 14 steps, step 11", "S-9.2.1 §C 010/011, derived", (11, [0x6C, 0x7C, 0x4C])),
    row("T2.2 14 steps, step 12", "S-9.2.1 §C 010/011, derived", (12, [0x6D, 0x7D, 0x4D])),
    row("T2.2 14 steps, step 13", "S-9.2.1 §C 010/011, derived", (13, [0x6E, 0x7E, 0x4E])),
    row("T2.2 14 steps, step 14", "S-9.2.1 §C 010/011, derived", (14, [0x6F, 0x7F, 0x4F])),
];

#[test]
fn octets_of_14_steps() {
    run(STEPS_14, |(step, octets), name| {
        let speed = match step {
            0 => Speed14::Stop,
            255 => Speed14::EmergencyStop,
            number => Speed14::step(*number).expect("a step"),
        };
        let readings = [(Direction::Forward, false), (Direction::Forward, true), (Direction::Reverse, false)];
        for ((direction, headlight), octet) in readings.into_iter().zip(octets) {
            let encoded = BaselineSpeed::in_14_steps(direction, speed, headlight);
            assert_eq!(encoded.octet(), *octet, "{name}, {direction}, headlight {headlight}");
            assert_eq!(encoded.as_14_steps(), (speed, headlight), "{name}");
            assert_eq!(encoded.direction(), direction, "{name}");
        }
    });
}
