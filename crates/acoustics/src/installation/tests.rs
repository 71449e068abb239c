//! Bands of an installation against its parts, and against the pair's own table.

use num_complex::Complex64;
use quantities::Quantity;

use super::*;
use crate::driver::tests::some_driver;
use crate::radiation::{PairRelation, pair_band_losses};
use crate::{ClosedBox, Enclosure, Mounted, Mounting, Position, System, VoltagePhasor, logarithmic_grid};

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

fn volts(value: f64) -> Drive {
    Drive::Voltage(VoltagePhasor::computed(Complex64::from(value)))
}

fn boxed(millimetres: f64) -> Cabinet {
    let position = Position::from_metres(millimetres * 1e-3, 0.0, 0.0).unwrap();
    Cabinet {
        enclosure: Enclosure::Box(ClosedBox::tight(q("3 cm3")).unwrap()),
        drivers: vec![Mounted { driver: some_driver([0.5; 8]), position, mounting: Mounting::FrontOut }],
    }
}

fn pair() -> Installation {
    Installation { cabinets: vec![boxed(0.0), boxed(30.0)], air: Air::default() }
}

/// One cabinet alone is the system of it, on the axis and, being a point, all round.
#[test]
fn one_cabinet_is_a_system() {
    let alone = Installation { cabinets: vec![boxed(0.0)], air: Air::default() };
    let grid = logarithmic_grid(q("100 Hz"), q("8 kHz"), 6);
    let system = System::new(some_driver([0.5; 8]), boxed(0.0).enclosure, Air::default());
    let (one, other) = (
        alone.response(&grid, |_| vec![volts(1.0)], &Listening::default()).unwrap(),
        system.response(&grid, &Listening::default()).unwrap(),
    );
    for ((_, a), (_, b)) in one.points().zip(other.points()) {
        assert!((a - b).norm() <= 1e-12 * b.norm());
    }
    let bands = Band::octaves_125_to_8000();
    for heard in alone.heard_in_bands(&bands, |_| vec![volts(1.0)], &Listening::default()).unwrap() {
        assert!((heard.on_axis.as_si() - heard.around.as_si()).abs() < 1e-9);
    }
}

/// What opposition costs, band by band, is what the pair's table says, but for the weights: loss and response both
/// change within an octave, so a response that climbs 12 dB over it favours the upper end, where the loss is least.
#[test]
fn opposition_by_octaves() {
    let bands = Band::octaves_125_to_8000();
    let heard = |second: f64| {
        pair().heard_in_bands(&bands, |_| vec![volts(1.0), volts(second)], &Listening::default()).unwrap()
    };
    let (in_phase, opposed) = (heard(1.0), heard(-1.0));
    let table = pair_band_losses(PairRelation::Opposed, q("30 mm"), &Air::default());
    for ((together, against), row) in in_phase.iter().zip(&opposed).zip(&table).take(5) {
        let loss = against.around.as_si() - together.around.as_si();
        assert!((loss - row.against_in_phase.as_decibels()).abs() < 1.5, "{}: {loss}", row.band.nominal());
        assert!(against.on_axis.as_si() < together.on_axis.as_si() - 100.0, "nothing on the axis");
    }
    let weighted = a_weighted_around(&opposed).as_si() - a_weighted_around(&in_phase).as_si();
    assert!((-15.0..-2.0).contains(&weighted), "the treble is left: {weighted}");
}

#[test]
fn mistakes_are_named() {
    let grid = logarithmic_grid(q("100 Hz"), q("8 kHz"), 6);
    let text = |result: Result<Response, InstallationError>| result.unwrap_err().to_string();
    let listening = Listening::default();
    assert_eq!(
        text(pair().response(&grid, |_| vec![volts(1.0)], &listening)),
        "2 drivers need as many drives, but 1 were given"
    );
    assert_eq!(
        text(pair().response(&[], |_| vec![volts(1.0); 2], &listening)),
        "a response needs at least two points, not 0"
    );
}
