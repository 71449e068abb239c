//! Whatever an order wishes and reads, the engine answers: without panic, with whole findings, and telling every gap.

use std::fmt::Write as _;

use cvplan::Gap;
use datasheets::{Deed, LampEffect, Shelf};
use proptest::prelude::*;
use workorder::{WorkOrder, read_order, read_train};

use super::shelf;
use crate::{Inspection, Job, TrainPlace, inspect};

const DECODERS: [&str; 3] = ["demo-21-sound", "demo-8-paged", "standard"];

/// Lamps are drawn for the first few deeds only, so that keys often meet them.
const N_LAMP_DEEDS: usize = 4;

/// What a lamp is for, its output, direction, effect and brightness.
type Lamp = (usize, usize, Option<bool>, Option<usize>, Option<u8>);

const OUTPUTS: [&str; 4] = ["front", "rear", "AUX1", "AUX2"];

/// An order's wishes and readings as numbers, turned into text by [`written`].
#[derive(Debug, Clone)]
struct Drawn {
    decoder: usize,
    address: (bool, u16, u8, bool),
    seconds: (u16, u16),
    levels: [i16; 3],
    engine: (u8, u8),
    lamps: Vec<Lamp>,
    keys: Vec<(u8, Vec<usize>)>,
    readings: Vec<(u16, u8)>,
    acknowledged: Option<bool>,
    idle_milliamperes: u16,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let deed = prop_oneof![0..N_LAMP_DEEDS, 0..Deed::ALL.len()];
    let keys = proptest::collection::vec((0..40u8, proptest::collection::vec(deed, 1..3)), 0..8);
    let effect = proptest::option::of(0..LampEffect::ALL.len());
    let lamp =
        (0..Deed::ALL.len(), 0..OUTPUTS.len(), any::<Option<bool>>(), effect, proptest::option::of(0..101u8));
    let lamps = proptest::collection::vec(lamp, 0..4);
    let plain = prop_oneof![1..35u16, Just(257u16), Just(258u16)];
    let readings = proptest::collection::vec((plain, any::<u8>()), 0..12);
    let address = (any::<bool>(), 1..128u16, 0..128u8, any::<bool>());
    let wishes = (
        0..DECODERS.len(),
        address,
        (0..400u16, 0..60u16),
        proptest::array::uniform3(-70..12i16),
        (1..25u8, 2..5u8),
    );
    let found = (lamps, keys, readings, any::<Option<bool>>(), 0..600u16);
    (wishes, found).prop_map(
        |((decoder, address, seconds, levels, engine), (lamps, keys, readings, acknowledged, idle))| Drawn {
            decoder,
            address,
            seconds,
            levels,
            engine,
            lamps,
            keys,
            readings,
            acknowledged,
            idle_milliamperes: idle,
        },
    )
}

fn written(number: &str, drawn: &Drawn) -> String {
    let mut text = format!("[order]\nnumber = \"{number}\"\nmodel = \"drawn\"\nscale = \"N\"\n");
    text += &format!("[plan]\ndecoder = \"{}\"\n", DECODERS[drawn.decoder]);
    for (index, (deed, output, is_forward, effect, brightness)) in drawn.lamps.iter().enumerate() {
        let (deed, output) = (Deed::ALL[*deed], OUTPUTS[*output]);
        let _ = write!(
            text,
            "[[plan.lamp]]\nname = \"L{index}\"\ndoes = \"{deed}\"\noutput = \"{output}\"\npart = \"led-warm\"\n"
        );
        if let Some(is_forward) = is_forward {
            let _ = writeln!(text, "when = \"{}\"", if *is_forward { "forward" } else { "reverse" });
        }
        if let Some(effect) = effect {
            let _ = writeln!(text, "effect = \"{}\"", LampEffect::ALL[*effect]);
        }
        if let Some(brightness) = brightness {
            let _ = writeln!(text, "brightness = \"{brightness} %\"");
        }
    }
    let (is_long, address, consist, is_reversed) = drawn.address;
    let form = if is_long { "long" } else { "short" };
    text += &format!(
        "[address]\nform = \"{form}\"\nnumber = {address}\nconsist = {consist}\nconsist-reversed = {is_reversed}\n"
    );
    text += &format!(
        "[manners]\nacceleration = \"{} s\"\ndeceleration = \"{} s\"\n",
        drawn.seconds.0, drawn.seconds.1
    );
    let [master, horn, bell] = drawn.levels;
    text += &format!("[levels]\nmaster = \"{master} dB\"\nhorn = \"{horn} dB\"\nbell = \"{bell} dB\"\n");
    text += &format!(
        "[voice]\nprime-mover = {{ cylinders = {}, strokes = {} }}\n",
        drawn.engine.0, drawn.engine.1
    );
    text += "horn = { chimes = 4 }\nhead-end-power = \"standby\"\n[contact]\n";
    if let Some(acknowledged) = drawn.acknowledged {
        text += &format!("acknowledged = {acknowledged}\n");
    }
    text += &format!("idle-current = \"{} mA\"\n[contact.cv]\n", drawn.idle_milliamperes);
    let mut seen = Vec::new();
    for (cv, value) in &drawn.readings {
        if !seen.contains(cv) {
            seen.push(*cv);
            let _ = writeln!(text, "CV{cv} = {value}");
        }
    }
    text += "[keys]\n";
    let mut seen = Vec::new();
    for (key, deeds) in &drawn.keys {
        if !seen.contains(key) {
            seen.push(*key);
            let deeds: Vec<String> = deeds.iter().map(|deed| format!("\"{}\"", Deed::ALL[*deed])).collect();
            let _ = writeln!(text, "F{key} = [{}]", deeds.join(", "));
        }
    }
    text
}

fn read(number: &str, drawn: &Drawn, shelf: &Shelf) -> WorkOrder {
    read_order(number, &written(number, drawn), shelf).unwrap_or_else(|faults| panic!("{faults}")).value
}

/// Whether some finding names the wish of a gap. A consist address without CV is told of the decoder.
fn is_told(gap: &Gap, inspection: &Inspection) -> bool {
    inspection.findings.iter().any(|finding| {
        finding.places.contains(gap.wish())
            || finding.rule == "decoder-has-no-consist-address" && gap.wish().as_str() == "address.consist"
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn is_judged_wholly(units in proptest::collection::vec(drawn(), 2..4), powers in proptest::collection::vec(any::<bool>(), 4)) {
        let shelf = shelf(None);
        let orders: Vec<WorkOrder> =
            units.iter().enumerate().map(|(index, unit)| read(&format!("U{index}"), unit, &shelf)).collect();
        let mut text = "[train]\nname = \"drawn\"\nconsist-address = 70\n".to_owned();
        for (order, powers) in orders.iter().zip(&powers) {
            text += &format!("[[unit]]\norder = \"{}\"\ndirection = \"forward\"\npowers-train = {powers}\n", order.order.number);
        }
        let train = read_train("train", &text, orders.iter().map(|order| &order.order.number))
            .unwrap_or_else(|faults| panic!("{faults}"))
            .value;
        let at_hand: Vec<Option<&WorkOrder>> = orders.iter().map(Some).collect();
        for (index, order) in orders.iter().enumerate() {
            let own_alone: Vec<Option<&WorkOrder>> =
                at_hand.iter().enumerate().map(|(other, order)| order.filter(|_| other == index)).collect();
            let place = |orders| TrainPlace { train: &train, index, orders };
            for train in [None, Some(place(&at_hand)), Some(place(&own_alone))] {
                let inspection = inspect(&Job { order, shelf: &shelf, train });
                for finding in &inspection.findings {
                    let is_whole = !finding.places.is_empty() && !finding.reasons.is_empty() && !finding.remedy.is_empty();
                    prop_assert!(is_whole, "{finding}");
                }
                for gap in inspection.answers.settlement.iter().flat_map(|settlement| &settlement.gaps) {
                    prop_assert!(is_told(gap, &inspection), "{gap:?} is told by no finding");
                }
            }
        }
    }
}
