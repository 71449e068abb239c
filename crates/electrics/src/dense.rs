//! The plain path: modified nodal analysis with a dense matrix and partial pivoting.
//!
//! What it is: section 1.2 of the reference digest on acoustics and electrics (Ho, Ruehli, Brennan, *The modified nodal
//! approach to network analysis*, IEEE Trans. CAS-22 (6), 504-509, 1975), element by element as it is printed there.
//! It does DC, where an inductor is a source of 0 V, the rare frequency that [`crate::reduction`] gives back, and it is
//! the yardstick of that fast path.
//! What it is not: fast. Its time grows with the third power of the number of nodes.

use num_complex::Complex64;

use crate::circuit::{Circuit, Condition, SolveError};
use crate::joined::Joined;

/// The unknowns of one circuit, numbered: node voltages against amplifier minus, then the currents of the amplifier
/// and, at DC, of the inductors.
#[derive(Debug, Clone)]
pub(crate) struct Dense {
    /// The unknown of every node; none for the reference and for nodes that no current reaches.
    unknown_of: Vec<Option<usize>>,
    /// The branches that conduct, by element.
    branches: Vec<usize>,
    /// The inductors at DC, by element, each with the unknown of its current.
    inductors: Vec<(usize, usize)>,
    source: usize,
    n: usize,
}

/// What the matrix gave.
pub(crate) struct DenseSolution {
    /// One per node; zero where no current reaches.
    pub(crate) node_voltages: Vec<Complex64>,
    /// Out of amplifier plus.
    pub(crate) input_current: Complex64,
    /// Inductors at DC, by element.
    pub(crate) inductor_currents: Vec<(usize, Complex64)>,
}

impl Dense {
    /// # Errors
    /// At DC: the element that closes a ring of inductors, by its place.
    pub(crate) fn of(circuit: &Circuit, conditions: &[Condition], is_dc: bool) -> Result<Self, usize> {
        let mut unknown_of = vec![None; circuit.n_nodes];
        let mut n = 0;
        let mut number = |node: usize| {
            if node != circuit.minus && unknown_of[node].is_none() {
                unknown_of[node] = Some(n);
                n += 1;
            }
        };
        number(circuit.plus);
        let (mut branches, mut coils) = (Vec::new(), Vec::new());
        let mut shorted = Joined::apart(circuit.n_nodes);
        shorted.join(circuit.plus, circuit.minus);
        for (element, branch) in circuit.branches.iter().enumerate() {
            if conditions[element] != Condition::Driven {
                continue;
            }
            number(branch.plus);
            number(branch.minus);
            if !(is_dc && circuit.laws[branch.law].is_inductor()) {
                branches.push(element);
            } else if shorted.join(branch.plus, branch.minus) {
                coils.push(element);
            } else {
                return Err(element);
            }
        }
        let inductors = coils.into_iter().zip(n + 1..).collect::<Vec<_>>();
        Ok(Self { unknown_of, branches, source: n, n: n + 1 + inductors.len(), inductors })
    }

    /// Solves for given admittances, by law.
    ///
    /// # Errors
    /// The matrix is singular: coils and capacitors without resistance cancel.
    pub(crate) fn solve(
        &self,
        circuit: &Circuit,
        admittances: &[Complex64],
        hertz: f64,
    ) -> Result<DenseSolution, SolveError> {
        let mut matrix = Matrix { n: self.n, cells: vec![Complex64::ZERO; self.n * self.n] };
        let mut right = vec![Complex64::ZERO; self.n];
        for &element in &self.branches {
            let branch = circuit.branches[element];
            let admittance = admittances[branch.law];
            let ends = [self.unknown_of[branch.plus], self.unknown_of[branch.minus]];
            for (row, sign) in ends.into_iter().zip([1.0, -1.0]) {
                for (column, other_sign) in ends.into_iter().zip([1.0, -1.0]) {
                    if let (Some(row), Some(column)) = (row, column) {
                        *matrix.at(row, column) += admittance * (sign * other_sign);
                    }
                }
            }
        }
        let sources = self.inductors.iter().map(|&(element, unknown)| {
            let branch = circuit.branches[element];
            (branch.plus, branch.minus, unknown)
        });
        for (plus, minus, unknown) in sources.chain([(circuit.plus, circuit.minus, self.source)]) {
            for (end, sign) in [(plus, 1.0), (minus, -1.0)] {
                if let Some(node) = self.unknown_of[end] {
                    *matrix.at(node, unknown) += sign;
                    *matrix.at(unknown, node) += sign;
                }
            }
        }
        right[self.source] = Complex64::from(circuit.volts);
        if !matrix.solve(&mut right) {
            return Err(SolveError::Cancelled { hertz });
        }
        let voltage = |unknown: &Option<usize>| unknown.map_or(Complex64::ZERO, |unknown| right[unknown]);
        Ok(DenseSolution {
            node_voltages: self.unknown_of.iter().map(voltage).collect(),
            // The unknown runs through the source from plus to minus, the load's current the other way round.
            input_current: -right[self.source],
            inductor_currents: self.inductors.iter().map(|&(element, at)| (element, right[at])).collect(),
        })
    }
}

/// A square matrix, row by row.
struct Matrix {
    n: usize,
    cells: Vec<Complex64>,
}

impl Matrix {
    fn at(&mut self, row: usize, column: usize) -> &mut Complex64 {
        &mut self.cells[row * self.n + column]
    }

    /// Gauss's elimination with partial pivoting; the right side becomes the solution. False for a singular matrix.
    fn solve(&mut self, right: &mut [Complex64]) -> bool {
        let n = self.n;
        for column in 0..n {
            let size = |row: usize| self.cells[row * n + column].norm_sqr();
            let pivot =
                (column + 1..n).fold(column, |best, row| if size(row) > size(best) { row } else { best });
            if size(pivot) == 0.0 {
                return false;
            }
            if pivot != column {
                let (above, below) = self.cells.split_at_mut(pivot * n);
                above[column * n..(column + 1) * n].swap_with_slice(&mut below[..n]);
                right.swap(pivot, column);
            }
            let (above, below) = self.cells.split_at_mut((column + 1) * n);
            let pivot_row = &above[column * n..];
            let scale = pivot_row[column].inv();
            for (row_idx, row) in below.chunks_exact_mut(n).enumerate() {
                let factor = row[column] * scale;
                if factor == Complex64::ZERO {
                    continue;
                }
                for (cell, pivot_cell) in row[column + 1..].iter_mut().zip(&pivot_row[column + 1..]) {
                    *cell -= factor * pivot_cell;
                }
                let known = right[column];
                right[column + 1 + row_idx] -= factor * known;
            }
        }
        for row in (0..n).rev() {
            let cells = &self.cells[row * n..(row + 1) * n];
            let known: Complex64 = (row + 1..n).map(|column| cells[column] * right[column]).sum();
            right[row] = (right[row] - known) / cells[row];
        }
        right.iter().all(|value| value.is_finite())
    }
}
