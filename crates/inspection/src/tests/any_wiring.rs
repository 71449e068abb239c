//! Whatever is wired to whatever, the engine answers: without panic, with whole findings, and the same however the wires
//! are listed; and huge orders come to an end.

use std::fmt::Write as _;

use finding::Severity;
use proptest::prelude::*;
use workorder::{WorkOrder, read_order};

use super::shelf;
use crate::{Inspection, Job, inspect};

const TERMINALS: [&str; 19] = [
    "A.red",
    "A.black",
    "B.red",
    "B.black",
    "C.red",
    "C.black",
    "R1.1",
    "R1.2",
    "C1.1",
    "C1.2",
    "L1.1",
    "L1.2",
    "board.S1",
    "board.S2",
    "board.blue",
    "amplifier.1",
    "frame",
    "motor.1",
    "rail.left",
];
const READINGS: [&str; 8] =
    ["OL", "> 1 Mohm", "300 kohm", "40 ohm", "7 ohm", "3.5 ohm", "< 0.5 ohm", "0 ohm"];
const PARTS: [&str; 4] = ["oval-18x13", "oval-15x11-four", "round-16-weak", "round-28"];

/// A wiring as numbers, turned into text by [`written`].
#[derive(Debug, Clone)]
struct Drawn {
    wires: Vec<(usize, usize)>,
    is_planned: bool,
    decoder: usize,
    parts: [usize; 3],
    readings: [usize; 6],
    polarities: [usize; 3],
    master: Option<i8>,
    millivolts: u32,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let end = 0..TERMINALS.len();
    (
        proptest::collection::vec((end.clone(), end), 0..14),
        any::<bool>(),
        0..3usize,
        proptest::array::uniform3(0..PARTS.len()),
        proptest::array::uniform6(0..READINGS.len()),
        proptest::array::uniform3(0..3usize),
        proptest::option::of(-20..1i8),
        1..60_000u32,
    )
        .prop_map(|(wires, is_planned, decoder, parts, readings, polarities, master, millivolts)| {
            Drawn { wires, is_planned, decoder, parts, readings, polarities, master, millivolts }
        })
}

fn written(drawn: &Drawn) -> String {
    let [rails, motor, frame, coil, lead, to_rail] = drawn.readings.map(|reading| READINGS[reading]);
    let mut text = format!(
        "[order]\nnumber = \"drawn\"\nmodel = \"drawn\"\nscale = \"HO\"\n[survey]\nrail-to-rail = \"{rails}\"\n\
         motor-resistance = \"{motor}\"\nmotor-to-frame = \"{frame}\"\nmotor-to-rail = \"{to_rail}\"\n"
    );
    for (index, name) in ["A", "B", "C"].iter().enumerate() {
        let polarity = ["marked", "tested", "unknown"][drawn.polarities[index]];
        let _ = write!(
            text,
            "[[survey.speaker]]\nname = \"{name}\"\npart = \"{}\"\nterminals = [\"red\", \"black\"]\n\
             polarity = \"{polarity}\"\ndc-resistance = \"{coil}\"\nto-frame = \"{lead}\"\nat = \"{index}0 mm\"\n",
            PARTS[drawn.parts[index]]
        );
    }
    for (pad, signal) in [("S1", "loudspeaker A"), ("S2", "loudspeaker B"), ("blue", "common plus")] {
        let _ = write!(text, "[[survey.pad]]\nname = \"{pad}\"\nsignal = \"{signal}\"\n");
    }
    for (name, kind, value) in [
        ("R1", "resistor", "resistance = \"0 ohm\""),
        ("C1", "capacitor", "capacitance = \"47 µF\""),
        ("L1", "inductor", "inductance = \"0.5 mH\""),
    ] {
        let _ = write!(text, "[[survey.component]]\nname = \"{name}\"\nkind = \"{kind}\"\n{value}\n");
    }
    let list = if drawn.is_planned { "plan" } else { "survey" };
    let decoder = ["demo-21-sound", "demo-8-paged", "standard"][drawn.decoder];
    let _ = write!(text, "[plan]\ndecoder = \"{decoder}\"\ntrack-voltage = \"{} mV\"\n", drawn.millivolts);
    if let Some(master) = drawn.master {
        let _ = write!(text, "[levels]\nmaster = \"{master} dB\"\n");
    }
    for (from, to) in &drawn.wires {
        let _ =
            write!(text, "[[{list}.wire]]\nfrom = \"{}\"\nto = \"{}\"\n", TERMINALS[*from], TERMINALS[*to]);
    }
    text
}

fn judged(text: &str) -> (WorkOrder, Inspection) {
    let shelf = shelf(None);
    let order = read_order("drawn", text, &shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
    let inspection = inspect(&Job { order: &order, shelf: &shelf, train: None });
    (order, inspection)
}

/// Rules, severities and headlines: what must not depend on how wires are listed.
fn verdict(inspection: &Inspection) -> Vec<(&'static str, Severity)> {
    let mut verdict: Vec<_> =
        inspection.findings.iter().map(|finding| (finding.rule, finding.severity)).collect();
    verdict.sort_unstable();
    verdict
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn is_judged_wholly_and_however_it_is_listed(drawn in drawn()) {
        let (_, inspection) = judged(&written(&drawn));
        for finding in &inspection.findings {
            prop_assert!(!finding.places.is_empty() && !finding.reasons.is_empty() && !finding.remedy.is_empty(), "{finding}");
            prop_assert!(!finding.to_string().contains("NaN") && !finding.to_string().contains("inf "), "{finding}");
        }
        let mut turned = drawn.clone();
        turned.wires = drawn.wires.iter().rev().map(|(from, to)| (*to, *from)).collect();
        prop_assert_eq!(verdict(&inspection), verdict(&judged(&written(&turned)).1));
    }

    /// Exchanging both loudspeaker pads inverts everything alike, which nobody can hear.
    #[test]
    fn the_amplifier_s_outputs_may_be_exchanged(drawn in drawn()) {
        let text = written(&drawn);
        let exchanged = text.replace("loudspeaker A", "loudspeaker X").replace("loudspeaker B", "loudspeaker A").replace("loudspeaker X", "loudspeaker B")
            .replace("amplifier.1", "amplifier.2");
        prop_assert_eq!(verdict(&judged(&text).1), verdict(&judged(&exchanged).1));
    }
}

/// Twelve speakers in four strings of three, with ten thousand wires that say the same again and again.
#[test]
fn ten_thousand_wires_and_twelve_speakers() {
    let mut text = "[order]\nnumber = \"huge\"\nmodel = \"huge\"\nscale = \"HO\"\n[survey]\n".to_owned();
    for number in 0..12 {
        let _ = write!(
            text,
            "[[survey.speaker]]\nname = \"P{number}\"\npart = \"oval-18x13\"\npolarity = \"marked\"\ndc-resistance = \"7 ohm\"\nto-frame = \"OL\"\n"
        );
    }
    for (pad, signal) in [("S1", "loudspeaker A"), ("S2", "loudspeaker B")] {
        let _ = write!(text, "[[survey.pad]]\nname = \"{pad}\"\nsignal = \"{signal}\"\n");
    }
    // A chain of tie points between the pad and the first speaker of each string makes the ways long.
    for pad in 0..9_000 {
        let _ = write!(text, "[[survey.pad]]\nname = \"T{pad}\"\nsignal = \"free\"\n");
    }
    let mut wire = |from: String, to: String| {
        let _ = write!(text, "[[survey.wire]]\nfrom = \"{from}\"\nto = \"{to}\"\n");
    };
    wire("board.S1".to_owned(), "board.T0".to_owned());
    for pad in 1..9_000 {
        wire(format!("board.T{}", pad - 1), format!("board.T{pad}"));
    }
    for string in 0..4 {
        let first = 3 * string;
        wire("board.T8999".to_owned(), format!("P{first}.plus"));
        for next in first + 1..first + 3 {
            wire(format!("P{}.minus", next - 1), format!("P{next}.plus"));
        }
        wire(format!("P{}.minus", first + 2), "board.S2".to_owned());
    }
    for again in 0..984 {
        wire(format!("board.T{again}"), format!("board.T{}", again + 5_000));
    }
    text += "[plan]\ndecoder = \"demo-21-sound\"\n";
    let (order, inspection) = judged(&text);
    assert_eq!(order.survey.unwrap().wire.len(), 10_000);
    // Three of 8 ohm in each of four strings: 6 ohm.
    let network = inspection.answers.planned.unwrap();
    assert_eq!(network.load.unwrap().unwrap().to_string(), "6 ohm");
    assert!(
        inspection.findings.iter().all(|finding| finding.severity > Severity::Stop),
        "{:?}",
        inspection.findings
    );
    // One wire more and the whole chain is a short; the finding names the way from one output to the other.
    text += "[[plan.wire]]\nfrom = \"board.S1\"\nto = \"board.S2\"\n";
    let (_, inspection) = judged(&text);
    let shorted = inspection.findings.iter().find(|finding| finding.rule == "amplifier-shorted").unwrap();
    assert_eq!(shorted.places.len(), 1);
}

/// Thousands of lamps and speakers: rules that compared each with each would not come to an end.
#[test]
fn thousands_of_lamps_and_speakers() {
    let mut text =
        "[order]\nnumber = \"huge\"\nmodel = \"huge\"\nscale = \"HO\"\n[survey]\nsocket = \"NEM660\"\n\
                    speaker-space = { length = \"60 mm\", width = \"22 mm\", height = \"15 mm\" }\n"
            .to_owned();
    for number in 0..1_500 {
        let way = number * 7 % 100;
        let _ = write!(
            text,
            "[[survey.speaker]]\nname = \"P{number}\"\npart = \"oval-18x13\"\npolarity = \"marked\"\nat = \"{way} mm\"\n\
             [[survey.wire]]\nfrom = \"P{number}.plus\"\nto = \"amplifier.{}\"\n\
             [[survey.wire]]\nfrom = \"P{number}.minus\"\nto = \"amplifier.{}\"\n",
            number % 2 + 1,
            2 - number % 2
        );
    }
    text += "[plan]\ndecoder = \"demo-21-sound\"\n";
    for number in 0..4_000 {
        let _ = write!(
            text,
            "[[plan.lamp]]\nname = \"L{number}\"\ndoes = \"coach lamps\"\noutput = \"AUX{}\"\npart = \"bulb-12v\"\n",
            number % 4 + 1
        );
    }
    let (_, inspection) = judged(&text);
    for rule in [
        "speakers-in-opposition",
        "output-overloaded",
        "logic-output-drives-lamp",
        "amplifier-below-least-load",
    ] {
        assert!(inspection.findings.iter().any(|finding| finding.rule == rule), "{rule} is silent");
    }
}
