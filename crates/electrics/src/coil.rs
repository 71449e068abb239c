//! The blocked voice coil: what its inductance does, by the six models in use.
//!
//! What it is: `Z_L(ω)` of the reference digest on acoustics and electrics, section 2.3, for each model.
//! What it is not: the resistance of the coil (that is [`crate::DriverImpedance`]) or its motion
//! ([`crate::Motional`]).

use std::f64::consts::FRAC_1_SQRT_2;

use num_complex::Complex64;
use quantities::{Frequency, Inductance, Resistance};
use thiserror::Error;

/// Why a driver cannot be described like this.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum DriverError {
    /// The coil has no resistance, so nothing would limit the current.
    #[error("the DC resistance of the coil is zero: measure it or take 0.88 of the nominal impedance")]
    NoResistance,
    /// A model constant is negative, not finite, or out of the range in which the model means something.
    #[error("the coil constant {name} is {value}: it must be {range}")]
    CoilConstant {
        /// The constant, as the model's source writes it.
        name: &'static str,
        /// What was given.
        value: f64,
        /// What would be right.
        range: &'static str,
    },
    /// The moving mass, the compliance or the friction is zero, or the stiffness of the box is negative or not finite.
    #[error("{what} is {value}: it must be {range}")]
    Motion {
        /// The quantity.
        what: &'static str,
        /// What was given, in the SI unit.
        value: f64,
        /// What would be right.
        range: &'static str,
    },
    /// A table of measured impedances has no rows, or its frequencies do not rise, or a real part is not above zero.
    #[error(
        "row {row} of the impedance table is wrong: frequencies must rise and every real part be above zero"
    )]
    Table {
        /// The first wrong row, counted from 1.
        row: usize,
    },
}

/// The inductive part of a voice coil that is held still.
///
/// For drivers under 40 mm it matters above about 2 kHz only; [`CoilModel::Ideal`] is enough for load checks.
///
/// # Source
/// Reference digest on acoustics and electrics, section 2.3, which names the papers quoted at each variant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoilModel {
    /// `jωLe`: a lossless coil.
    Ideal(Inductance),
    /// `jωLe + (jωL2·R2)/(R2 + jωL2)`: the common lumped form (Beranek and Mellow, *Acoustics*, from memory).
    Lr2 {
        /// The series inductance.
        le: Inductance,
        /// The inductance that the iron's losses bridge.
        l2: Inductance,
        /// The loss resistance across `l2`.
        r2: Resistance,
    },
    /// `K·sqrt(jω)`: all eddy currents (Vanderkooy, JAES 37 (3), 119-128, 1989).
    SemiInductor {
        /// K in Ω·s^½, at least zero.
        k: f64,
    },
    /// `Kr·ω^Xr + j·Ki·ω^Xi` (Wright, JAES 38 (10), 749-754, 1990).
    Wright {
        /// Kr in Ω·s^Xr, at least zero.
        kr: f64,
        /// Exponent of the resistive part, above 0 and at most 2.
        xr: f64,
        /// Ki in Ω·s^Xi, at least zero.
        ki: f64,
        /// Exponent of the reactive part, above 0 and at most 2.
        xi: f64,
    },
    /// `K·(jω)^n` (Leach, JAES 50 (6), 442-450, 2002): n = 1 is lossless, n = 0.5 the eddy-current limit.
    Leach {
        /// K in Ω·sⁿ, at least zero.
        k: f64,
        /// The exponent n, above 0 and at most 1.
        n: f64,
    },
    /// `s·Leb + 1/(1/Rss + 1/(s·Le) + 1/(Ke·sqrt(s)))` (Thorborg and Futtrup, JAES 59, 612, 2011).
    ThorborgFuttrup {
        /// Inductance outside the iron.
        leb: Inductance,
        /// Inductance through the iron.
        le: Inductance,
        /// Loss resistance; above zero.
        rss: Resistance,
        /// The semi-inductance Ke in Ω·s^½, above zero.
        ke: f64,
    },
}

impl CoilModel {
    /// The impedance of the blocked coil without its resistance, in ohms.
    ///
    /// ```
    /// use electrics::CoilModel;
    /// use quantities::Frequency;
    /// // Reference digest, section 2.3, check numbers: 3.1401 ohm at 1 kHz.
    /// let leach = CoilModel::Leach { k: 6.89e-3, n: 0.7 };
    /// let z = leach.impedance(Frequency::from_hertz(1000.0).unwrap());
    /// assert!((z.norm() - 3.1401).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn impedance(&self, at: Frequency) -> Complex64 {
        self.at(std::f64::consts::TAU * at.as_hertz())
    }

    /// At `ω` in rad/s.
    pub(crate) fn at(&self, omega: f64) -> Complex64 {
        // Every model is a short circuit at DC; some formulas would divide by zero there.
        if omega == 0.0 {
            return Complex64::ZERO;
        }
        match *self {
            Self::Ideal(le) => Complex64::new(0.0, omega * le.as_henries()),
            Self::Lr2 { le, l2, r2 } => {
                let (x, r) = (omega * l2.as_henries(), r2.as_ohms());
                // (jx·r)/(r + jx), written out so that r = 0 and x = 0 both give nothing instead of NaN.
                let square = x * x + r * r;
                let bridged = if square == 0.0 {
                    Complex64::ZERO
                } else {
                    Complex64::new(x * x * r / square, x * r * r / square)
                };
                bridged + Complex64::new(0.0, omega * le.as_henries())
            }
            Self::SemiInductor { k } => root_of_j() * (k * omega.sqrt()),
            Self::Wright { kr, xr, ki, xi } => {
                let ln = omega.ln();
                Complex64::new(kr * (xr * ln).exp(), ki * (xi * ln).exp())
            }
            Self::Leach { k, n } => {
                Complex64::from_polar(k * (n * omega.ln()).exp(), n * std::f64::consts::FRAC_PI_2)
            }
            Self::ThorborgFuttrup { leb, le, rss, ke } => {
                let series = Complex64::new(0.0, omega * leb.as_henries());
                if le.as_henries() == 0.0 {
                    return series;
                }
                let semi = root_of_j() * (ke * omega.sqrt());
                let admittance =
                    Complex64::new(1.0 / rss.as_ohms(), -1.0 / (omega * le.as_henries())) + semi.inv();
                series + admittance.inv()
            }
        }
    }

    pub(crate) fn check(&self) -> Result<(), DriverError> {
        let at_least_zero = |name, value: f64| {
            let is_right = value.is_finite() && value >= 0.0;
            is_right.then_some(()).ok_or(DriverError::CoilConstant { name, value, range: "zero or more" })
        };
        let above_zero = |name, value: f64| {
            let is_right = value.is_finite() && value > 0.0;
            is_right.then_some(()).ok_or(DriverError::CoilConstant { name, value, range: "above zero" })
        };
        let exponent = |name, value: f64, most: f64, range| {
            let is_right = value > 0.0 && value <= most;
            is_right.then_some(()).ok_or(DriverError::CoilConstant { name, value, range })
        };
        match *self {
            Self::Ideal(_) | Self::Lr2 { .. } => Ok(()),
            Self::SemiInductor { k } => at_least_zero("K", k),
            Self::Wright { kr, xr, ki, xi } => {
                at_least_zero("Kr", kr)?;
                at_least_zero("Ki", ki)?;
                exponent("Xr", xr, 2.0, "above 0 and at most 2")?;
                exponent("Xi", xi, 2.0, "above 0 and at most 2")
            }
            Self::Leach { k, n } => {
                at_least_zero("K", k)?;
                exponent("n", n, 1.0, "above 0 and at most 1")
            }
            Self::ThorborgFuttrup { rss, ke, .. } => {
                above_zero("Rss", rss.as_ohms())?;
                above_zero("Ke", ke)
            }
        }
    }
}

/// `sqrt(j)`.
fn root_of_j() -> Complex64 {
    Complex64::new(FRAC_1_SQRT_2, FRAC_1_SQRT_2)
}
