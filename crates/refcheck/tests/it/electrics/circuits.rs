//! Digest, sections 1.1 to 1.4 and 9 (V01 to V09): networks, the bridge example, polarity, the amplifier.

use electrics::{
    BridgeAmplifier, Load, LoadVerdict, Marking, Mount, Netlist, PlacedSpeaker, Relation, nominal_load,
    polarity, speaker_powers,
};
use quantities::Gain;

use super::cases::{agrees, arrangement, file, hertz, nominal, numbers, ohms, published, rows, volts};

const NAMES: [&str; 4] = ["0", "1", "2", "3"];

/// Section 1.1 and V01, V05: loads and shares of power.
#[test]
fn nominal_networks() {
    for row in rows(&file("digest/networks.json"), "rows") {
        let drivers = numbers(&row["drivers"]);
        let loads: Vec<Load> = drivers.iter().map(|driver| nominal(*driver)).collect();
        let netlist = arrangement(&row["wiring"]).netlist(&NAMES, &loads, volts(2.0)).unwrap();
        let load = nominal_load(&netlist, |id| {
            ohms(drivers[NAMES.iter().position(|name| *name == netlist.name_of(id)).unwrap()])
        });
        agrees("load", load.unwrap().unwrap().as_ohms(), &row["load"]);
        let swept = netlist.sweep(&[hertz(100.0), hertz(1000.0)]).unwrap();
        agrees("swept load", swept.impedances()[1].unwrap().re, &row["load"]);
        let Some(shares) = row["shares"].as_array() else { continue };
        for power in speaker_powers(&netlist, &swept) {
            let speaker: usize = netlist.name_of(power.speaker).parse().unwrap();
            let share = numbers(&shares[speaker]);
            assert!((power.share - share[0] / share[1]).abs() < 1e-12, "{row}");
        }
    }
}

/// V02 to V04: powers at a voltage.
#[test]
fn powers_at_a_voltage() {
    for row in rows(&file("digest/networks.json"), "powers") {
        let loads: Vec<Load> = numbers(&row["drivers"]).into_iter().map(nominal).collect();
        let voltage = volts(row["volts"].as_f64().unwrap());
        let netlist = arrangement(&row["wiring"]).netlist(&NAMES, &loads, voltage).unwrap();
        let solution = netlist.solve_at(hertz(1000.0)).unwrap();
        for (name, watts) in NAMES.iter().zip(row["watts"].as_array().unwrap()) {
            agrees(name, solution.power(netlist.find(name).unwrap()).as_watts(), watts);
        }
    }
}

/// Section 1.2 and V06: the unbalanced bridge, by either solver.
#[test]
fn unbalanced_bridge() {
    let case = file("digest/bridge.json");
    let mut netlist = Netlist::new();
    netlist.amplifier("1", "0", volts(case["volts"].as_f64().unwrap())).unwrap();
    for (place, row) in rows(&case, "resistors").iter().enumerate() {
        let (from, to) = (row[0].as_str().unwrap(), row[1].as_str().unwrap());
        netlist.resistor(&format!("R{place}"), from, to, ohms(row[2].as_f64().unwrap())).unwrap();
    }
    for solution in [netlist.solve_at(hertz(1000.0)).unwrap(), netlist.solve_dc().unwrap()] {
        let voltage = |node: &str| solution.voltage_between(&netlist, node, "0").unwrap().re;
        agrees("V2", voltage("2"), &case["v2"]);
        agrees("V3", voltage("3"), &case["v3"]);
        agrees("I", solution.input_current().re, &case["current"]);
        agrees("Z", solution.impedance().unwrap().re, &case["impedance"]);
        assert!((solution.impedance().unwrap().re - 88.0 / 13.0).abs() < 1e-12);
        let mut sum = 0.0;
        for ((id, _), expected) in netlist.elements().zip(case["powers"].as_array().unwrap()) {
            agrees("power", solution.power(id).as_watts(), expected);
            sum += solution.power(id).as_watts();
        }
        agrees("sum of powers", sum, &case["sum"]);
    }
}

/// Section 1.3 and V07: which terminal combinations oppose.
#[test]
fn terminal_combinations() {
    for row in rows(&file("digest/polarity.json"), "rows") {
        let mut netlist = Netlist::new();
        netlist.amplifier("S1", "S2", volts(2.0)).unwrap();
        let ids = ["a", "b"].map(|name| {
            let terminal = |place: usize| row[name][place].as_str().unwrap();
            netlist.speaker(name, terminal(0), terminal(1), nominal(8.0)).unwrap()
        });
        let solution = netlist.solve_at(hertz(500.0)).unwrap();
        for (id, h) in ids.iter().zip(numbers(&row["h"])) {
            assert!((solution.voltage(*id) / 2.0 - h).norm() < 1e-12, "{row}");
        }
        let b_mount = if row["b_mount"] == "magnet" { Mount::MagnetOutward } else { Mount::FrontOutward };
        let placed = [(ids[0], Mount::FrontOutward), (ids[1], b_mount)]
            .map(|(speaker, mount)| PlacedSpeaker { speaker, mount, marking: Marking::Tested });
        let expected = if row["result"] == "opposed" { Relation::Opposed } else { Relation::Together };
        assert_eq!(polarity(&netlist, &placed).unwrap().pairs[0].relation, expected, "{row}");
    }
}

/// Section 1.4, V08 and V09: the bridge amplifier and the 80 % rule.
#[test]
fn bridge_amplifier() {
    let case = file("digest/amplifier.json");
    for row in rows(&case, "rows") {
        let load = ohms(row["load"].as_f64().unwrap());
        let amplifier = BridgeAmplifier::on_supply(volts(row["supply"].as_f64().unwrap()), load);
        // 1.5625 W is printed as 1.563.
        agrees("sine", amplifier.sine_power(load).as_watts(), &row["sine"]);
        if row["peak"].is_string() {
            agrees("peak", amplifier.peak_current(load).as_amperes(), &row["peak"]);
        }
        let gain =
            Gain::of_powers(amplifier.square_power(load).as_watts(), amplifier.sine_power(load).as_watts());
        agrees("clipped", gain.as_decibels(), &case["clipped_gain"]);
    }
    for row in rows(&case, "least_modulus") {
        let amplifier = BridgeAmplifier::on_supply(volts(5.0), ohms(row["nominal"].as_f64().unwrap()));
        agrees("least modulus", amplifier.least_modulus().as_ohms(), &row["modulus"]);
    }
}

/// Section 1.4, worked example: S1 and S2 in boxes of 10 cm³ in parallel behind thin wire.
#[test]
fn two_drivers_in_boxes_behind_thin_wire() {
    let case = &file("digest/amplifier.json")["worked"];
    let mut netlist = Netlist::new();
    netlist.amplifier("S1", "S2", volts(2.83)).unwrap();
    netlist.resistor("wire", "S1", "plus", ohms(case["wire"].as_f64().unwrap())).unwrap();
    for set in ["S1", "S2"] {
        let driver = Load::Driver(published(set, Some(10e-6), None));
        netlist.speaker(&format!("set {set}"), "plus", "S2", driver).unwrap();
    }
    let points = rows(case, "points");
    let grid: Vec<_> = points.iter().map(|point| hertz(point[0].as_f64().unwrap())).collect();
    let sweep = netlist.sweep(&grid).unwrap();
    for (point, impedance) in points.iter().zip(sweep.impedances()) {
        agrees(&point[0].to_string(), impedance.unwrap().norm(), &point[1]);
    }
    agrees("without wire", netlist.dc_reading("plus", "S2").least().unwrap().as_ohms(), &case["re_parallel"]);
    // It passes on a 4-ohm amplifier and fails on an 8-ohm one.
    let nominal = nominal_load(&netlist, |_| ohms(8.0)).unwrap().unwrap();
    let judge = |least: f64| BridgeAmplifier::on_supply(volts(5.0), ohms(least)).judge(nominal, None);
    assert_eq!(judge(4.0), LoadVerdict::Fits);
    assert!(matches!(judge(8.0), LoadVerdict::NominalTooLow { .. }));
}
