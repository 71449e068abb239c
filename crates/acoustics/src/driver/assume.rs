//! What is assumed about a driver of which little is printed, each assumption with its rule and where the rule comes
//! from. Not knowledge: an assumed value is to be replaced by a sheet or a measurement.
//!
//! The rules hang on two complete sets of the digest, section 10: the default phone-type part of section 10.3
//! (15 × 11 mm, Sd 1.0 cm², itself an assumption from memory) and set S1 of section 10.1 (32 mm round, Sd 3.9 cm²).
//! Above 1.0 cm² a value follows the power of Sd that passes through both. Below 1.0 cm² it follows the shape law
//! named at each rule: foil of one thickness, so mass, damping and motor go with the area and the resonance stays,
//! as the published 500 to 900 Hz of 12 to 15 mm parts (section 10.3) ask for.

use quantities::{Inductance, Length, Power, Quantity, Resistance};

use super::sheet::{Outline, Preference, Sheet, SheetValue, assemble};
use super::solve::{System, Unknown};
use super::{Driver, DriverError};
use crate::air::Air;
use crate::saturate::saturated;

/// One assumption.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumed {
    /// What was not known.
    pub value: SheetValue,
    /// What was taken instead, with its unit.
    pub taken: String,
    /// By which rule.
    pub rule: &'static str,
    /// Where the rule comes from.
    pub source: &'static str,
}

impl std::fmt::Display for Assumed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} taken as {}: {} ({})", self.value, self.taken, self.rule, self.source)
    }
}

/// A driver and what had to be assumed for it; nothing where the sheet was rich enough.
#[derive(Debug, Clone, PartialEq)]
pub struct Completed {
    /// The driver.
    pub driver: Driver,
    /// The assumptions in the order they were made.
    pub assumed: Vec<Assumed>,
}

const SQUARE_CENTIMETRE: f64 = 1e-4;

/// A value that goes with the piston area, through the two sets that the rules hang on.
struct Law {
    /// At 1.0 cm².
    phone: f64,
    /// At 3.9 cm².
    cone: f64,
    /// Power of the area below 1.0 cm².
    power_below: f64,
}

impl Law {
    fn at(&self, square_metres: f64) -> f64 {
        let area = square_metres / SQUARE_CENTIMETRE;
        let power = if area < 1.0 { self.power_below } else { (self.cone / self.phone).ln() / 3.9f64.ln() };
        self.phone * area.powf(power)
    }
}

const RESONANCE_HERTZ: Law = Law { phone: 750.26, cone: 272.95, power_below: 0.0 };
const MASS_KILOGRAMS: Law = Law { phone: 0.10e-3, cone: 0.5e-3, power_below: 1.0 };
const DAMPING: Law = Law { phone: 0.10, cone: 0.30, power_below: 1.0 };
/// Bl²/Re, the strength of the motor whatever the wire.
const MOTOR: Law = Law { phone: 0.75 * 0.75 / 7.0, cone: 2.20 * 2.20 / 7.0, power_below: 1.0 };
const EXCURSION_METRES: Law = Law { phone: 0.35e-3, cone: 0.7e-3, power_below: 0.5 };
/// The low end of "0.7-1 W" for the phone-type part.
const POWER_WATTS: Law = Law { phone: 0.7, cone: 2.0, power_below: 1.0 };
/// Le/Re in seconds; 0.05 mH for the phone-type part is from memory.
const COIL_SECONDS: Law = Law { phone: 0.05e-3 / 7.0, cone: 0.29e-3 / 7.0, power_below: 0.0 };

const TWO_SETS: &str = "digest, sections 10.3 (from memory) and 10.1 set S1";

/// Usual share of Re in the nominal impedance (digest, section 1.5).
const COIL_SHARE_OF_NOMINAL: f64 = 0.88;

struct Assumptions {
    made: Vec<Assumed>,
}

impl Assumptions {
    fn note(&mut self, value: SheetValue, si: f64, rule: &'static str, source: &'static str) {
        self.made.push(Assumed { value, taken: value.print(si), rule, source });
    }

    /// Takes a value for an unknown unless the facts settle it.
    fn settle(
        &mut self,
        system: &mut System,
        (unknown, value): (Unknown, SheetValue),
        si: f64,
        rule: &'static str,
        source: &'static str,
    ) {
        if system.value(unknown).is_none() && system.know(unknown, si) {
            self.note(value, si, rule, source);
        }
    }
}

pub(super) fn complete(sheet: &Sheet, air: &Air, preference: Preference) -> Result<Completed, DriverError> {
    let mut system = sheet.solved(air, preference);
    let mut assumptions = Assumptions { made: Vec::new() };
    let nominal = nominal_impedance(sheet, &system, &mut assumptions);
    let coil = COIL_SHARE_OF_NOMINAL * nominal.as_ohms();
    assumptions.settle(
        &mut system,
        (Unknown::Re, SheetValue::CoilResistance),
        coil,
        "0.88 of the nominal impedance",
        "digest, section 1.5, from published sheets",
    );
    let coil = system.value(Unknown::Re).unwrap_or(coil);
    let area = piston_area(sheet, &mut system, &mut assumptions);
    let by_area = |law: &Law| law.at(area);
    let mut settle = |pair, si, rule| {
        assumptions.settle(&mut system, pair, si, rule, TWO_SETS);
        sheet.split_total_q(&mut system);
    };
    // The resonance first: sheets of small parts print it most often, and mass is the better known of the other two.
    settle(
        (Unknown::Fs, SheetValue::Resonance),
        by_area(&RESONANCE_HERTZ),
        "750 Hz up to 1.0 cm², falling to 273 Hz at 3.9 cm² and on by the same power of Sd",
    );
    settle(
        (Unknown::Mms, SheetValue::MovingMass),
        by_area(&MASS_KILOGRAMS),
        "0.10 g per cm² up to 1.0 cm², rising to 0.5 g at 3.9 cm² and on by the same power of Sd",
    );
    settle(
        (Unknown::Rms, SheetValue::MechanicalResistance),
        by_area(&DAMPING),
        "0.10 kg/s per cm² up to 1.0 cm², rising to 0.30 kg/s at 3.9 cm² and on by the same power of Sd",
    );
    settle(
        (Unknown::Bl, SheetValue::ForceFactor),
        (by_area(&MOTOR) * coil).sqrt(),
        "Bl²/Re 0.080 per cm² up to 1.0 cm², rising to 0.69 N·s/m at 3.9 cm² and on by the same power of Sd",
    );
    let inductance: Inductance = assumptions.or_take(
        SheetValue::CoilInductance,
        sheet.coil_inductance,
        by_area(&COIL_SECONDS) * coil,
        "Le/Re 7 µs up to 1.0 cm², rising to 41 µs at 3.9 cm² and on by the same power of Sd",
    );
    let excursion: Length = assumptions.or_take(
        SheetValue::PeakExcursion,
        sheet.peak_excursion,
        by_area(&EXCURSION_METRES),
        "0.35 mm at 1.0 cm² with the square root of Sd, 0.7 mm at 3.9 cm²",
    );
    let power: Power = assumptions.or_take(
        SheetValue::RatedPower,
        sheet.rated_power,
        by_area(&POWER_WATTS),
        "0.7 W per cm² up to 1.0 cm², rising to 2 W at 3.9 cm² and on by the same power of Sd",
    );
    let driver = assemble(&system, nominal, inductance, excursion, power)?;
    Ok(Completed { driver, assumed: assumptions.made })
}

impl Assumptions {
    /// The printed quantity or the assumed one.
    fn or_take<Q: Quantity>(
        &mut self,
        value: SheetValue,
        printed: Option<Q>,
        si: f64,
        rule: &'static str,
    ) -> Q {
        printed.unwrap_or_else(|| {
            self.note(value, si, rule, TWO_SETS);
            saturated(si)
        })
    }
}

fn nominal_impedance(sheet: &Sheet, system: &System, assumptions: &mut Assumptions) -> Resistance {
    /// The nominal values of the trade for parts of this size, in ohms.
    const NOMINAL: [f64; 5] = [4.0, 6.0, 8.0, 16.0, 32.0];
    if let Some(printed) = sheet.nominal_impedance {
        return printed;
    }
    let (ohms, rule, source) = match system.value(Unknown::Re) {
        Some(coil) => {
            let distance = |nominal: &f64| (coil / (COIL_SHARE_OF_NOMINAL * nominal)).ln().abs();
            let nearest = NOMINAL.into_iter().min_by(|a, b| distance(a).total_cmp(&distance(b)));
            (
                nearest.unwrap_or(8.0),
                "the usual nominal impedance whose 0.88 is nearest the coil's resistance",
                "digest, section 1.5",
            )
        }
        None => (8.0, "8 ohm where nothing is printed", "common practice"),
    };
    assumptions.note(SheetValue::NominalImpedance, ohms, rule, source);
    saturated(ohms)
}

/// The piston area: known, by the outline, or that of the default part.
fn piston_area(sheet: &Sheet, system: &mut System, assumptions: &mut Assumptions) -> f64 {
    /// Parts with a side below this are of the phone type: membrane nearly to the frame.
    const PHONE_TYPE_METRES: f64 = 20e-3;
    /// 1.0 cm² of 15 × 11 mm.
    const PHONE_SHARE: f64 = 0.60;
    /// Median of sets S1 to S5: 0.485, 0.541, 0.758, 0.485, 0.510.
    const CONE_SHARE: f64 = 0.51;
    if let Some(area) = system.value(Unknown::Sd) {
        return area;
    }
    let (area, rule, source) = match sheet.outline {
        Some(outline) => {
            let least_side = match outline {
                Outline::Round(diameter) => diameter.as_metres(),
                Outline::Rectangular(length, width) => length.as_metres().min(width.as_metres()),
            };
            if least_side < PHONE_TYPE_METRES {
                (
                    PHONE_SHARE * outline.square_metres(),
                    "0.60 of the outline where a side is below 20 mm",
                    "digest, section 10.3, default part (from memory)",
                )
            } else {
                (
                    CONE_SHARE * outline.square_metres(),
                    "0.51 of the outline from 20 mm on",
                    "median of digest, section 10.1, sets S1 to S5",
                )
            }
        }
        None => (
            SQUARE_CENTIMETRE,
            "1.0 cm² as of a 15 × 11 mm part where no size is printed",
            "digest, section 10.3, default part (from memory)",
        ),
    };
    assumptions.settle(system, (Unknown::Sd, SheetValue::PistonArea), area, rule, source);
    area
}
