//! Function outputs and programming on the main: sections 3.8, 4.9 and 6 of the digest (S-9.2.1 §C, S-9.2.2 Table 2).

use super::OnRails;
use crate::dcc::{Row, row, run};

struct Case {
    cvs: &'static str,
    packets: &'static str,
    outputs: &'static [u16],
}

static MATRIX: &[Row<Case>] = &[
    row("K28", "Table 2: F0 forward on output 1", Case { cvs: "", packets: "1 03 90 93", outputs: &[1] }),
    row(
        "K28 in reverse",
        "Table 2: F0 reverse on output 2",
        Case { cvs: "", packets: "1 03 5F 5C; 1 03 90 93", outputs: &[2] },
    ),
    row(
        "K29",
        "Table 2: F0, F1, F4 on outputs 1, 3, 6",
        Case { cvs: "", packets: "1 03 99 9A", outputs: &[1, 3, 6] },
    ),
    row(
        "K30",
        "Table 2: F5, F8 on outputs 7, 10",
        Case { cvs: "", packets: "1 03 B9 BA", outputs: &[7, 10] },
    ),
    row(
        "K31",
        "Table 2: F10, F12 on outputs 12, 14",
        Case { cvs: "", packets: "1 03 AA A9", outputs: &[12, 14] },
    ),
    row(
        "K63",
        "CV42 = 64: F8 on output 10",
        Case { cvs: "CV42 = 64\n", packets: "1 03 B8 BB", outputs: &[10] },
    ),
    row(
        "K64",
        "CV35 = 20: F1 on outputs 3 and 5",
        Case { cvs: "CV35 = 20\n", packets: "1 03 81 82", outputs: &[3, 5] },
    ),
    row(
        "K66",
        "CV43 = 129: F9 on outputs 7 and 14",
        Case { cvs: "CV43 = 129\n", packets: "1 03 A1 A2", outputs: &[7, 14] },
    ),
    row(
        "T 14 steps",
        "S-9.2.1 §C 100: F0 counts only with CV29 bit 1",
        Case { cvs: "CV29 = 4\n", packets: "1 03 90 93", outputs: &[] },
    ),
    row(
        "K21",
        "S-9.2.1 §C: 14 steps, headlight in the speed octet",
        Case { cvs: "CV29 = 4\n", packets: "1 03 78 7B", outputs: &[1] },
    ),
];

#[test]
fn the_matrix_of_table_2() {
    run(MATRIX, |case, name| {
        let mut on_rails = OnRails::new("nmra", case.cvs);
        on_rails.operations(case.packets);
        assert_eq!(on_rails.outputs(), case.outputs, "{name}");
    });
}

struct Write {
    cvs: &'static str,
    packets: &'static str,
    found: (u16, u8),
}

static ON_THE_MAIN: &[Row<Write>] = &[
    row(
        "K76",
        "S-9.2.1 §C 111: two identical packets",
        Write { cvs: "", packets: "2 03 EC 1C 26 D5", found: (29, 38) },
    ),
    row(
        "K76 once",
        "S-9.2.1 §C 111: one is not enough",
        Write { cvs: "", packets: "1 03 EC 1C 26 D5", found: (29, 6) },
    ),
    row(
        "K76 with idles between",
        "S-9.2.1 §C 111: not necessarily back to back",
        Write { cvs: "", packets: "1 03 EC 1C 26 D5; 3 FF 00 FF; 1 03 EC 1C 26 D5", found: (29, 38) },
    ),
    row(
        "K76 with a speed between",
        "S-9.2.1 §C 111: another packet to this decoder cancels",
        Write { cvs: "", packets: "1 03 EC 1C 26 D5; 1 03 62 61; 1 03 EC 1C 26 D5", found: (29, 6) },
    ),
    row(
        "K76 with a broadcast between",
        "S-9.2.1 §C 111: broadcasts too",
        Write { cvs: "", packets: "1 03 EC 1C 26 D5; 1 00 60 60; 1 03 EC 1C 26 D5", found: (29, 6) },
    ),
    row(
        "K77",
        "S-9.2.1 §C 111 at a long address",
        Write {
            cvs: "CV17 = 196\nCV18 = 210\nCV29 = 38\nCV3 = 1\n",
            packets: "2 C4 D2 EC 1C 26 C0",
            found: (29, 38),
        },
    ),
    row("K79", "S-9.2.1 §C 111 bit", Write { cvs: "", packets: "2 03 E8 1C FD 0A", found: (29, 38) }),
    row("K80", "S-9.2.1 §C 111, CV897", Write { cvs: "", packets: "2 03 EF 80 01 6D", found: (897, 1) }),
    row("K81", "S-9.2.1 §C 111, CV1024", Write { cvs: "", packets: "2 03 EF FF FF EC", found: (1024, 255) }),
    row(
        "K82",
        "S-9.2.1 §C 111 short form: one packet",
        Write { cvs: "", packets: "1 03 F2 0A FB", found: (23, 10) },
    ),
    row(
        "K94 on the main",
        "RCN-226 §2.2: no reset on the main",
        Write { cvs: "", packets: "2 03 EC 07 08 E0", found: (8, 13) },
    ),
];

#[test]
fn programming_on_the_main() {
    run(ON_THE_MAIN, |case, name| {
        let mut on_rails = OnRails::new("nmra", case.cvs);
        on_rails.operations(case.packets);
        on_rails.idle(0.05);
        let (cv, value) = case.found;
        assert_eq!(on_rails.cv(cv), value, "{name}");
    });
}

/// K83: the short form for the long address, two packets (RCN-214, digest), sets CV17, CV18 and CV29 bit 5.
#[test]
fn k83_the_short_form_for_a_long_address() {
    for (decoder, expected) in [("rcn", (196, 210, 38)), ("nmra", (195, 232, 6))] {
        let mut on_rails = OnRails::new(decoder, "");
        on_rails.operations("2 03 F4 C4 D2 E1");
        on_rails.idle(0.05);
        assert_eq!((on_rails.cv(17), on_rails.cv(18), on_rails.cv(29)), expected, "{decoder}");
    }
}
