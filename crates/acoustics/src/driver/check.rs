//! The consistency gate: does what a sheet prints agree with itself? Real sheets carry misprints (a volume ten times
//! off, a wrong unit), and a response computed from them is worthless. Not a repair: it says what contradicts what.
//!
//! Source: digest, section 2.1, last paragraph (5 % gate and typical traps), and section 10.

use quantities::{Quantity, Resistance};

use super::level_of_one_acoustic_watt;
use super::sheet::{PRIMARY, Preference, Sheet, SheetValue};
use super::solve::Unknown;
use crate::air::Air;
use crate::saturate::saturated;

/// Two values of one parameter may differ by this share (digest, section 2.1).
pub const PARAMETER_GATE: f64 = 0.05;

/// A printed sensitivity may differ from the computed reference level by this much: it is a measured mean over a band,
/// and sheets state it to no better (common practice; phone-type sheets print ± 3 dB).
pub const LEVEL_GATE_DECIBELS: f64 = 1.0;

/// What kind of disagreement it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ContradictionKind {
    /// Two parameters break an identity of section 2.1 beyond the 5 % gate.
    Parameter,
    /// The printed sensitivity is not the reference level of the parameters. Weaker: a sheet may quote the level
    /// near the resonance peak or in a band above it.
    Level,
    /// The coil's resistance does not belong to the nominal impedance (0.70 to 1.05 of it; digest, section 1.5).
    NominalImpedance,
}

/// One printed value and what the others say it should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// The value.
    pub value: SheetValue,
    /// As printed, in SI; dB at 1 W into Re, 1 m, half space for a sensitivity.
    pub printed: f64,
    /// As the others give it, in the same unit.
    pub computed: f64,
    /// The others.
    pub from: Vec<SheetValue>,
    /// What kind of disagreement.
    pub kind: ContradictionKind,
    /// Whether it could come from nothing but the rounding of a moving mass that is printed in tenths of a gram.
    pub rounding_explains: bool,
    /// The power of ten (1 for ten times too large, -3 for a thousand times too small) that alone would mend it.
    pub misplaced_decimal: Option<i32>,
}

impl std::fmt::Display for Contradiction {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let from: Vec<String> = self.from.iter().map(ToString::to_string).collect();
        write!(
            f,
            "{} is printed as {}, but {} give {}",
            self.value,
            self.value.print(self.printed),
            from.join(", "),
            self.value.print(self.computed)
        )
    }
}

/// What the gate found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SheetCheck {
    /// Every printed value that does not agree with the others.
    pub contradictions: Vec<Contradiction>,
    /// The values of which any one, if it were misprinted, would explain all parameter contradictions that rounding
    /// cannot. Empty when there are none, or when more than one value must be wrong.
    pub suspects: Vec<SheetValue>,
}

impl SheetCheck {
    /// Whether parameters contradict each other in a way that rounding cannot explain: the sheet is not to be trusted.
    #[must_use]
    pub fn contradicts_itself(&self) -> bool {
        self.contradictions.iter().any(is_hard)
    }
}

fn is_hard(contradiction: &Contradiction) -> bool {
    contradiction.kind != ContradictionKind::Level && !contradiction.rounding_explains
}

pub(super) fn check(sheet: &Sheet, air: &Air) -> SheetCheck {
    let mut contradictions = identities(sheet, air);
    let mut suspects = Vec::new();
    if contradictions.iter().any(is_hard) {
        suspects = PRINTABLE
            .into_iter()
            .filter(|value| printed(sheet, *value).is_some())
            .filter(|value| !identities(&filled_without(sheet, *value, air), air).iter().any(is_hard))
            .collect();
        if let [culprit] = suspects[..] {
            contradictions = around(sheet, culprit, air);
        }
    }
    contradictions.extend(nominal_impedance(sheet));
    contradictions.extend(levels(sheet, air));
    SheetCheck { contradictions, suspects }
}

/// When one value alone can be wrong, the others are judged without it, and it by the first identity that holds it.
fn around(sheet: &Sheet, culprit: SheetValue, air: &Air) -> Vec<Contradiction> {
    let rest = without(sheet, culprit);
    let mut contradictions: Vec<Contradiction> =
        identities(sheet, air).into_iter().filter(|c| c.value == culprit).collect();
    let broken = identities(sheet, air).into_iter().find(|c| c.from.contains(&culprit));
    if let (true, Some(broken), Some(stated)) = (contradictions.is_empty(), broken, printed(sheet, culprit)) {
        let system = rest.solved(air, Preference::Construction);
        if let Some(computed) = primary(culprit).and_then(|unknown| system.value(unknown)) {
            let from = broken.from.iter().copied().chain([broken.value]).filter(|v| *v != culprit).collect();
            contradictions.push(compared(culprit, stated, computed, from, false));
        }
    }
    contradictions.extend(identities(&rest, air));
    contradictions
}

fn primary(value: SheetValue) -> Option<Unknown> {
    PRIMARY.into_iter().find_map(|(primary, unknown)| (primary == value).then_some(unknown))
}

/// The values that take part in the identities.
const PRINTABLE: [SheetValue; 11] = [
    SheetValue::CoilResistance,
    SheetValue::ForceFactor,
    SheetValue::MovingMass,
    SheetValue::Compliance,
    SheetValue::MechanicalResistance,
    SheetValue::PistonArea,
    SheetValue::Resonance,
    SheetValue::MechanicalQ,
    SheetValue::ElectricalQ,
    SheetValue::TotalQ,
    SheetValue::EquivalentVolume,
];

fn printed(sheet: &Sheet, value: SheetValue) -> Option<f64> {
    match value {
        SheetValue::NominalImpedance => sheet.nominal_impedance.map(Quantity::as_si),
        SheetValue::CoilResistance => sheet.coil_resistance.map(Quantity::as_si),
        SheetValue::CoilInductance => sheet.coil_inductance.map(Quantity::as_si),
        SheetValue::ForceFactor => sheet.force_factor.map(Quantity::as_si),
        SheetValue::MovingMass => sheet.moving_mass.map(Quantity::as_si),
        SheetValue::Compliance => sheet.compliance.map(Quantity::as_si),
        SheetValue::MechanicalResistance => sheet.mechanical_resistance.map(Quantity::as_si),
        SheetValue::PistonArea => sheet.piston_area.map(Quantity::as_si),
        SheetValue::Resonance => sheet.resonance.map(Quantity::as_si),
        SheetValue::MechanicalQ => sheet.mechanical_q,
        SheetValue::ElectricalQ => sheet.electrical_q,
        SheetValue::TotalQ => sheet.total_q,
        SheetValue::EquivalentVolume => sheet.equivalent_volume.map(Quantity::as_si),
        SheetValue::Sensitivity | SheetValue::Outline => None,
        SheetValue::PeakExcursion => sheet.peak_excursion.map(Quantity::as_si),
        SheetValue::RatedPower => sheet.rated_power.map(Quantity::as_si),
    }
}

/// The sheet with one of the [`PRINTABLE`] values set or erased.
fn with(sheet: &Sheet, value: SheetValue, si: Option<f64>) -> Sheet {
    let mut changed = sheet.clone();
    match value {
        SheetValue::CoilResistance => changed.coil_resistance = si.map(saturated),
        SheetValue::ForceFactor => changed.force_factor = si.map(saturated),
        SheetValue::MovingMass => changed.moving_mass = si.map(saturated),
        SheetValue::Compliance => changed.compliance = si.map(saturated),
        SheetValue::MechanicalResistance => changed.mechanical_resistance = si.map(saturated),
        SheetValue::PistonArea => changed.piston_area = si.map(saturated),
        SheetValue::Resonance => changed.resonance = si.map(saturated),
        SheetValue::MechanicalQ => changed.mechanical_q = si,
        SheetValue::ElectricalQ => changed.electrical_q = si,
        SheetValue::TotalQ => changed.total_q = si,
        SheetValue::EquivalentVolume => changed.equivalent_volume = si.map(saturated),
        SheetValue::NominalImpedance
        | SheetValue::CoilInductance
        | SheetValue::Sensitivity
        | SheetValue::PeakExcursion
        | SheetValue::RatedPower
        | SheetValue::Outline => {}
    }
    changed
}

fn without(sheet: &Sheet, value: SheetValue) -> Sheet {
    with(sheet, value, None)
}

/// The sheet with a derived value replaced by what the others give. A construction value is only erased: what would
/// stand in for it would carry the rounding of the mass into identities that cannot allow for it.
fn filled_without(sheet: &Sheet, value: SheetValue, air: &Air) -> Sheet {
    let rest = without(sheet, value);
    let unknown = match value {
        SheetValue::Resonance => Unknown::Fs,
        SheetValue::MechanicalQ => Unknown::Qms,
        SheetValue::ElectricalQ => Unknown::Qes,
        SheetValue::EquivalentVolume => Unknown::Vas,
        _ => return rest,
    };
    let system = rest.solved(air, Preference::Construction);
    with(&rest, value, system.value(unknown))
}

/// One identity of section 2.1: a value and those that give it.
struct Identity {
    value: SheetValue,
    from: &'static [SheetValue],
    give: fn(&[f64], &Air) -> f64,
    /// Whether it is skipped when the compliance is printed, because a sharper one exists then.
    only_without_compliance: bool,
}

/// In the order of the digest; inputs of `give` in the order of `from`.
const IDENTITIES: [Identity; 8] = [
    Identity {
        value: SheetValue::Resonance,
        from: &[SheetValue::MovingMass, SheetValue::Compliance],
        give: |v, _| 1.0 / (std::f64::consts::TAU * (v[0] * v[1]).sqrt()),
        only_without_compliance: false,
    },
    Identity {
        value: SheetValue::MechanicalQ,
        from: &[SheetValue::MovingMass, SheetValue::Compliance, SheetValue::MechanicalResistance],
        give: |v, _| (v[0] / v[1]).sqrt() / v[2],
        only_without_compliance: false,
    },
    Identity {
        value: SheetValue::MechanicalQ,
        from: &[SheetValue::MovingMass, SheetValue::Resonance, SheetValue::MechanicalResistance],
        give: |v, _| std::f64::consts::TAU * v[1] * v[0] / v[2],
        only_without_compliance: true,
    },
    Identity {
        value: SheetValue::ElectricalQ,
        from: &[
            SheetValue::MovingMass,
            SheetValue::Compliance,
            SheetValue::CoilResistance,
            SheetValue::ForceFactor,
        ],
        give: |v, _| (v[0] / v[1]).sqrt() * v[2] / (v[3] * v[3]),
        only_without_compliance: false,
    },
    Identity {
        value: SheetValue::ElectricalQ,
        from: &[
            SheetValue::MovingMass,
            SheetValue::Resonance,
            SheetValue::CoilResistance,
            SheetValue::ForceFactor,
        ],
        give: |v, _| std::f64::consts::TAU * v[1] * v[0] * v[2] / (v[3] * v[3]),
        only_without_compliance: true,
    },
    Identity {
        value: SheetValue::TotalQ,
        from: &[SheetValue::MechanicalQ, SheetValue::ElectricalQ],
        give: |v, _| v[0] * v[1] / (v[0] + v[1]),
        only_without_compliance: false,
    },
    Identity {
        value: SheetValue::EquivalentVolume,
        from: &[SheetValue::Compliance, SheetValue::PistonArea],
        give: |v, air| air.bulk_modulus() * v[1] * v[1] * v[0],
        only_without_compliance: false,
    },
    Identity {
        value: SheetValue::EquivalentVolume,
        from: &[SheetValue::MovingMass, SheetValue::Resonance, SheetValue::PistonArea],
        give: |v, air| {
            let angular = std::f64::consts::TAU * v[1];
            air.bulk_modulus() * v[2] * v[2] / (angular * angular * v[0])
        },
        only_without_compliance: true,
    },
];

fn identities(sheet: &Sheet, air: &Air) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for identity in &IDENTITIES {
        if identity.only_without_compliance && sheet.compliance.is_some() {
            continue;
        }
        let inputs: Option<Vec<f64>> = identity.from.iter().map(|value| printed(sheet, *value)).collect();
        let (Some(inputs), Some(stated)) = (inputs, printed(sheet, identity.value)) else { continue };
        let computed = (identity.give)(&inputs, air);
        if agree(stated, computed) {
            continue;
        }
        let explained = mass_range(sheet).is_some_and(|(least, most)| {
            let at = |mass: f64| {
                let inputs: Vec<f64> = identity
                    .from
                    .iter()
                    .zip(&inputs)
                    .map(|(value, si)| if *value == SheetValue::MovingMass { mass } else { *si })
                    .collect();
                (identity.give)(&inputs, air)
            };
            reaches(stated, at(least), at(most))
        });
        found.push(compared(identity.value, stated, computed, identity.from.to_vec(), explained));
    }
    found
}

fn compared(
    value: SheetValue,
    printed: f64,
    computed: f64,
    from: Vec<SheetValue>,
    rounding_explains: bool,
) -> Contradiction {
    /// How near the mended value must come; a misprinted unit sits beside ordinary disagreement.
    const NEARNESS: f64 = 0.25;
    let mended = |power: &i32| (printed / 10f64.powi(*power) / computed).ln().abs() <= NEARNESS.ln_1p();
    let misplaced_decimal = [-3, -2, -1, 1, 2, 3].into_iter().find(mended);
    Contradiction {
        value,
        printed,
        computed,
        from,
        kind: ContradictionKind::Parameter,
        rounding_explains,
        misplaced_decimal,
    }
}

/// Within the gate, counted the same both ways.
fn agree(one: f64, other: f64) -> bool {
    (one / other).ln().abs() <= PARAMETER_GATE.ln_1p()
}

/// Whether a value lies between two others or within the gate of one.
fn reaches(value: f64, one_end: f64, other_end: f64) -> bool {
    let (least, most) = (one_end.min(other_end), one_end.max(other_end));
    (least..=most).contains(&value) || agree(value, least) || agree(value, most)
}

/// What a mass printed in tenths of a gram may have been before rounding; `None` for one printed finer, or of 1 g and
/// more, where a tenth is no trap ("Mms printed with one digit", digest, section 2.1).
fn mass_range(sheet: &Sheet) -> Option<(f64, f64)> {
    const TENTH_OF_GRAM: f64 = 1e-4;
    let mass = sheet.moving_mass?.as_kilograms();
    let tenths = mass / TENTH_OF_GRAM;
    let is_one_digit = tenths < 9.5 && tenths > 0.5 && (tenths - tenths.round()).abs() < 1e-6;
    is_one_digit.then_some((mass - TENTH_OF_GRAM / 2.0, mass + TENTH_OF_GRAM / 2.0))
}

fn nominal_impedance(sheet: &Sheet) -> Option<Contradiction> {
    /// Windows of digest, section 1.5; headphone types reach 1.05.
    const SHARES: std::ops::RangeInclusive<f64> = 0.70..=1.05;
    const USUAL_SHARE: f64 = 0.88;
    let (nominal, coil) = (sheet.nominal_impedance?.as_ohms(), sheet.coil_resistance?.as_ohms());
    if SHARES.contains(&(coil / nominal)) {
        return None;
    }
    Some(Contradiction {
        value: SheetValue::NominalImpedance,
        printed: nominal,
        computed: coil / USUAL_SHARE,
        from: vec![SheetValue::CoilResistance],
        kind: ContradictionKind::NominalImpedance,
        rounding_explains: false,
        misplaced_decimal: None,
    })
}

fn levels(sheet: &Sheet, air: &Air) -> Vec<Contradiction> {
    let (Some(coil), Some(force), Some(mass), Some(area)) =
        (sheet.coil_resistance, sheet.force_factor, sheet.moving_mass, sheet.piston_area)
    else {
        return Vec::new();
    };
    let level = |kilograms: f64| {
        let efficiency = air.rho() * (force.as_si() * area.as_si()).powi(2)
            / (std::f64::consts::TAU * air.c() * coil.as_si() * kilograms.powi(2));
        level_of_one_acoustic_watt(air) + 10.0 * efficiency.log10()
    };
    let nominal: Resistance = sheet.nominal_impedance.unwrap_or(coil);
    let mut found = Vec::new();
    for quoted in &sheet.sensitivity {
        let printed = quoted.at_one_watt(coil, nominal, coil).as_decibels_re_20_micropascal();
        let computed = level(mass.as_kilograms());
        if (printed - computed).abs() <= LEVEL_GATE_DECIBELS {
            continue;
        }
        let rounding_explains = mass_range(sheet).is_some_and(|(least, most)| {
            (level(most) - LEVEL_GATE_DECIBELS..=level(least) + LEVEL_GATE_DECIBELS).contains(&printed)
        });
        found.push(Contradiction {
            value: SheetValue::Sensitivity,
            printed,
            computed,
            from: vec![
                SheetValue::CoilResistance,
                SheetValue::ForceFactor,
                SheetValue::MovingMass,
                SheetValue::PistonArea,
            ],
            kind: ContradictionKind::Level,
            rounding_explains,
            misplaced_decimal: None,
        });
    }
    found
}
