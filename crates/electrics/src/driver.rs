//! A speaker as an impedance: nominal, from its parameters, or from a measured curve.
//!
//! What it is: section 2.2 of the reference digest on acoustics and electrics: coil resistance, coil inductance and
//! the motional branch, with the stiffness of a sealed box as one number.
//! What it is not: enclosures and sound. The acoustics room works out the parameters and the box stiffness and hands
//! them over.

use num_complex::Complex64;
use quantities::{Compliance, ForceFactor, Frequency, Mass, MechanicalResistance, Resistance};

use crate::coil::{CoilModel, DriverError};
use crate::lanes::{Angular, Lanes};

/// What a speaker is to a circuit.
#[derive(Debug, Clone, PartialEq)]
pub enum Load {
    /// A plain resistance at every frequency: the "nominal" arithmetic of the trade, or a DC reading. Above zero.
    Nominal(Resistance),
    /// Computed from the driver's parameters.
    Driver(DriverImpedance),
    /// Measured.
    Tabulated(ImpedanceTable),
}

impl Load {
    /// The impedance in ohms; 0 Hz is DC.
    ///
    /// ```
    /// use electrics::Load;
    /// use quantities::{Frequency, Resistance};
    /// let load = Load::Nominal(Resistance::from_ohms(8.0).unwrap());
    /// assert_eq!(load.impedance(Frequency::from_hertz(440.0).unwrap()).re, 8.0);
    /// ```
    #[must_use]
    pub fn impedance(&self, at: Frequency) -> Complex64 {
        match self {
            Self::Nominal(resistance) => Complex64::from(resistance.as_ohms()),
            Self::Driver(driver) => driver.impedance(at),
            Self::Tabulated(table) => table.impedance(at),
        }
    }

    /// What an ohm-meter reads across it when nothing else is connected.
    #[must_use]
    pub fn dc_resistance(&self) -> Resistance {
        match self {
            Self::Nominal(resistance) => *resistance,
            Self::Driver(driver) => driver.re,
            Self::Tabulated(table) => table.dc,
        }
    }

    /// Admittances in siemens above 0 Hz.
    pub(crate) fn admittances<const N: usize>(&self, at: &Angular<N>) -> Lanes<N> {
        match self {
            Self::Nominal(resistance) => Lanes::all(Complex64::from(1.0 / resistance.as_ohms())),
            Self::Driver(driver) => {
                let (above, below) = driver.fraction(at);
                below * above.reciprocal()
            }
            Self::Tabulated(table) => Lanes::each(|lane| table.at(at.omega[lane])).reciprocal(),
        }
    }
}

/// A moving-coil driver: resistance, coil inductance, and the motion of the cone as seen from the terminals.
///
/// `Z(ω) = Re + Z_L(ω) + Bl² / (jωMms + Rms + (1/Cms + k_box)/(jω))`
///
/// # Valid for
/// Small signals. A driver without `motional` is held still.
///
/// # Source
/// Reference digest on acoustics and electrics, section 2.2 (Small 1972, Beranek and Mellow); `k_box = Sd²·ρc²/V`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriverImpedance {
    re: Resistance,
    coil: CoilModel,
    motional: Option<Motional>,
    // Derived once: squares and reciprocals of the motional branch, for the sweep.
    branch: Option<Branch>,
}

/// What moves: the parameters of the motional branch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motional {
    /// Force factor Bl.
    pub bl: ForceFactor,
    /// Moving mass with air load; above zero.
    pub mms: Mass,
    /// Suspension compliance; above zero.
    pub cms: Compliance,
    /// Mechanical resistance; above zero.
    pub rms: MechanicalResistance,
    /// Stiffness that a sealed box adds, `Sd²·ρc²/V`, in newtons per metre; zero in free air.
    pub box_stiffness: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Branch {
    bl_squared: f64,
    mass: f64,
    resistance: f64,
    stiffness: f64,
}

impl DriverImpedance {
    /// A driver from its parameters.
    ///
    /// # Errors
    /// A coil without resistance, a model constant out of its range, a mass, compliance or friction of zero.
    ///
    /// ```
    /// use electrics::{CoilModel, DriverImpedance};
    /// use quantities::{Frequency, Inductance, Resistance};
    /// let held = DriverImpedance::new(
    ///     Resistance::from_ohms(7.0).unwrap(),
    ///     CoilModel::Ideal(Inductance::from_henries(0.29e-3).unwrap()),
    ///     None,
    /// )?;
    /// let z = held.impedance(Frequency::from_hertz(1000.0).unwrap());
    /// assert!((z.im - 1.8221).abs() < 1e-4);
    /// # Ok::<(), electrics::DriverError>(())
    /// ```
    pub fn new(re: Resistance, coil: CoilModel, motional: Option<Motional>) -> Result<Self, DriverError> {
        if re.as_ohms() <= 0.0 {
            return Err(DriverError::NoResistance);
        }
        coil.check()?;
        let branch = motional.map(Branch::of).transpose()?;
        Ok(Self { re, coil, motional, branch })
    }

    /// The DC resistance of the coil.
    #[must_use]
    pub fn re(&self) -> Resistance {
        self.re
    }

    /// The model of the coil's inductance.
    #[must_use]
    pub fn coil(&self) -> CoilModel {
        self.coil
    }

    /// What moves, if the cone is free.
    #[must_use]
    pub fn motional(&self) -> Option<Motional> {
        self.motional
    }

    /// The impedance in ohms; 0 Hz is DC, where the suspension holds the cone and nothing but the coil's resistance is
    /// left.
    #[must_use]
    pub fn impedance(&self, at: Frequency) -> Complex64 {
        if at.as_hertz() == 0.0 {
            return Complex64::from(self.re.as_ohms());
        }
        let (above, below) = self.fraction(&Angular::of(&[at]));
        above.lane(0) / below.lane(0)
    }

    /// The impedance as a fraction `((Re + Z_L)·Zm + Bl²) / Zm` with the mechanical impedance Zm: its reciprocal is then
    /// had without another division.
    #[inline]
    fn fraction<const N: usize>(&self, at: &Angular<N>) -> (Lanes<N>, Lanes<N>) {
        let coil = match self.coil {
            CoilModel::Ideal(le) => {
                Lanes::from_parts([0.0; N], at.omega.map(|omega| omega * le.as_henries()))
            }
            lossy => Lanes::each(|lane| lossy.at(at.omega[lane])),
        };
        let blocked = coil.plus_real(self.re.as_ohms());
        match self.branch {
            None => (blocked, Lanes::all(Complex64::ONE)),
            Some(branch) => {
                let mechanical = branch.mechanical(at);
                ((blocked * mechanical).plus_real(branch.bl_squared), mechanical)
            }
        }
    }
}

impl Branch {
    fn of(motional: Motional) -> Result<Self, DriverError> {
        let (mass, compliance) = (motional.mms.as_kilograms(), motional.cms.as_metres_per_newton());
        let resistance = motional.rms.as_newton_seconds_per_metre();
        let above_zero = |what, value: f64| {
            (value > 0.0).then_some(()).ok_or(DriverError::Motion { what, value, range: "above zero" })
        };
        above_zero("the moving mass in kg", mass)?;
        above_zero("the compliance in m/N", compliance)?;
        // Without any friction the impedance at resonance would be infinite; no real cone is like that.
        above_zero("the mechanical resistance in kg/s", resistance)?;
        let value = motional.box_stiffness;
        if !(value.is_finite() && value >= 0.0) {
            return Err(DriverError::Motion {
                what: "the stiffness of the box in N/m",
                value,
                range: "zero or more",
            });
        }
        Ok(Self {
            bl_squared: motional.bl.as_tesla_metres() * motional.bl.as_tesla_metres(),
            mass,
            resistance,
            stiffness: 1.0 / compliance + motional.box_stiffness,
        })
    }

    /// `Rms + j(ωMms - (1/Cms + k_box)/ω)`.
    #[inline]
    fn mechanical<const N: usize>(self, at: &Angular<N>) -> Lanes<N> {
        let reactance = |lane| at.omega[lane] * self.mass - self.stiffness * at.inverse[lane];
        Lanes::from_parts([self.resistance; N], std::array::from_fn(reactance))
    }
}

/// A measured impedance curve: rising frequencies with a complex impedance each.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpedanceTable {
    dc: Resistance,
    /// Natural logarithm of `ω` in rad/s, and the impedance.
    rows: Vec<(f64, Complex64)>,
}

impl ImpedanceTable {
    /// A table from its DC resistance and its rows of frequency and impedance in ohms.
    ///
    /// Between two rows real and imaginary part run in straight lines over the logarithm of the frequency; below the
    /// first and above the last row they stay as they are there.
    ///
    /// # Errors
    /// No DC resistance; no rows; frequencies that do not rise or are zero; a real part that is not above zero.
    pub fn new(dc: Resistance, rows: &[(Frequency, Complex64)]) -> Result<Self, DriverError> {
        if dc.as_ohms() <= 0.0 {
            return Err(DriverError::NoResistance);
        }
        if rows.is_empty() {
            return Err(DriverError::Table { row: 1 });
        }
        let mut before = 0.0;
        for (row_idx, (frequency, impedance)) in rows.iter().enumerate() {
            let is_right = frequency.as_hertz() > before && impedance.is_finite() && impedance.re > 0.0;
            if !is_right {
                return Err(DriverError::Table { row: row_idx + 1 });
            }
            before = frequency.as_hertz();
        }
        let rows = rows.iter().map(|(frequency, impedance)| (logarithm(*frequency), *impedance));
        Ok(Self { dc, rows: rows.collect() })
    }

    /// The impedance in ohms; 0 Hz is DC.
    #[must_use]
    pub fn impedance(&self, at: Frequency) -> Complex64 {
        if at.as_hertz() == 0.0 {
            return Complex64::from(self.dc.as_ohms());
        }
        self.at(std::f64::consts::TAU * at.as_hertz())
    }

    /// At `ω` in rad/s, above zero.
    fn at(&self, omega: f64) -> Complex64 {
        let ln = omega.ln();
        let after = self.rows.partition_point(|(row, _)| *row <= ln);
        match (after.checked_sub(1).and_then(|before| self.rows.get(before)), self.rows.get(after)) {
            (Some((x0, z0)), Some((x1, z1))) => z0 + (z1 - z0) * ((ln - x0) / (x1 - x0)),
            (Some((_, end)), None) | (None, Some((_, end))) => *end,
            (None, None) => Complex64::new(self.dc.as_ohms(), 0.0),
        }
    }
}

fn logarithm(frequency: Frequency) -> f64 {
    (std::f64::consts::TAU * frequency.as_hertz()).ln()
}

#[cfg(test)]
mod tests;
