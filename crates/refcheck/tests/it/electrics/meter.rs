//! Digest, section 1.5: what the ohm-meter must read, with and without faults, and which nominal value a reading means.

use electrics::{DcSpread, Fault, Meter, ReadingRange};
use electrics::{Load, MeterJob, Netlist, meter_card, nominals_for};
use quantities::{MeterReading, Quantity, Resistance};
use serde_json::Value;

use super::cases::{agrees, arrangement, file, nominal, ohms, rows, volts};

const NAMES: [&str; 4] = ["0", "1", "2", "3"];

#[track_caller]
fn reads(netlist: &Netlist, expected: &Value) {
    match netlist.dc_reading("S1", "S2") {
        MeterReading::Open => assert_eq!(expected, "OL"),
        MeterReading::Exactly(value) => agrees("reading", value.as_ohms(), expected),
        other => panic!("{other}"),
    }
}

/// The table of expected readings: each circuit, with one driver open and one shorted.
#[test]
fn readings_with_and_without_faults() {
    let case = file("digest/meter.json");
    let loads: Vec<Load> = vec![nominal(case["re"].as_f64().unwrap()); 4];
    for row in rows(&case, "rows") {
        let netlist = arrangement(&row["wiring"]).netlist(&NAMES, &loads, volts(1.0)).unwrap();
        reads(&netlist, &row["good"]);
        for (speaker, expected) in row["open"].as_object().unwrap() {
            reads(&netlist.without_element(netlist.find(speaker).unwrap()), expected);
        }
        for (speaker, expected) in row["shorted"].as_object().unwrap() {
            let mut shorted = netlist.clone();
            let (plus, minus) = netlist.terminals_of(netlist.find(speaker).unwrap());
            shorted.wire(plus, minus);
            reads(&shorted, expected);
        }
        card_says_the_same(&netlist, &row);
    }
}

/// With exact parts and an exact meter the card's first point has just these readings, and a lead on the frame is seen.
fn card_says_the_same(netlist: &Netlist, row: &Value) {
    let zero = ohms(0.0);
    let meter = Meter { share: 0.0, digits: zero, contact: zero, open_above: ohms(1e6) };
    let apart = ["frame".to_owned()];
    let job = MeterJob { wanted: netlist, found: None, apart: &apart, meter };
    let card = meter_card(&job, |_| DcSpread::measured(ohms(7.0)));
    let point = &card.points[0];
    let is_like = |range: &ReadingRange, expected: &Value| match range {
        ReadingRange::Open => expected == "OL",
        ReadingRange::Between { low, .. } => {
            agrees("card", low.as_ohms(), expected);
            true
        }
    };
    assert!(is_like(&point.expect, &row["good"]));
    for (key, fault) in [("open", false), ("shorted", true)] {
        for (speaker, expected) in row[key].as_object().unwrap() {
            let element = speaker.clone();
            let fault = if fault { Fault::Shorted { element } } else { Fault::Interrupted { element } };
            let told = point.wrong.iter().find(|wrong| wrong.meanings.contains(&fault)).unwrap();
            assert!(is_like(&told.reading, expected), "{row}: {fault}");
        }
    }
    let frame: Vec<_> = card.points.iter().filter(|point| point.to == "frame").collect();
    assert_eq!(frame.len(), 2);
    assert!(frame.iter().all(|point| point.expect == ReadingRange::Open && !point.wrong.is_empty()));
}

/// The windows of the nominal values: their ends, and that only 6 and 8 ohm overlap.
#[test]
fn windows_of_nominal_values() {
    for row in rows(&file("digest/meter.json"), "windows") {
        let nominal = ohms(row["nominal"].as_f64().unwrap());
        let spread = DcSpread::of_nominal(nominal);
        // 22.4 is printed as 22.
        agrees("low", spread.low.as_ohms(), &row["low"]);
        agrees("high", spread.high.as_ohms(), &row["high"]);
        let middle = (spread.low + spread.high) / 2.0;
        assert_eq!(nominals_for(middle), [nominal]);
    }
    assert_eq!(nominals_for(ohms(5.8)), [ohms(6.0), ohms(8.0)]);
}

/// The published small full-range sets and domes, section 10: every Re lies in the window of its nominal value.
#[test]
fn published_sets_lie_in_their_windows() {
    let sets = rows(&file("published/drivers.json"), "rows");
    let small: Vec<_> =
        sets.iter().filter(|row| row["set"].as_str().unwrap().starts_with(['S', 'D'])).collect();
    assert_eq!(small.len(), 10);
    for row in small {
        let quantity = |key: &str| Resistance::parse(row[key].as_str().unwrap()).unwrap();
        assert!(nominals_for(quantity("re")).contains(&quantity("zn")), "{row}");
    }
}
