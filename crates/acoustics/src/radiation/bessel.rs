//! The Bessel function J1 and the Struve function H1 that the piston needs. Not a library of special functions.
//!
//! Source: Bessel's integral, NIST Digital Library of Mathematical Functions 10.9.2; Struve's series in Bessel
//! functions, Abramowitz & Stegun 12.1.20 (both from memory). Checked against scipy.special in `refcheck`.

/// Bessel function of the first kind and integer order by Bessel's integral `(1/2π)∫cos(nθ − x·sin θ)dθ` over a whole
/// turn. The trapezoid rule on a periodic analytic function converges faster than any power: with N points the error
/// is `J_{N−n}(x)`, which N = 2·|x| + 64 puts below the rounding.
fn bessel_j(order: u32, x: f64) -> f64 {
    let points = 2 * crate::saturate::count(x.abs()) + 64 + 2 * order as usize;
    let step = std::f64::consts::TAU / points as f64;
    let sum: f64 = (0..points)
        .map(|k| {
            let angle = step * k as f64;
            (f64::from(order) * angle - x * angle.sin()).cos()
        })
        .sum();
    sum / points as f64
}

/// J1(x) for any real x; absolute error below 1e-13 up to |x| = 100.
///
/// ```
/// assert!((acoustics::radiation::bessel_j1(3.831_705_970_207_512)).abs() < 1e-14, "first zero");
/// ```
#[must_use]
pub fn bessel_j1(x: f64) -> f64 {
    bessel_j(1, x)
}

/// H1(x) for any real x: `(2/π)·(1 − J0(x)) + (4/π)·Σ J_2k(x)/(4k² − 1)`; absolute error below 1e-12 up to |x| = 100.
#[must_use]
pub fn struve_h1(x: f64) -> f64 {
    // Beyond order 2k = |x| + 40 the terms are below the rounding.
    let terms = crate::saturate::count(x.abs() / 2.0) + 20;
    let series: f64 = (1..=terms)
        .map(|k| {
            let order = u32::try_from(2 * k).unwrap_or(u32::MAX);
            bessel_j(order, x) / (f64::from(order) * f64::from(order) - 1.0)
        })
        .sum();
    std::f64::consts::FRAC_2_PI * (1.0 - bessel_j(0, x) + 2.0 * series)
}
