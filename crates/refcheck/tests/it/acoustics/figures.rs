//! Digest, sections 2.1, 2.2 and 9: figures of the published sets (V10 to V15, V26, V27, V68) and the default
//! phone-type part of section 10.3.

use acoustics::Air;
use acoustics::driver::{
    Outline, Preference, QuotedDrive, QuotedLevel, Sheet, equivalent_volume_from_resonances,
    moving_mass_from_added_mass, resonance_in_volume,
};
use acoustics::{Driver, Enclosure, Space, System};
use quantities::{Frequency, Mass, Quantity, Volume};

use super::cases::{agrees, driver, near, q};

fn one_watt(driver: &Driver) -> f64 {
    driver.level_at_one_watt(&Air::default()).as_decibels_re_20_micropascal()
}

fn cubic_centimetres(driver: &Driver) -> f64 {
    driver.equivalent_volume(&Air::default()).as_cubic_metres() * 1e6
}

/// V10 and V11.
#[test]
fn set_s1() {
    let s1 = driver("S1");
    agrees("fs", s1.resonance().as_hertz(), "272.95");
    agrees("Qms", s1.mechanical_q(), "2.858");
    agrees("Qes", s1.electrical_q(), "1.240");
    agrees("Qts", s1.total_q(), "0.865");
    agrees("Vas", cubic_centimetres(&s1), "14.670");
    agrees("η0 %", s1.reference_efficiency(&Air::default()).as_percent(), "0.0235");
    agrees("level", one_watt(&s1), "75.87");
    // V19: the peak of the impedance in free air without inductance is Re + Bl²/Rms at fs.
    let separated = System::new(s1, Enclosure::Separated, Air::default());
    let coil = std::f64::consts::TAU * s1.resonance().as_hertz() * 0.29e-3;
    let peak = separated.impedance(s1.resonance()).as_ohms();
    agrees("V19", peak.re, "23.133");
    near("V19, inductance", peak.im, coil, 1e-9);
    agrees("a", s1.piston_radius().as_metres() * 1e3, "11.14");
    near("EBP", s1.efficiency_bandwidth_product().as_hertz(), 272.95 / 1.2402, 1e-3);
}

/// V12 to V15.
#[test]
fn other_sets() {
    let s2 = driver("S2");
    agrees("S2 fs", s2.resonance().as_hertz(), "229.72");
    agrees("S2 Qts", s2.total_q(), "1.175");
    agrees("S2 Vas", cubic_centimetres(&s2), "52.467");
    agrees("S2 level", one_watt(&s2), "78.02");
    let s3 = driver("S3");
    agrees("S3 fs", s3.resonance().as_hertz(), "153.15");
    agrees("S3 Qts", s3.total_q(), "0.585");
    agrees("S3 Vas", cubic_centimetres(&s3), "62.941");
    agrees("S3 level", one_watt(&s3), "77.35");
    let s4 = driver("S4");
    agrees("S4 fs", s4.resonance().as_hertz(), "271.36");
    agrees("S4 Vas", cubic_centimetres(&s4), "14.842");
    agrees("S4 level", one_watt(&s4), "75.94");
    let d4 = driver("D4");
    agrees("D4 fs", d4.resonance().as_hertz(), "985.9");
    agrees("D4 Qes", d4.electrical_q(), "1.427");
    agrees("D4 Vas", cubic_centimetres(&d4), "3.742");
    agrees("D4 level", one_watt(&d4), "86.06");
    // Section 10.4, W1: fs 44.985 from Mms and Cms.
    agrees("W1 fs", driver("W1").resonance().as_hertz(), "44.985");
}

/// V26: a phone-type sheet, and V68: an added mass.
#[test]
fn measured_parameters() {
    let (free, boxed) = (q::<Frequency>("500 Hz"), q::<Frequency>("800 Hz"));
    let vas = equivalent_volume_from_resonances(q::<Volume>("0.5 cm3"), free, boxed).unwrap();
    agrees("V26", vas.as_cubic_metres() * 1e6, "0.78");
    agrees("V26 in 1 cm³", resonance_in_volume(free, vas, q("1 cm3")).as_hertz(), "667");
    agrees("V26 in 0.25 cm³", resonance_in_volume(free, vas, q("0.25 cm3")).as_hertz(), "1015");
    let loaded = q::<Frequency>("222.86 Hz");
    let mass = moving_mass_from_added_mass(q::<Mass>("0.25 g"), driver("S1").resonance(), loaded).unwrap();
    agrees("V68", mass.as_kilograms() * 1e3, "0.500");
}

/// V27: 98 dB at 2 V, 5 cm, 8 ohm; and section 10.3: 98 dB at 10 cm, 1 W is 78 dB at 1 m.
#[test]
fn quoted_levels() {
    let at = |drive, distance: &str| {
        let quoted = QuotedLevel { level: q("98 dB"), drive, distance: q(distance), space: Space::Half };
        quoted.at_one_watt(q("8 ohm"), q("8 ohm"), q("7 ohm")).as_decibels_re_20_micropascal()
    };
    agrees("V27", at(QuotedDrive::Voltage(q("2 V")), "5 cm"), "74.99");
    agrees("10 cm", at(QuotedDrive::IntoNominal(q("1 W")), "10 cm"), "78.0");
}

/// Section 10.3: the default part is what a bare 15 × 11 mm outline leads to, with fs 750 Hz, Vas 0.64 cm³ and 960 Hz
/// in 1 cm³. The outline gives 0.99 cm² for its 1.0 cm², hence the tolerance of 2 %.
#[test]
fn default_phone_type_part() {
    let sheet = Sheet {
        nominal_impedance: Some(q("8 ohm")),
        outline: Some(Outline::Rectangular(q("15 mm"), q("11 mm"))),
        ..Sheet::default()
    };
    let completed = sheet.complete(&Air::default(), Preference::Construction).unwrap();
    let part = completed.driver;
    near("Re", part.parameters().coil_resistance.as_ohms(), 7.0, 0.02);
    near("Bl", part.parameters().force_factor.as_tesla_metres(), 0.75, 0.02);
    near("Mms", part.parameters().moving_mass.as_kilograms(), 0.10e-3, 0.02);
    near("Cms", part.parameters().compliance.as_metres_per_newton(), 0.45e-3, 0.02);
    near("Rms", part.parameters().mechanical_resistance.as_newton_seconds_per_metre(), 0.10, 0.02);
    near("xmax", part.parameters().peak_excursion.as_metres(), 0.35e-3, 0.02);
    near("fs", part.resonance().as_hertz(), 750.0, 0.001);
    near("Vas", cubic_centimetres(&part), 0.64, 0.02);
    let boxed = resonance_in_volume(part.resonance(), part.equivalent_volume(&Air::default()), q("1 cm3"));
    near("in 1 cm³", boxed.as_hertz(), 960.0, 0.005);
    assert_eq!(completed.assumed.len(), 9, "all but the nominal impedance: {:?}", completed.assumed);
}

/// The same rules at the area of set S1 give set S1, their other end (section 10.1), but for Re by its nominal value.
#[test]
fn default_cone_part() {
    let sheet = Sheet {
        nominal_impedance: Some(q("8 ohm")),
        coil_resistance: Some(q("7.0 ohm")),
        piston_area: Some(q("3.9 cm2")),
        ..Sheet::default()
    };
    let part = sheet.complete(&Air::default(), Preference::Construction).unwrap().driver;
    let s1 = driver("S1");
    near("fs", part.resonance().as_hertz(), s1.resonance().as_hertz(), 1e-4);
    near("Qts", part.total_q(), s1.total_q(), 1e-3);
    near("level", one_watt(&part), one_watt(&s1), 1e-4);
    near("xmax", part.parameters().peak_excursion.as_si(), 0.7e-3, 1e-9);
    near("power", part.parameters().rated_power.as_si(), 2.0, 1e-9);
}
