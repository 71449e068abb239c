//! The identities between the parameters as equations that are linear in logarithms, and their solution from whatever
//! subset is known. Not a fit: a fact that follows from earlier ones is ignored here; [`super::check`] compares.
//!
//! Source: Small 1972; digest, section 2.1. In logarithms each identity is a sum of the unknowns; Gauss-Jordan
//! elimination then tells which unknowns are settled (any textbook on linear algebra).

use crate::air::Air;

/// The unknowns in the order of the columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unknown {
    Re,
    Bl,
    Mms,
    Cms,
    Rms,
    Sd,
    Fs,
    Qms,
    Qes,
    Vas,
    Efficiency,
}

const UNKNOWNS: usize = 11;

/// A row: coefficients of the logarithms, then the right-hand side.
type Row = [f64; UNKNOWNS + 1];

/// Coefficients are small integers; what elimination leaves below this is rounding.
const ZERO: f64 = 1e-9;

/// A growing system of independent equations in reduced form.
#[derive(Debug, Clone)]
pub(super) struct System {
    rows: Vec<(usize, Row)>,
}

impl System {
    /// The identities of section 2.1 and nothing else.
    pub(super) fn of_identities(air: &Air) -> Self {
        use Unknown as U;
        let ln_tau = std::f64::consts::TAU.ln();
        let mut system = Self { rows: Vec::with_capacity(UNKNOWNS) };
        let mut identity = |terms: &[(Unknown, f64)], right: f64| {
            let mut row = [0.0; UNKNOWNS + 1];
            for (unknown, power) in terms {
                row[*unknown as usize] = *power;
            }
            row[UNKNOWNS] = right;
            system.add(row);
        };
        identity(&[(U::Fs, 2.0), (U::Mms, 1.0), (U::Cms, 1.0)], -2.0 * ln_tau);
        identity(&[(U::Qms, 1.0), (U::Fs, -1.0), (U::Mms, -1.0), (U::Rms, 1.0)], ln_tau);
        identity(&[(U::Qes, 1.0), (U::Fs, -1.0), (U::Mms, -1.0), (U::Re, -1.0), (U::Bl, 2.0)], ln_tau);
        identity(&[(U::Vas, 1.0), (U::Sd, -2.0), (U::Cms, -1.0)], air.bulk_modulus().ln());
        identity(
            &[(U::Efficiency, 1.0), (U::Bl, -2.0), (U::Sd, -2.0), (U::Re, 1.0), (U::Mms, 2.0)],
            (air.rho() / air.c()).ln() - ln_tau,
        );
        system
    }

    /// Adds a known value in SI; `false` when earlier facts already settle this unknown or the value is not positive.
    pub(super) fn know(&mut self, unknown: Unknown, si: f64) -> bool {
        let logarithm = si.ln();
        if !logarithm.is_finite() {
            return false;
        }
        let mut row = [0.0; UNKNOWNS + 1];
        row[unknown as usize] = 1.0;
        row[UNKNOWNS] = logarithm;
        self.add(row)
    }

    /// The value of an unknown in SI, if it is settled.
    pub(super) fn value(&self, unknown: Unknown) -> Option<f64> {
        let (_, row) = self.rows.iter().find(|(pivot, _)| *pivot == unknown as usize)?;
        let others = row[..UNKNOWNS].iter().enumerate().filter(|(column, _)| *column != unknown as usize);
        others.map(|(_, coefficient)| coefficient.abs()).all(|size| size < ZERO).then(|| row[UNKNOWNS].exp())
    }

    fn add(&mut self, mut row: Row) -> bool {
        for (pivot, known) in &self.rows {
            subtract(&mut row, known, *pivot);
        }
        let Some(pivot) = (0..UNKNOWNS).max_by(|a, b| row[*a].abs().total_cmp(&row[*b].abs())) else {
            return false;
        };
        if row[pivot].abs() < ZERO {
            return false;
        }
        let scale = row[pivot];
        row.iter_mut().for_each(|coefficient| *coefficient /= scale);
        for (_, known) in &mut self.rows {
            subtract(known, &row, pivot);
        }
        self.rows.push((pivot, row));
        true
    }
}

/// Takes the multiple of `known` (whose pivot is 1) from `row` that clears the pivot column.
fn subtract(row: &mut Row, known: &Row, pivot: usize) {
    let factor = row[pivot];
    if factor.abs() < ZERO {
        return;
    }
    row.iter_mut().zip(known).for_each(|(target, source)| *target -= factor * source);
}
