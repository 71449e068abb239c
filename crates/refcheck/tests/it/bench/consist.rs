//! Consists: sections 3.4, 4.5 and 4.7 of the digest (S-9.2.1 §C 0001, S-9.2.2 CV19, CV21, CV22, RCN-225 CV19/20).

use dcc::Direction;

use super::OnRails;
use crate::dcc::{Row, row, run};

struct Control {
    packets: &'static str,
    cv19: u8,
}

static CONTROL: &[Row<Control>] = &[
    row("K40", "S-9.2.1 §C", Control { packets: "1 05 12 0A 1D", cv19: 10 }),
    row("K41", "S-9.2.1 §C", Control { packets: "1 05 13 0A 1C", cv19: 138 }),
    row("K42", "S-9.2.1 §C", Control { packets: "1 05 13 0A 1C; 3 FF 00 FF; 1 05 12 00 17", cv19: 0 }),
    row(
        "T clear all",
        "RCN-212 (digest): `00 12 00 12` dissolves consists",
        Control { packets: "1 05 12 0A 1D; 3 FF 00 FF; 1 00 12 00 12", cv19: 0 },
    ),
];

#[test]
fn consist_control_sets_cv19() {
    run(CONTROL, |case, name| {
        let mut on_rails = OnRails::new("nmra", "CV1 = 5\n");
        on_rails.operations(case.packets);
        on_rails.idle(0.05);
        assert_eq!(on_rails.cv(19), case.cv19, "{name}");
    });
}

struct Run {
    decoder: &'static str,
    cvs: &'static str,
    packet: &'static str,
    runs: Option<Direction>,
}

const fn runs(
    decoder: &'static str,
    cvs: &'static str,
    packet: &'static str,
    runs: Option<Direction>,
) -> Run {
    Run { decoder, cvs, packet, runs }
}

static RUNS: &[Row<Run>] = &[
    // 0x0A ^ 0x7F = 0x75: consist 10, step 28 forward.
    row(
        "K43",
        "S-9.2.2 CV19 = 138: consist 10, reversed",
        runs("nmra", "CV1 = 5\nCV19 = 138\n", "1 0A 7F 75", Some(Direction::Reverse)),
    ),
    row(
        "T CV19 = 10",
        "S-9.2.2 CV19: consist 10",
        runs("nmra", "CV1 = 5\nCV19 = 10\n", "1 0A 7F 75", Some(Direction::Forward)),
    ),
    row(
        "T CV19 = 138 and CV29 bit 0",
        "S-9.2.2 CV19, CV29: turned round twice",
        runs("nmra", "CV1 = 5\nCV19 = 138\nCV29 = 7\n", "1 0A 7F 75", Some(Direction::Forward)),
    ),
    row(
        "T own address",
        "S-9.2.1 §C: speed comes from the consist address only",
        runs("nmra", "CV1 = 5\nCV19 = 10\n", "1 05 7F 7A", None),
    ),
    row(
        "K44",
        "RCN-225 CV19/20: consist 1234, reversed",
        runs("rcn", "CV1 = 5\nCV19 = 162\nCV20 = 140\n", "1 C4 D2 3F B3 9A", Some(Direction::Reverse)),
    ),
    row(
        "K44 by NMRA",
        "S-9.2.2: CV20 is reserved",
        runs("nmra", "CV1 = 5\nCV19 = 162\nCV20 = 140\n", "1 C4 D2 3F B3 9A", None),
    ),
    row(
        "K45",
        "RCN-225 CV19/20: above 10239, in no consist",
        runs("rcn", "CV1 = 5\nCV19 = 40\nCV20 = 102\n", "1 05 7F 7A", Some(Direction::Forward)),
    ),
];

#[test]
fn a_consist_is_driven_by_its_address() {
    run(RUNS, |case, name| {
        let mut on_rails = OnRails::new(case.decoder, case.cvs);
        on_rails.operations(case.packet);
        let seen = on_rails.seen();
        assert_eq!((seen.speed > 0.0).then_some(seen.direction), case.runs, "{name}");
    });
}

struct Masks {
    decoder: &'static str,
    cvs: &'static str,
    packets: &'static str,
    outputs: &'static [u16],
}

const fn masks(
    decoder: &'static str,
    cvs: &'static str,
    packets: &'static str,
    outputs: &'static [u16],
) -> Masks {
    Masks { decoder, cvs, packets, outputs }
}

/// Packets to consist 10: `0A 9F` is F0 to F4 on, `0A BF` F5 to F8, `0A AF` F9 to F12.
const ALL_BY_CONSIST: &str = "1 0A 9F 95; 1 0A BF B5; 1 0A AF A5";
/// The same to the own address 5.
const ALL_BY_OWN: &str = "1 05 9F 9A; 1 05 BF BA; 1 05 AF AA";

static MASKS: &[Row<Masks>] = &[
    row(
        "K67",
        "CV21 = 18: F2 and F5 follow the consist, outputs 4 and 7",
        masks("nmra", "CV21 = 18\n", ALL_BY_CONSIST, &[4, 7]),
    ),
    row(
        "K68",
        "CV22 = 7: F0 and F9 follow, outputs 1 and 11",
        masks("nmra", "CV22 = 7\n", ALL_BY_CONSIST, &[1, 11]),
    ),
    row(
        "K67 by NMRA, own address",
        "S-9.2.1 §C: its own address is answered as well (C8)",
        masks("nmra", "CV21 = 18\n", ALL_BY_OWN, &[1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14]),
    ),
    row(
        "K67 by RCN, own address",
        "RCN-225: only the consist address counts for them (C8)",
        masks("rcn", "CV21 = 18\n", ALL_BY_OWN, &[1, 3, 5, 6, 8, 9, 10, 11, 12, 13, 14]),
    ),
];

#[test]
fn masks_say_which_functions_follow_the_consist() {
    run(MASKS, |case, name| {
        let mut on_rails = OnRails::new(case.decoder, &format!("CV1 = 5\nCV19 = 10\n{}", case.cvs));
        on_rails.operations(case.packets);
        assert_eq!(on_rails.outputs(), case.outputs, "{name}");
    });
}
