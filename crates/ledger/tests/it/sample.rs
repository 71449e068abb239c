//! A shop with something of everything, invented like all of the Vesper Lake Railway.

use ledger::{
    BoardLine, Kind, Ledger, Moment, Place, Reading, RevisionNumber, RunOutcome, SeverityCounts, Stamp, Told,
    WaitsFor,
};

pub(crate) const PHOTO: &[u8] = include_bytes!("../fixtures/photos/sent/phone.jpg");

pub(crate) fn stamp(at: i64) -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(at), "tablet")
}

pub(crate) fn number(number: i64) -> RevisionNumber {
    RevisionNumber::new(number)
}

/// Fills an empty shop.
pub(crate) fn fill(ledger: &mut Ledger) {
    let text = "[order]\nnumber = \"V-0031\"\nmodel = \"Vesper Lake class 40 railcar\"\n";
    let order = ledger.save(Kind::Order, "V-0031", text, None, &stamp(1_000)).unwrap().document;
    for revision in 1..=20_i64 {
        let text = format!("{text}note = \"{}\"\n", "measured ".repeat(usize::try_from(revision).unwrap()));
        ledger.save_upon(order, &text, number(revision), &stamp(1_000 + revision)).unwrap();
    }
    ledger.undo(order, number(21), &stamp(2_000)).unwrap();
    ledger.rename(order, "V-0031-a", number(22), &stamp(2_001)).unwrap();
    let told = Told {
        title: "class 40 railcar".to_owned(),
        notes: "brush touches the frame".to_owned(),
        findings: "stop: speakers in opposition".to_owned(),
        board: Some(BoardLine {
            number: "V-0031".to_owned(),
            model: "railcar".to_owned(),
            waits_for: WaitsFor::Parts,
            findings: SeverityCounts { stops: 1, ..SeverityCounts::default() },
        }),
    };
    ledger.tell(order, number(23), &told).unwrap();
    let part = ledger.save(Kind::Part, "oval-15x11", "impedance = \"8 ohm\"\n", None, &stamp(2_002)).unwrap();
    ledger.delete(part.document, number(1), &stamp(2_003)).unwrap();
    ledger.save(Kind::Train, "night-mail", "units = []\n", None, &stamp(2_004)).unwrap();
    let run = ledger.begin_run(order, &stamp(3_000)).unwrap();
    for line in 0..40 {
        ledger
            .append_line(run, &format!("{{\"version\":1,\"entry\":{line}}}\n"), stamp(3_001 + line).at)
            .unwrap();
    }
    let readings: Vec<Reading> = (1..=200)
        .map(|cv| Reading {
            place: Place { page: (cv > 100).then_some((16, 0)), cv: cv + if cv > 100 { 156 } else { 0 } },
            value: (cv % 7 != 0).then(|| u8::try_from(cv).unwrap()),
        })
        .collect();
    ledger.keep_snapshot(order, Some(run), "demo-21-sound", &readings, &stamp(3_100)).unwrap();
    ledger.end_run(run, RunOutcome::Finished, &stamp(3_101)).unwrap();
    let open = ledger.begin_run(order, &stamp(3_102)).unwrap();
    ledger.append_line(open, "{\"version\":1}\n", stamp(3_103).at).unwrap();
    ledger.attach_photo(order, "survey", "brush and frame", PHOTO, &stamp(4_000)).unwrap();
    ledger.move_stock("oval-15x11", 5, None, &stamp(5_000)).unwrap();
    ledger.move_stock("oval-15x11", -2, Some(order), &stamp(5_001)).unwrap();
}

/// The archive of a shop: everything that must not be lost.
pub(crate) fn archive(ledger: &Ledger) -> Vec<u8> {
    let mut bytes = Vec::new();
    ledger.export(&mut bytes).unwrap();
    bytes
}
