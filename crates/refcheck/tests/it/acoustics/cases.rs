//! Reading of case files, and the comparison "to the last printed digit". No cases of its own.

use acoustics::driver::{Outline, Preference, QuotedDrive, QuotedLevel, Sheet};
use acoustics::{Air, ClosedBox, Driver, Enclosure, Space, System};
use quantities::{Length, Power, Quantity, Volume};
use serde_json::Value;

/// A case file below `cases/`.
pub(super) fn file(name: &str) -> Value {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("cases").join(name);
    let text = std::fs::read_to_string(&path).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// The rows of a case file; a file without rows is a fault of the check.
#[track_caller]
pub(super) fn rows(file: &Value, key: &str) -> Vec<Value> {
    let rows = file[key].as_array().unwrap().clone();
    assert!(!rows.is_empty(), "no case ran");
    rows
}

pub(super) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// A printed number and half of its last digit.
pub(super) fn printed(text: &str) -> (f64, f64) {
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    (text.parse().unwrap(), 0.5 * 10f64.powi(-i32::try_from(decimals).unwrap()))
}

/// Equal to the last digit that a table prints, plus a rounding's rounding.
#[track_caller]
pub(super) fn agrees(what: &str, computed: f64, text: &str) {
    let (expected, half_digit) = printed(text);
    assert!((computed - expected).abs() <= half_digit * 1.0001, "{what}: {computed}, printed {text}");
}

/// Within a share.
#[track_caller]
pub(super) fn near(what: &str, computed: f64, expected: f64, share: f64) {
    assert!((computed - expected).abs() <= share * expected.abs(), "{what}: {computed}, expected {expected}");
}

/// A quantity of a case, none where the sheet prints nothing.
pub(super) fn quantity<Q: Quantity>(row: &Value, key: &str) -> Option<Q> {
    row[key].as_str().map(|text| Q::parse(text).unwrap())
}

pub(super) fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

/// A published set as a sheet.
pub(super) fn sheet(row: &Value) -> Sheet {
    let quoted = |key: &str, drive: QuotedDrive| {
        quantity(row, key).map(|level| QuotedLevel {
            level,
            drive,
            distance: q::<Length>("1 m"),
            space: Space::Half,
        })
    };
    let root_of_eight = QuotedDrive::Voltage(quantities::Voltage::from_volts(8f64.sqrt()).unwrap());
    let one_watt = QuotedDrive::IntoCoil(q::<Power>("1 W"));
    Sheet {
        nominal_impedance: quantity(row, "zn"),
        coil_resistance: quantity(row, "re"),
        coil_inductance: quantity(row, "le"),
        force_factor: quantity(row, "bl"),
        moving_mass: quantity(row, "mms"),
        compliance: quantity(row, "cms"),
        mechanical_resistance: quantity(row, "rms"),
        piston_area: quantity(row, "sd"),
        resonance: quantity(row, "fs"),
        boxed_resonance: None,
        mechanical_q: row["qms"].as_f64(),
        electrical_q: row["qes"].as_f64(),
        total_q: row["qts"].as_f64(),
        equivalent_volume: quantity(row, "vas"),
        sensitivity: quoted("db_1w", one_watt).into_iter().chain(quoted("db_2_83v", root_of_eight)).collect(),
        peak_excursion: quantity(row, "xmax"),
        rated_power: quantity(row, "power"),
        outline: None::<Outline>,
    }
}

/// A published set by name, as a sheet.
pub(super) fn published(name: &str) -> Sheet {
    let file = file("published/drivers.json");
    let all = rows(&file, "rows");
    sheet(all.iter().find(|row| row["set"] == name).unwrap())
}

/// A published set as a driver; what the sheet does not print and the value under test does not need is assumed.
pub(super) fn driver(name: &str) -> Driver {
    published(name).complete(&Air::default(), Preference::Construction).unwrap().driver
}

pub(super) fn tight(name: &str, volume: Volume) -> System {
    System::new(driver(name), Enclosure::Box(ClosedBox::tight(volume).unwrap()), Air::default())
}
