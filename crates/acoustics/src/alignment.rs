//! The closed box as a second-order high-pass: everything that follows from its resonance and total Q alone.
//! Not the full system with coil inductance and leaks, which is [`crate::system`].
//!
//! Source: Small, *Closed-Box Loudspeaker Systems* I and II, JAES 20 (10) and 21 (1), 1972-73; digest, section 2.4.

use num_complex::Complex64;
use quantities::{Frequency, Gain, Power, Volume};

use crate::air::Air;
use crate::saturate::saturated;

/// Square of the total Q of the maximally flat response, 1/√2, with room for the rounding of whoever squares that.
const FLAT_Q_SQUARED: f64 = 0.5 + 1e-12;

/// Resonance and total Q of a closed box.
///
/// ```
/// use acoustics::Alignment;
/// use quantities::{Frequency, Quantity};
/// let cramped = Alignment::new(Frequency::parse("400 Hz")?, 2.0).unwrap();
/// assert_eq!(cramped.cutoff().to_string(), "269.4 Hz");
/// assert_eq!(cramped.peak().to_string(), "6.301 dB");
/// # Ok::<(), quantities::QuantityError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alignment {
    resonance: Frequency,
    total_q: f64,
}

impl Alignment {
    /// From the resonance fc and the total Q Qtc; `None` unless both are finite and above zero.
    #[must_use]
    pub fn new(resonance: Frequency, total_q: f64) -> Option<Self> {
        let is_usable = resonance.as_hertz() > 0.0 && total_q > 0.0 && total_q.is_finite();
        is_usable.then_some(Self { resonance, total_q })
    }

    /// System resonance fc.
    #[must_use]
    pub fn resonance(&self) -> Frequency {
        self.resonance
    }

    /// Total Q at fc, Qtc.
    #[must_use]
    pub fn total_q(&self) -> f64 {
        self.total_q
    }

    /// `G(s) = (s/ωc)² / [(s/ωc)² + s/(ωc·Qtc) + 1]` at a frequency; 1 far above resonance.
    #[must_use]
    pub fn response(&self, frequency: Frequency) -> Complex64 {
        let s = Complex64::new(0.0, frequency.as_hertz() / self.resonance.as_hertz());
        s * s / (s * s + s / self.total_q + 1.0)
    }

    /// Frequency at which the response is 3.01 dB down, f3: half the power.
    #[must_use]
    pub fn cutoff(&self) -> Frequency {
        self.frequency_of_power_ratio(0.5)
    }

    /// Frequency at which the response is down by a drop, for instance 6 dB. A drop is taken as positive whatever its
    /// sign; one of zero has no such frequency and answers with infinity held at the end of the kind's range.
    #[must_use]
    pub fn frequency_of_drop(&self, drop: Gain) -> Frequency {
        self.frequency_of_power_ratio(10f64.powf(-drop.as_decibels().abs() / 10.0))
    }

    /// `|G|² = g` solved for `u = (f/fc)²`: `(1 − g)·u² + g·(2 − 1/Q²)·u − g = 0`.
    fn frequency_of_power_ratio(&self, ratio: f64) -> Frequency {
        let linear = ratio * (2.0 - self.total_q.powi(-2));
        let square = 1.0 - ratio;
        // The positive root; written with the sum of equal signs so that nothing cancels.
        let root = (linear * linear + 4.0 * square * ratio).sqrt();
        let u = if linear >= 0.0 { 2.0 * ratio / (linear + root) } else { (root - linear) / (2.0 * square) };
        saturated(self.resonance.as_hertz() * u.sqrt())
    }

    /// Height of the response peak above the flat level; 0 dB for `Qtc ≤ 0.7071`.
    #[must_use]
    pub fn peak(&self) -> Gain {
        saturated(20.0 * self.peak_ratio().log10())
    }

    /// Frequency of the response peak; none for `Qtc ≤ 0.7071`.
    #[must_use]
    pub fn peak_frequency(&self) -> Option<Frequency> {
        self.has_peak().then(|| saturated(self.resonance.as_hertz() / self.peak_shift()))
    }

    /// Greatest excursion against that at direct current, |X|max; 1 for `Qtc ≤ 0.7071`.
    #[must_use]
    pub fn excursion_peak(&self) -> f64 {
        self.peak_ratio()
    }

    /// Frequency of the greatest excursion; none for `Qtc ≤ 0.7071`, where it is direct current.
    #[must_use]
    pub fn excursion_peak_frequency(&self) -> Option<Frequency> {
        self.has_peak().then(|| saturated(self.resonance.as_hertz() * self.peak_shift()))
    }

    /// Level at the resonance against the flat level: `20·log10 Qtc`.
    #[must_use]
    pub fn level_at_resonance(&self) -> Gain {
        saturated(20.0 * self.total_q.log10())
    }

    /// Small's displacement-limited acoustic power in half space: `P_AR = (4π³ρ/c)·fc⁴·Vd²/|X|max²`.
    #[must_use]
    pub fn displacement_limited_power(&self, displaced_volume: Volume, air: &Air) -> Power {
        let factor = 4.0 * std::f64::consts::PI.powi(3) * air.rho() / air.c();
        let reach =
            self.resonance.as_hertz().powi(2) * displaced_volume.as_cubic_metres() / self.peak_ratio();
        saturated(factor * reach * reach)
    }

    fn has_peak(&self) -> bool {
        self.total_q * self.total_q > FLAT_Q_SQUARED
    }

    /// `Qtc²/√(Qtc² − 1/4)`.
    fn peak_ratio(&self) -> f64 {
        let square = self.total_q * self.total_q;
        if self.has_peak() { square / (square - 0.25).sqrt() } else { 1.0 }
    }

    /// `√(1 − 1/(2·Qtc²))`, asked only where there is a peak.
    fn peak_shift(&self) -> f64 {
        (1.0 - 0.5 / (self.total_q * self.total_q)).sqrt()
    }
}
