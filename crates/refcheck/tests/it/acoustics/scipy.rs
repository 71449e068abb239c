//! scipy.signal and scipy.special against the room; scripts `closed_box.py` and `radiation.py` made the cases and
//! note the versions in them.

use acoustics::driver::{Driver, Parameters};
use acoustics::radiation::{bessel_j1, directivity, piston_reactance, piston_resistance, struve_h1};
use acoustics::{
    Air, Alignment, ClosedBox, Drive, Enclosure, Listening, Opening, Position, Source, Space, System,
    VoltagePhasor, VolumeVelocityPhasor, radiated_power,
};
use num_complex::Complex64;
use quantities::{Frequency, Length, Voltage, Volume};
use serde_json::Value;

use super::cases::{file, near, number, q, rows};

/// Asked of the closed box: agreement to a millionth of the value.
const SHARE: f64 = 1e-6;

fn complex(point: &Value) -> Complex64 {
    Complex64::new(number(&point["re"]), number(&point["im"]))
}

#[test]
fn normalised_closed_box() {
    let file = file("scipy/closed-box.json");
    for case in rows(&file, "normalised") {
        let unit = Alignment::new(q::<Frequency>("1 Hz"), number(&case["q"])).unwrap();
        for point in rows(&case, "points") {
            let computed = unit.response(Frequency::from_hertz(number(&point["ratio"])).unwrap());
            let expected = complex(&point);
            assert!((computed - expected).norm() <= SHARE * expected.norm(), "{computed} for {expected}");
        }
    }
}

fn scipy_system(case: &Value) -> System {
    let of = |key: &str| number(&case["driver"][key]);
    let driver = Driver::new(Parameters {
        nominal_impedance: q("8 ohm"),
        coil_resistance: quantities::Resistance::from_ohms(of("Re")).unwrap(),
        coil_inductance: quantities::Inductance::from_henries(of("Le")).unwrap(),
        force_factor: quantities::ForceFactor::from_tesla_metres(of("Bl")).unwrap(),
        moving_mass: quantities::Mass::from_kilograms(of("Mms")).unwrap(),
        compliance: quantities::Compliance::from_metres_per_newton(of("Cms")).unwrap(),
        mechanical_resistance: quantities::MechanicalResistance::from_newton_seconds_per_metre(of("Rms"))
            .unwrap(),
        piston_area: quantities::Area::from_square_metres(of("Sd")).unwrap(),
        peak_excursion: q("0.5 mm"),
        rated_power: q("1 W"),
    });
    let tight = ClosedBox::tight(Volume::from_cubic_metres(number(&case["volume"])).unwrap()).unwrap();
    let hole = &case["hole"];
    let closed = if hole.is_null() {
        tight
    } else {
        tight.opened(Opening::Round {
            diameter: Length::from_metres(number(&hole["diameter"])).unwrap(),
            length: Length::from_metres(number(&hole["length"])).unwrap(),
        })
    };
    System::new(driver.unwrap(), Enclosure::Box(closed), Air::default())
}

/// The full system with coil inductance, tight and with holes, in modulus and phase.
#[test]
fn pressure_per_volt() {
    let volt = Drive::Voltage(VoltagePhasor::of(q::<Voltage>("1 V")));
    let file = file("scipy/closed-box.json");
    for case in rows(&file, "systems") {
        let system = scipy_system(&case);
        for point in rows(&case, "points") {
            let frequency = Frequency::from_hertz(number(&point["hertz"])).unwrap();
            let computed = system.pressure(frequency, volt, &Listening::at_one_metre()).as_pascals();
            let expected = complex(&point);
            let error = (computed - expected).norm() / expected.norm();
            assert!(error <= SHARE, "{} at {frequency}: off by {error}", case["name"]);
        }
    }
}

#[test]
fn bessel_and_struve() {
    let file = file("scipy/radiation.json");
    for case in rows(&file, "bessel") {
        let x = number(&case["x"]);
        // What the doc comments promise.
        assert!((bessel_j1(x) - number(&case["j1"])).abs() < 1e-13, "J1({x})");
        assert!((struve_h1(x) - number(&case["h1"])).abs() < 1e-12, "H1({x})");
    }
}

#[test]
fn piston_radiation() {
    let air = Air::default();
    let file = file("scipy/radiation.json");
    for case in rows(&file, "pistons") {
        let radius = Length::from_metres(number(&case["radius"])).unwrap();
        let frequency = Frequency::from_hertz(number(&case["hertz"])).unwrap();
        near("R", piston_resistance(radius, frequency, &air), number(&case["resistance"]), 1e-9);
        near("X", piston_reactance(radius, frequency, &air), number(&case["reactance"]), 1e-9);
        near("D", directivity(radius, frequency, 60.0, &air), number(&case["directivity_60_degrees"]), 1e-9);
    }
}

/// Radiated power against integration over the sphere, which knows nothing of mutual radiation resistance.
#[test]
fn power_of_several_sources() {
    let file = file("scipy/radiation.json");
    for case in rows(&file, "arrays") {
        let sources: Vec<Source> = rows(&case, "sources")
            .iter()
            .map(|source| {
                let metres: Vec<f64> = rows(source, "metres").iter().map(number).collect();
                Source {
                    position: Position::from_metres(metres[0], metres[1], metres[2]).unwrap(),
                    volume_velocity: VolumeVelocityPhasor::from_cubic_metres_per_second(complex(source))
                        .unwrap(),
                }
            })
            .collect();
        let frequency = Frequency::from_hertz(number(&case["hertz"])).unwrap();
        let watts = radiated_power(&sources, frequency, Space::Free, &Air::default()).as_watts();
        near(case["name"].as_str().unwrap(), watts, number(&case["watts"]), 1e-9);
    }
}
