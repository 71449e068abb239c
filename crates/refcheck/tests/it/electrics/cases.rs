//! Reading of case files, and what they describe as circuits. No cases of its own.

use electrics::{Arrangement, CoilModel, DriverImpedance, Load, Motional};
use quantities::{
    Compliance, ForceFactor, Frequency, Inductance, Mass, MechanicalResistance, Quantity, Resistance, Voltage,
};
use serde_json::Value;

/// A case file below `cases/`.
pub(super) fn file(name: &str) -> Value {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("cases").join(name);
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The rows of a case file; a file without rows is a fault of the check.
#[track_caller]
pub(super) fn rows(file: &Value, key: &str) -> Vec<Value> {
    let rows = file[key].as_array().unwrap().clone();
    assert!(!rows.is_empty(), "no case ran");
    rows
}

pub(super) fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

/// Equal to the last digit that is printed, plus a rounding's rounding.
#[track_caller]
pub(super) fn agrees(what: &str, computed: f64, printed: &Value) {
    let text = printed.as_str().unwrap();
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let half_digit = 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap());
    let expected: f64 = text.parse().unwrap();
    assert!((computed - expected).abs() <= half_digit * 1.0001, "{what}: {computed}, printed {text}");
}

/// Within a share of what is printed.
#[track_caller]
pub(super) fn near(what: &str, computed: f64, printed: &Value, share: f64) {
    let expected: f64 = printed.as_str().unwrap().parse().unwrap();
    assert!((computed - expected).abs() <= share * expected.abs(), "{what}: {computed}, printed {printed}");
}

pub(super) fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

pub(super) fn ohms(value: f64) -> Resistance {
    Resistance::from_ohms(value).unwrap()
}

pub(super) fn volts(value: f64) -> Voltage {
    Voltage::from_volts(value).unwrap()
}

pub(super) fn henries(value: f64) -> Inductance {
    Inductance::from_henries(value).unwrap()
}

pub(super) fn nominal(value: f64) -> Load {
    Load::Nominal(ohms(value))
}

/// `"0"`, `{"series": […]}` or `{"parallel": […]}`.
pub(super) fn arrangement(value: &Value) -> Arrangement {
    let parts = |key: &str| value[key].as_array().map(|parts| parts.iter().map(arrangement).collect());
    match (value.as_str(), parts("series"), parts("parallel")) {
        (Some(speaker), ..) => Arrangement::Speaker(speaker.parse().unwrap()),
        (_, Some(parts), _) => Arrangement::Series(parts),
        (.., Some(parts)) => Arrangement::Parallel(parts),
        _ => panic!("no arrangement: {value}"),
    }
}

/// A published set with an ideal coil, in a tight box of so many cubic metres; in free air for none.
/// The stiffness of the box is `Sd²·ρc²/V` with the digest's ρ = 1.2041 kg/m³ and c = 343.21 m/s.
pub(super) fn published(set: &str, box_volume: Option<f64>, le: Option<f64>) -> DriverImpedance {
    let file = file("published/drivers.json");
    let row = rows(&file, "rows").into_iter().find(|row| row["set"] == set).unwrap();
    let text = |key: &str| row[key].as_str().unwrap().to_owned();
    let area = quantities::Area::parse(&text("sd")).unwrap().as_square_metres();
    let motional = Motional {
        bl: ForceFactor::parse(&text("bl")).unwrap(),
        mms: Mass::parse(&text("mms")).unwrap(),
        cms: Compliance::parse(&text("cms")).unwrap(),
        rms: MechanicalResistance::parse(&text("rms")).unwrap(),
        box_stiffness: box_volume.map_or(0.0, |volume| area * area * 1.2041 * 343.21 * 343.21 / volume),
    };
    let le = le.map_or_else(|| Inductance::parse(&text("le")).unwrap(), henries);
    DriverImpedance::new(Resistance::parse(&text("re")).unwrap(), CoilModel::Ideal(le), Some(motional))
        .unwrap()
}
