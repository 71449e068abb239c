//! The rigid piston in a wall: radiation resistance and reactance, mass load, directivity. Not a cone that breaks up.
//!
//! Source: Beranek & Mellow, *Acoustics*, 2nd ed. 2019, §4.19 and §13.7 as quoted in the digest, section 2.8.

use quantities::{Frequency, Length, Mass};

use super::bessel::{bessel_j1, struve_h1};
use crate::air::Air;
use crate::phasor::angular;
use crate::saturate::saturated;

/// `R1 = 1 − 2·J1(2ka)/(2ka)` in units of ρc: the resistance of a baffled piston's one side per area; `(ka)²/2` when
/// small.
#[must_use]
pub fn piston_resistance(radius: Length, frequency: Frequency, air: &Air) -> f64 {
    let x = 2.0 * air.wave_number(angular(frequency)) * radius.as_metres();
    if x < 1.0 { small_piston_resistance(x) } else { 1.0 - 2.0 * bessel_j1(x) / x }
}

/// The series of `1 − 2·J1(x)/x`, `Σ −(−1)ⁿ·(x/2)²ⁿ/(n!·(n+1)!)`, which keeps the digits that the difference would lose.
fn small_piston_resistance(x: f64) -> f64 {
    let square = x * x / 4.0;
    let (mut term, mut sum) = (square / 2.0, 0.0);
    for n in 1..=10 {
        sum += term;
        term *= -square / (f64::from(n + 1) * f64::from(n + 2));
    }
    sum
}

/// `X1 = 2·H1(2ka)/(2ka)` in units of ρc: the reactance of a baffled piston's one side per area; `8ka/(3π)` when small.
#[must_use]
pub fn piston_reactance(radius: Length, frequency: Frequency, air: &Air) -> f64 {
    let x = 2.0 * air.wave_number(angular(frequency)) * radius.as_metres();
    if x < 1e-6 { 4.0 * x / (3.0 * std::f64::consts::PI) } else { 2.0 * struve_h1(x) / x }
}

/// What surrounds one side of a piston, for the mass of air that it carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassLoad {
    /// Nothing: `4/(3π)` in units of ρπa³.
    Free,
    /// A closed back: `2/π`.
    ClosedBack,
    /// A large wall: `8/(3π)`.
    Baffled,
}

impl MassLoad {
    /// The mass of air on one side.
    #[must_use]
    pub fn mass(self, radius: Length, air: &Air) -> Mass {
        let factor = match self {
            Self::Free => 4.0 / (3.0 * std::f64::consts::PI),
            Self::ClosedBack => std::f64::consts::FRAC_2_PI,
            Self::Baffled => 8.0 / (3.0 * std::f64::consts::PI),
        };
        saturated(factor * air.rho() * std::f64::consts::PI * radius.as_metres().powi(3))
    }
}

/// Pressure off axis against that on axis: `2·J1(ka·sin θ)/(ka·sin θ)`; negative beyond the first null.
#[must_use]
pub fn directivity(radius: Length, frequency: Frequency, degrees_off_axis: f64, air: &Air) -> f64 {
    let x = air.wave_number(angular(frequency)) * radius.as_metres() * degrees_off_axis.to_radians().sin();
    if x.abs() < 1e-6 { 1.0 } else { 2.0 * bessel_j1(x) / x }
}

/// Angle of the first null, where `ka·sin θ = 3.8317`; none while the piston is too small for one.
#[must_use]
pub fn first_null_angle_degrees(radius: Length, frequency: Frequency, air: &Air) -> Option<f64> {
    /// First zero of J1.
    const FIRST_ZERO: f64 = 3.831_705_970_207_512;
    let sine = FIRST_ZERO / (air.wave_number(angular(frequency)) * radius.as_metres());
    (sine <= 1.0).then(|| sine.asin().to_degrees())
}
