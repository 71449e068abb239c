//! Load curves and powers against closed forms.

use quantities::{Capacitance, Frequency, Inductance, Resistance, Voltage};

use super::{LoadCurve, nominal_load, speaker_powers};
use crate::{BridgeAmplifier, Load, LoadVerdict, Netlist, frequencies};

fn ohms(value: f64) -> Resistance {
    Resistance::from_ohms(value).unwrap()
}

fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

fn fed(volts: f64) -> Netlist {
    let mut netlist = Netlist::new();
    netlist.amplifier("S1", "S2", Voltage::from_volts(volts).unwrap()).unwrap();
    netlist
}

/// A series resonant circuit is lowest at its resonance, where only the resistance is left.
#[test]
fn lowest_point_of_a_series_resonance_is_at_its_frequency() {
    let mut netlist = fed(1.0);
    netlist.speaker("A", "S1", "a", Load::Nominal(ohms(6.0))).unwrap();
    netlist.inductor("L", "a", "b", Inductance::from_henries(1e-3).unwrap()).unwrap();
    netlist.capacitor("C", "b", "S2", Capacitance::from_farads(25.330_295_910_584_44e-6).unwrap()).unwrap();
    let sweep = netlist.sweep(&frequencies(hertz(125.0), hertz(8000.0), 12)).unwrap();
    let curve = LoadCurve::of(&sweep).unwrap();
    assert_eq!(curve.points().len(), 73);
    assert!((curve.least().modulus.as_ohms() - 6.0).abs() < 1e-9);
    assert!((curve.least().at.as_hertz() - 1000.0).abs() < 1e-9);
}

#[test]
fn open_circuit_has_no_curve() {
    let netlist = fed(1.0);
    assert_eq!(LoadCurve::of(&netlist.sweep(&[hertz(1000.0)]).unwrap()), None);
    assert_eq!(nominal_load(&netlist, |_| ohms(8.0)).unwrap(), None);
}

/// In parallel the power goes with the conductance: 8 ohm gets a third beside 4 ohm.
#[test]
fn powers_and_shares_of_unequal_speakers() {
    let mut netlist = fed(2.0);
    let eight = netlist.speaker("eight", "S1", "S2", Load::Nominal(ohms(8.0))).unwrap();
    netlist.resistor("bleeder", "S1", "S2", ohms(100.0)).unwrap();
    let four = netlist.speaker("four", "S1", "S2", Load::Nominal(ohms(4.0))).unwrap();
    let powers = speaker_powers(&netlist, &netlist.sweep(&[hertz(100.0), hertz(1000.0)]).unwrap());
    assert_eq!(powers.iter().map(|power| power.speaker).collect::<Vec<_>>(), [eight, four]);
    for (power, (watts, share)) in powers.iter().zip([(0.5, 1.0 / 3.0), (1.0, 2.0 / 3.0)]) {
        assert!((power.mean.as_watts() - watts).abs() < 1e-12);
        assert!((power.most.as_watts() - watts).abs() < 1e-12);
        assert!((power.share - share).abs() < 1e-12);
    }
    assert!(speaker_powers(&netlist, &netlist.sweep(&[]).unwrap()).is_empty());
}

#[test]
fn amplifier_judges_nominal_with_nominal_and_dips_with_four_fifths() {
    let amplifier = BridgeAmplifier::on_supply(Voltage::from_volts(5.0).unwrap(), ohms(4.0));
    assert_eq!(amplifier.judge(ohms(4.0), None), LoadVerdict::Fits);
    assert_eq!(amplifier.judge(ohms(4.0), Some(ohms(3.2))), LoadVerdict::Fits);
    assert!(matches!(amplifier.judge(ohms(4.0), Some(ohms(3.1))), LoadVerdict::DipsTooLow { .. }));
    assert!(matches!(amplifier.judge(ohms(3.9), Some(ohms(9.0))), LoadVerdict::NominalTooLow { .. }));
    // Twice the peak power of a sine when fully clipped, and the same amplifier from what its sheet promises.
    let square = amplifier.square_power(ohms(8.0)).as_watts() / amplifier.sine_power(ohms(8.0)).as_watts();
    assert!((square - 2.0).abs() < 1e-12);
    let promised = BridgeAmplifier::of_power(amplifier.sine_power(ohms(8.0)), ohms(8.0), ohms(4.0));
    assert!((promised.peak_voltage().as_volts() - 5.0).abs() < 1e-12);
}
