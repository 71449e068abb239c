//! Two sources close together: what is gained in phase, what is lost in opposition, and the unboxed driver, which is
//! such a pair of its own front and rear. Equal point sources; unequal ones and more than two are in
//! [`crate::sources`].
//!
//! Source: digest, sections 2.9 and 2.11 (Pritchard 1960; Nelson & Elliott 1992; point-dipole model of Beranek).

use quantities::{Frequency, Gain, Length};

use super::sinc;
use crate::air::Air;
use crate::bands::Band;
use crate::phasor::angular;
use crate::saturate::saturated;

/// How two equal loudspeakers move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PairRelation {
    /// Both cones outward together.
    InPhase,
    /// One out while the other goes in.
    Opposed,
}

/// Total power of the pair against one alone at the same volume velocity: `2·(1 ± sin(kd)/(kd))`.
///
/// ```
/// use acoustics::radiation::{PairRelation, pair_power};
/// use quantities::{Frequency, Length, Quantity};
/// let (spacing, middle) = (Length::parse("30 mm")?, Frequency::parse("1 kHz")?);
/// let loss = pair_power(PairRelation::Opposed, spacing, middle, &acoustics::Air::default())
///     - pair_power(PairRelation::InPhase, spacing, middle, &acoustics::Air::default());
/// assert_eq!(loss.to_string(), "-15.95 dB");
/// # Ok::<(), quantities::QuantityError>(())
/// ```
#[must_use]
pub fn pair_power(relation: PairRelation, spacing: Length, frequency: Frequency, air: &Air) -> Gain {
    saturated(10.0 * power_ratio(relation, spacing, angular(frequency), air).log10())
}

fn power_ratio(relation: PairRelation, spacing: Length, omega: f64, air: &Air) -> f64 {
    let x = air.wave_number(omega) * spacing.as_metres();
    match relation {
        PairRelation::InPhase => 2.0 * (1.0 + sinc(x)),
        // 1 − sin(x)/x loses its digits for small x; its series does not.
        PairRelation::Opposed if x < 0.1 => x * x / 3.0 * (1.0 - x * x / 20.0 * (1.0 - x * x / 42.0)),
        PairRelation::Opposed => 2.0 * (1.0 - sinc(x)),
    }
}

/// Pressure of the pair along the line through both, against one alone: `2·cos(kd/2)` or `2·sin(kd/2)`.
#[must_use]
pub fn pair_end_fire(relation: PairRelation, spacing: Length, frequency: Frequency, air: &Air) -> Gain {
    let half = air.wave_number(angular(frequency)) * spacing.as_metres() / 2.0;
    let ratio = match relation {
        PairRelation::InPhase => 2.0 * half.cos(),
        PairRelation::Opposed => 2.0 * half.sin(),
    };
    Gain::of_amplitudes(ratio, 1.0)
}

/// What opposition leaves of two unequal loudspeakers on the mid-plane, against their sum in phase:
/// `20·log10(|a − b|/(a + b))` for amplitudes a and b.
#[must_use]
pub fn opposition_residual(one: f64, other: f64) -> Gain {
    Gain::of_amplitudes(one - other, one + other)
}

/// Gain of total power in one band, as the ear averages it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandLoss {
    /// The band.
    pub band: Band,
    /// Power of the pair against one loudspeaker alone.
    pub against_one: Gain,
    /// Power of the pair against the same pair in phase: what opposition costs; 0 dB for a pair in phase.
    pub against_in_phase: Gain,
}

/// What a pair gains or loses in each octave from 125 Hz to 8 kHz: total power, averaged over the band with equal
/// weight per part of an octave, since in a room the ear takes in the power and not one direction.
#[must_use]
pub fn pair_band_losses(relation: PairRelation, spacing: Length, air: &Air) -> Vec<BandLoss> {
    const POINTS: u32 = 48;
    Band::octaves_125_to_8000()
        .into_iter()
        .map(|band| {
            let mean = |relation: PairRelation| {
                let sum: f64 = (0..POINTS)
                    .map(|point| {
                        let place = (f64::from(point) + 0.5) / f64::from(POINTS);
                        power_ratio(relation, spacing, angular(band.at(place)), air)
                    })
                    .sum();
                sum / f64::from(POINTS)
            };
            let power = mean(relation);
            BandLoss {
                band,
                against_one: Gain::of_powers(power, 1.0),
                against_in_phase: Gain::of_powers(power, mean(PairRelation::InPhase)),
            }
        })
        .collect()
}

impl std::fmt::Display for PairRelation {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::InPhase => "in phase",
            Self::Opposed => "in opposition",
        })
    }
}

/// Pressure on axis of an unboxed driver against its front alone: `20·log10(2·|sin(kD/2)|)` with D the detour of the
/// rear wave.
#[must_use]
pub fn dipole_gain(path: Length, frequency: Frequency, air: &Air) -> Gain {
    pair_end_fire(PairRelation::Opposed, path, frequency, air)
}

/// Below this frequency, `c/(6D)`, an unboxed driver loses.
#[must_use]
pub fn dipole_unity(path: Length, air: &Air) -> Frequency {
    saturated(air.c() / (6.0 * path.as_metres()))
}

/// At this frequency, `c/(2D)`, front and rear of an unboxed driver add.
#[must_use]
pub fn dipole_peak(path: Length, air: &Air) -> Frequency {
    saturated(air.c() / (2.0 * path.as_metres()))
}

/// At this frequency, `c/D`, an unboxed driver is silent on axis.
#[must_use]
pub fn dipole_null(path: Length, air: &Air) -> Frequency {
    saturated(air.c() / path.as_metres())
}
