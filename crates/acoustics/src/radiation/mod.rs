//! How small pistons radiate: alone, in pairs, with their rear wave. Relative figures; the absolute ones are in
//! [`crate::radiated_power`].
//!
//! Source: digest, sections 2.8, 2.9 and 2.11.

mod bessel;
mod pair;
mod piston;

#[cfg(test)]
mod tests;

pub use bessel::{bessel_j1, struve_h1};
pub use pair::{
    BandLoss, PairRelation, dipole_gain, dipole_null, dipole_peak, dipole_unity, opposition_residual,
    pair_band_losses, pair_end_fire, pair_power,
};
pub use piston::{MassLoad, directivity, first_null_angle_degrees, piston_reactance, piston_resistance};

/// `sin(x)/x`, 1 at zero.
pub(crate) fn sinc(x: f64) -> f64 {
    if x.abs() < 1e-4 { 1.0 - x * x / 6.0 } else { x.sin() / x }
}
