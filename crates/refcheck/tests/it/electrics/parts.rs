//! Digest, sections 2.2, 2.3, 6.1, 6.5 and 9: impedances of drivers and coils, series resistors, wires.

use electrics::{
    CoilModel, DriverImpedance, PreferredSeries, copper_at, frequencies, series_resistor, wire_diameter,
    wire_resistance,
};
use quantities::{Current, Length, Temperature};
use serde_json::Value;

use super::cases::{agrees, file, henries, hertz, near, ohms, published, rows, volts};

fn coil(model: &Value) -> CoilModel {
    let (kind, constants) = model.as_object().unwrap().iter().next().unwrap();
    let constant = |name: &str| constants[name].as_f64().unwrap();
    match kind.as_str() {
        "leach" => CoilModel::Leach { k: constant("k"), n: constant("n") },
        "wright" => CoilModel::Wright {
            kr: constant("kr"),
            xr: constant("xr"),
            ki: constant("ki"),
            xi: constant("xi"),
        },
        "thorborg" => CoilModel::ThorborgFuttrup {
            leb: henries(constant("leb")),
            le: henries(constant("le")),
            rss: ohms(constant("rss")),
            ke: constant("ke"),
        },
        "lr2" => CoilModel::Lr2 {
            le: henries(constant("le")),
            l2: henries(constant("l2")),
            r2: ohms(constant("r2")),
        },
        other => panic!("no coil model {other}"),
    }
}

/// Section 2.3, V35 to V37: the coil models, alone or with the coil's resistance.
#[test]
fn coil_models() {
    for row in rows(&file("digest/coils.json"), "rows") {
        let at = hertz(row["at"].as_f64().unwrap());
        let coil = coil(&row["model"]);
        let impedance = match row["resistance"].as_f64() {
            Some(resistance) => DriverImpedance::new(ohms(resistance), coil, None).unwrap().impedance(at),
            None => coil.impedance(at),
        };
        let found = [("modulus", impedance.norm()), ("re", impedance.re), ("im", impedance.im)];
        for (key, value) in found.into_iter().filter(|(key, _)| row[*key].is_string()) {
            match row["share"].as_f64() {
                Some(share) => near(key, value, &row[key], share),
                None => agrees(key, value, &row[key]),
            }
        }
    }
}

/// V17 and V18: set S1 in a box of 10 cm³.
#[test]
fn boxed_driver() {
    let case = file("digest/boxed-s1.json");
    let s1 = published("S1", Some(10e-6), None);
    for point in rows(&case, "boxed") {
        agrees(&point[0].to_string(), s1.impedance(hertz(point[0].as_f64().unwrap())).norm(), &point[1]);
    }
    agrees("phase", s1.impedance(hertz(1000.0)).arg().to_degrees(), &case["phase_at_1000"]);
}

/// V19: the peak of set S1 in free air, with and without inductance, on a grid of 0.01 Hz.
#[test]
fn impedance_peak() {
    for row in rows(&file("digest/boxed-s1.json"), "free") {
        let s1 = published("S1", None, row["le"].as_f64());
        let grid = (0..1000).map(|step| hertz(268.0 + 0.01 * f64::from(step)));
        let points = grid.map(|at| (at, s1.impedance(at).norm()));
        let (at, modulus) = points.max_by(|(_, a), (_, b)| a.total_cmp(b)).unwrap();
        agrees("peak", modulus, &row["modulus"]);
        near("place of the peak", at.as_hertz(), &row["at"], 1e-3);
    }
    // The same peak on the grid that load checks use is not missed by more than its step allows.
    let s1 = published("S1", None, None);
    let coarse = frequencies(hertz(50.0), hertz(10_000.0), 24);
    assert!(coarse.iter().any(|at| s1.impedance(*at).norm() > 0.98 * 23.141));
}

/// V57 and V70: copper that is hot.
#[test]
fn hot_copper() {
    let case = &file("digest/resistors.json")["hot_copper"];
    let at = |celsius: f64| Temperature::from_kelvins(celsius + 273.15).unwrap();
    let hot = copper_at(ohms(case["ohms"].as_f64().unwrap()), at(case["celsius"].as_f64().unwrap()));
    agrees("V57", hot.as_ohms(), &case["reads"]);
    let risen = &file("digest/boxed-s1.json")["hot"];
    let coil = copper_at(ohms(7.0), at(20.0 + risen["rise"].as_f64().unwrap()));
    agrees("V70", coil.as_ohms(), &risen["re"]);
}

/// Section 6.1 and V55: series resistors.
#[test]
fn series_resistors() {
    for row in rows(&file("digest/resistors.json"), "rows") {
        let number = |key: &str| row[key].as_f64().unwrap();
        let wanted = Current::from_amperes(number("ma") / 1000.0).unwrap();
        let resistor =
            |series| series_resistor(volts(number("supply")), volts(number("lamp")), wanted, series).unwrap();
        let (e12, e24) = (resistor(PreferredSeries::E12), resistor(PreferredSeries::E24));
        agrees("exact", e12.exact.as_ohms(), &row["exact"]);
        agrees("E12", e12.chosen.as_ohms(), &row["e12"]);
        agrees("E24", e24.chosen.as_ohms(), &row["e24"]);
        agrees("current", e12.current.as_amperes() * 1000.0, &row["current"]);
        agrees("heat", e12.heat.as_watts() * 1000.0, &row["heat"]);
    }
}

/// Section 6.5 and V56: wire gauges.
#[test]
fn wire_gauges() {
    for row in rows(&file("digest/resistors.json"), "wires") {
        let gauge = u8::try_from(row["gauge"].as_u64().unwrap()).unwrap();
        agrees("diameter", wire_diameter(gauge).as_metres() * 1000.0, &row["mm"]);
        agrees(
            "resistance",
            wire_resistance(gauge, Length::from_metres(1.0).unwrap()).as_ohms(),
            &row["ohms"],
        );
    }
}
