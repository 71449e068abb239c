//! The card against faults made by hand, and the ranges against the spread of real parts.

use proptest::prelude::*;
use quantities::{MeterReading, Quantity, Resistance, Voltage};

use super::{DcSpread, Fault, Meter, MeterCard, MeterJob, ReadingRange, meter_card};
use crate::{ElementId, Load, Netlist};

fn ohms(value: f64) -> Resistance {
    Resistance::from_ohms(value).unwrap()
}

fn seven() -> Load {
    Load::Nominal(ohms(7.0))
}

fn eight_ohm_part(_: ElementId) -> DcSpread {
    DcSpread::of_nominal(ohms(8.0))
}

/// Two speakers in series, with real wires.
fn series() -> Netlist {
    let mut netlist = Netlist::new();
    netlist.amplifier("S1", "S2", Voltage::from_volts(1.0).unwrap()).unwrap();
    netlist.speaker("A", "A.red", "A.black", seven()).unwrap();
    netlist.speaker("B", "B.red", "B.black", seven()).unwrap();
    for (from, to) in [("S1", "A.red"), ("A.black", "B.red"), ("B.black", "S2")] {
        netlist.wire(from, to);
    }
    netlist
}

fn parallel() -> Netlist {
    let mut netlist = Netlist::new();
    netlist.amplifier("S1", "S2", Voltage::from_volts(1.0).unwrap()).unwrap();
    netlist.speaker("A", "A.red", "A.black", seven()).unwrap();
    netlist.speaker("B", "B.red", "B.black", seven()).unwrap();
    for (from, to) in [("S1", "A.red"), ("S1", "B.red"), ("A.black", "S2"), ("B.black", "S2")] {
        netlist.wire(from, to);
    }
    netlist
}

fn card(wanted: &Netlist, found: Option<&Netlist>) -> MeterCard {
    let apart = ["frame".to_owned()];
    meter_card(&MeterJob { wanted, found, apart: &apart, meter: Meter::cheap() }, eight_ohm_part)
}

/// A card as a person reads it.
fn shown(card: &MeterCard) -> String {
    let mut text = String::new();
    for point in &card.points {
        text += &format!("{} - {}: {}\n", point.from, point.to, point.expect);
        for wrong in &point.wrong {
            let meanings: Vec<String> = wrong.meanings.iter().map(ToString::to_string).collect();
            text += &format!("  {}: {}\n", wrong.reading, meanings.join("; "));
        }
        for fault in &point.unseen {
            text += &format!("  not seen here: {fault}\n");
        }
    }
    text
}

#[test]
fn card_of_two_in_series_that_were_parallel() {
    let found = parallel();
    let card = card(&series(), Some(&found));
    let text = shown(&card);
    assert_eq!(
        text,
        "\
S1 - S2: 10.8 ohm to 16.7 ohm
  2.5 ohm to 4.6 ohm: still wired as found
  5.3 ohm to 8.7 ohm: A is shorted; B is shorted
  OL: the wire from S1 to A.red makes no contact; the wire from A.black to B.red makes no contact; the wire from B.black to S2 makes no contact; A is interrupted; B is interrupted
A.red - A.black: 5.3 ohm to 8.7 ohm
  < 0.6 ohm: A is shorted
  2.5 ohm to 4.6 ohm: still wired as found
  OL: A is interrupted
  not seen here: the wire from S1 to A.red makes no contact
  not seen here: the wire from A.black to B.red makes no contact
  not seen here: the wire from B.black to S2 makes no contact
  not seen here: B is interrupted
  not seen here: B is shorted
B.red - B.black: 5.3 ohm to 8.7 ohm
  < 0.6 ohm: B is shorted
  2.5 ohm to 4.6 ohm: still wired as found
  OL: B is interrupted
  not seen here: the wire from S1 to A.red makes no contact
  not seen here: the wire from A.black to B.red makes no contact
  not seen here: the wire from B.black to S2 makes no contact
  not seen here: A is interrupted
  not seen here: A is shorted
S1 - frame: OL
  < 0.6 ohm: S1 or A.red touches frame
  5.3 ohm to 8.7 ohm: A.black or B.red touches frame
  10.8 ohm to 16.7 ohm: S2 or B.black touches frame
  not seen here: still wired as found
S2 - frame: OL
  < 0.6 ohm: S2 or B.black touches frame
  5.3 ohm to 8.7 ohm: A.black or B.red touches frame
  10.8 ohm to 16.7 ohm: S1 or A.red touches frame
  not seen here: still wired as found
"
    );
    assert_eq!(card.unseen, []);
}

/// A wire that another wire doubles is no fault when it comes off.
#[test]
fn doubled_wire_is_no_fault() {
    let mut wanted = series();
    wanted.wire("A.red", "S1");
    let card = card(&wanted, None);
    let first_wire = Fault::WireOff { from: "S1".to_owned(), to: "A.red".to_owned() };
    assert!(
        card.points.iter().all(|point| point.wrong.iter().all(|wrong| !wrong.meanings.contains(&first_wire)))
    );
    assert!(!card.unseen.contains(&first_wire));
}

/// A speaker of 32 ohm beside one of 8: its interruption moves the reading less than the parts may differ.
#[test]
fn fault_that_no_point_shows_is_told() {
    let mut wanted = Netlist::new();
    wanted.amplifier("S1", "S2", Voltage::from_volts(1.0).unwrap()).unwrap();
    let small = wanted.speaker("small", "S1", "S2", Load::Nominal(ohms(30.0))).unwrap();
    wanted.speaker("large", "S1", "S2", seven()).unwrap();
    let job = MeterJob { wanted: &wanted, found: None, apart: &[], meter: Meter::cheap() };
    let nominal = |id| ohms(if id == small { 32.0 } else { 8.0 });
    let card = meter_card(&job, |id| DcSpread::of_nominal(nominal(id)));
    assert_eq!(card.unseen, [Fault::Interrupted { element: "small".to_owned() }]);
    // With both parts measured beforehand it is seen.
    let measured = meter_card(&job, |id| DcSpread::measured(ohms(if id == small { 60.0 } else { 7.0 })));
    assert_eq!(measured.unseen.len(), 1, "{:?}", measured.unseen);
    let exact = Meter { digits: ohms(0.05), contact: ohms(0.1), ..Meter::cheap() };
    let careful = MeterJob { meter: exact, ..job };
    assert_eq!(meter_card(&careful, |id| DcSpread::measured(nominal(id))).unseen, []);
}

#[test]
fn readings_are_in_range_or_not() {
    let between = ReadingRange::Between { low: ohms(5.3), high: ohms(8.7) };
    for (range, reading, is_in) in [
        (between, "7 ohm", true),
        (between, "9 ohm", false),
        (between, "OL", false),
        (between, "< 0.5 ohm", false),
        (between, "< 6 ohm", true),
        (between, "> 1 Mohm", false),
        (ReadingRange::Open, "OL", true),
        (ReadingRange::Open, "> 1 Mohm", true),
        (ReadingRange::Open, "> 1 kohm", false),
        (ReadingRange::Open, "300 kohm", false),
    ] {
        assert_eq!(range.contains(MeterReading::parse(reading).unwrap()), is_in, "{range} and {reading}");
    }
}

#[test]
fn reading_passes_inductors_and_stops_at_capacitors() {
    let mut netlist = Netlist::new();
    netlist.inductor("L", "a", "b", quantities::Inductance::from_si(1e-3).unwrap()).unwrap();
    netlist.inductor("M", "a", "b", quantities::Inductance::from_si(1e-3).unwrap()).unwrap();
    netlist.capacitor("C", "b", "c", quantities::Capacitance::from_si(1e-4).unwrap()).unwrap();
    netlist.speaker("A", "b", "d", seven()).unwrap();
    let read = |from, to| netlist.dc_reading(from, to).to_string();
    assert_eq!(
        [read("a", "b"), read("a", "d"), read("b", "c"), read("a", "x")],
        ["0 ohm", "7 ohm", "OL", "OL"]
    );
}

proptest! {
    /// Whatever resistances the speakers have within their spread, a good meter's reading of the sound circuit and of
    /// each faulty one lies in the range that the card gives it.
    #[test]
    fn every_possible_reading_is_on_the_card(a in 5.6..8.0, b in 5.6..8.0, contact in 0.0..0.3) {
        let wanted = series();
        let id = |name| wanted.find(name).unwrap();
        let (first, card) = (id("A"), card(&wanted, None));
        let real = wanted.with_loads(|speaker, _| Load::Nominal(ohms(if speaker == first { a } else { b })));
        let read = |circuit: &Netlist, from: &str, to: &str| match circuit.dc_reading(from, to) {
            MeterReading::Exactly(value) => MeterReading::Exactly(value + ohms(contact)),
            other => other,
        };
        for point in &card.points {
            prop_assert!(point.expect.contains(read(&real, &point.from, &point.to)));
        }
        let shorted = Fault::Shorted { element: "A".to_owned() };
        let mut broken = real.clone();
        broken.wire("A.red", "A.black");
        let point = &card.points[0];
        let told = point.wrong.iter().find(|wrong| wrong.meanings.contains(&shorted)).unwrap();
        prop_assert!(told.reading.contains(read(&broken, "S1", "S2")));
        prop_assert!(!point.expect.contains(read(&broken, "S1", "S2")));
    }
}
