//! Solving a circuit: at one frequency, at DC, or over a whole grid without allocating in between.
//!
//! What it is: the room's front door to voltages, currents and powers.
//! What it is not: a judgement of them; see [`crate::LoadCurve`] and [`crate::polarity`].

use num_complex::Complex64;
use quantities::{Frequency, Power};

use crate::bank::Bank;
use crate::circuit::{Circuit, Condition, SolveError};
use crate::dense::{Dense, DenseSolution};
use crate::netlist::{ElementId, Netlist};
use crate::reduction::{Cancelled, Reduction};
use crate::saturated::saturated;
use crate::shape::Shape;

/// Voltages and currents of a circuit at one frequency. All are RMS phasors against the amplifier's voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    frequency: Frequency,
    source: f64,
    input_current: Complex64,
    voltages: Vec<Complex64>,
    currents: Vec<Complex64>,
    node_voltages: Vec<Complex64>,
    node_of: Vec<usize>,
    is_reached: Vec<bool>,
}

impl Solution {
    /// The frequency that this holds at; 0 Hz is DC.
    #[must_use]
    pub fn frequency(&self) -> Frequency {
        self.frequency
    }

    /// What the amplifier sees, in ohms; none when no current can flow.
    #[must_use]
    pub fn impedance(&self) -> Option<Complex64> {
        // No current at all makes the quotient infinite or undefined.
        Some(Complex64::from(self.source) / self.input_current).filter(|impedance| impedance.is_finite())
    }

    /// The current out of the amplifier's plus terminal, in amperes.
    #[must_use]
    pub fn input_current(&self) -> Complex64 {
        self.input_current
    }

    /// The voltage across an element, plus against minus, in volts. Zero where no current reaches.
    ///
    /// # Panics
    /// If the handle is of another, longer netlist.
    #[must_use]
    pub fn voltage(&self, id: ElementId) -> Complex64 {
        self.voltages[id.index()]
    }

    /// The current through an element from plus to minus, in amperes.
    ///
    /// # Panics
    /// If the handle is of another, longer netlist.
    #[must_use]
    pub fn current(&self, id: ElementId) -> Complex64 {
        self.currents[id.index()]
    }

    /// The power that an element turns to heat and sound.
    ///
    /// # Panics
    /// If the handle is of another, longer netlist.
    #[must_use]
    pub fn power(&self, id: ElementId) -> Power {
        power(self.voltages[id.index()], self.currents[id.index()])
    }

    /// The power that the amplifier delivers.
    #[must_use]
    pub fn input_power(&self) -> Power {
        power(Complex64::from(self.source), self.input_current)
    }

    /// The voltage of one terminal against another, in volts; none if the circuit does not determine it because one
    /// of them is not connected, or if `netlist` has no such terminal.
    #[must_use]
    pub fn voltage_between(&self, netlist: &Netlist, plus: &str, minus: &str) -> Option<Complex64> {
        let voltage_of = |terminal: &str| {
            let node = *self.node_of.get(netlist.index_of(terminal)?)?;
            self.is_reached[node].then(|| self.node_voltages[node])
        };
        Some(voltage_of(plus)? - voltage_of(minus)?)
    }
}

/// Real power of a voltage and a current, RMS phasors. Rounding may leave a reactive element a hair below zero.
fn power(voltage: Complex64, current: Complex64) -> Power {
    saturated((voltage * current.conj()).re)
}

/// A circuit made ready to be solved at many frequencies: merged, ordered, with its memory allocated.
///
/// ```
/// use electrics::{Load, Netlist, Solver};
/// use quantities::{Frequency, Resistance, Voltage};
/// let mut netlist = Netlist::new();
/// netlist.amplifier("S1", "S2", Voltage::from_volts(2.0).unwrap())?;
/// let eight = netlist.speaker("eight", "S1", "S2", Load::Nominal(Resistance::from_ohms(8.0).unwrap()))?;
/// let four = netlist.speaker("four", "S1", "S2", Load::Nominal(Resistance::from_ohms(4.0).unwrap()))?;
/// let mut solver = Solver::new(&netlist)?;
/// let solution = solver.solve(Frequency::from_hertz(1000.0).unwrap())?;
/// assert_eq!(solution.power(eight).to_string(), "500 mW");
/// assert_eq!(solution.power(four).to_string(), "1 W");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Solver {
    pub(crate) circuit: Circuit,
    names: Vec<String>,
    pub(crate) shape: Shape,
    pub(crate) reduction: Reduction,
    bank: Bank<1>,
    /// The plain path above 0 Hz, numbered when first needed.
    dense: Option<Dense>,
    /// DC, where capacitors are breaks and inductors wires; likewise.
    direct: Option<(Shape, Dense)>,
    solution: Solution,
}

impl Solver {
    /// Merges and orders a circuit.
    ///
    /// # Errors
    /// No amplifier; a dead short across it.
    pub fn new(netlist: &Netlist) -> Result<Self, SolveError> {
        let circuit = Circuit::of(netlist)?;
        let shape = Shape::of(&circuit, false);
        let reduction = Reduction::of(&circuit, &shape.conditions);
        let bank = Bank::of(&circuit, &reduction);
        let n_elements = circuit.branches.len();
        let solution = Solution {
            frequency: saturated(f64::INFINITY),
            source: circuit.volts,
            input_current: Complex64::ZERO,
            voltages: vec![Complex64::ZERO; n_elements],
            currents: vec![Complex64::ZERO; n_elements],
            node_voltages: vec![Complex64::ZERO; circuit.n_nodes],
            node_of: circuit.node_of.clone(),
            is_reached: shape.is_reached.clone(),
        };
        let names = netlist.elements().map(|(_, element)| element.name.clone()).collect();
        Ok(Self { circuit, names, shape, reduction, bank, dense: None, direct: None, solution })
    }

    /// How each element is connected, in the order of the elements.
    #[must_use]
    pub fn conditions(&self) -> &[Condition] {
        &self.shape.conditions
    }

    /// Every voltage and current at one frequency; 0 Hz is DC.
    ///
    /// # Errors
    /// At DC a ring of inductors without resistance; elsewhere coils and capacitors without resistance that cancel at
    /// just this frequency.
    pub fn solve(&mut self, at: Frequency) -> Result<&Solution, SolveError> {
        if at.as_hertz() == 0.0 {
            self.solve_direct()?;
        } else {
            self.begin(at);
            match self.bank.reduce(&self.reduction) {
                Ok(load) => self.finish(load.lane(0)),
                Err(Cancelled) => self.solve_plainly(at)?,
            }
        }
        Ok(&self.solution)
    }

    /// As [`Self::solve`], but always by the plain path: modified nodal analysis with partial pivoting. It is the
    /// yardstick of the fast one.
    ///
    /// # Errors
    /// As [`Self::solve`].
    pub fn solve_by_pivoting(&mut self, at: Frequency) -> Result<&Solution, SolveError> {
        if at.as_hertz() == 0.0 {
            self.solve_direct()?;
        } else {
            self.begin(at);
            self.solve_plainly(at)?;
        }
        Ok(&self.solution)
    }

    fn begin(&mut self, at: Frequency) {
        if self.solution.frequency.as_hertz() == 0.0 {
            // DC may have left other nodes undetermined.
            self.solution.is_reached.clone_from(&self.shape.is_reached);
        }
        self.solution.frequency = at;
        self.bank.admit(&self.circuit, &[at]);
    }

    fn finish(&mut self, load: Complex64) {
        let Self { circuit, bank, solution, .. } = self;
        bank.expand(circuit, &self.reduction, &self.shape);
        solution.input_current = load * circuit.volts;
        for (kept, voltage) in solution.node_voltages.iter_mut().zip(&bank.node_voltages) {
            *kept = voltage.lane(0);
        }
        let kept = solution.voltages.iter_mut().zip(&mut solution.currents);
        for ((kept_voltage, kept_current), (voltage, current)) in kept.zip(bank.results(circuit)) {
            (*kept_voltage, *kept_current) = (voltage.lane(0), current.lane(0));
        }
    }

    fn solve_plainly(&mut self, at: Frequency) -> Result<(), SolveError> {
        if self.dense.is_none() {
            let numbered = Dense::of(&self.circuit, &self.shape.conditions, false);
            self.dense = Some(numbered.map_err(|element| self.ring(element))?);
        }
        let admittances: Vec<Complex64> = self.bank.admittances.iter().map(|lanes| lanes.lane(0)).collect();
        if let Some(dense) = &self.dense {
            let solved = dense.solve(&self.circuit, &admittances, at.as_hertz())?;
            self.solution.take(solved, &self.circuit, &self.shape, &admittances);
        }
        Ok(())
    }

    fn solve_direct(&mut self) -> Result<(), SolveError> {
        if self.direct.is_none() {
            let shape = Shape::of(&self.circuit, true);
            let numbered = Dense::of(&self.circuit, &shape.conditions, true);
            self.direct = Some((shape, numbered.map_err(|element| self.ring(element))?));
        }
        let laws = self.circuit.laws.iter();
        let admittances: Vec<Complex64> = laws.map(|law| Complex64::from(law.direct_admittance())).collect();
        if let Some((shape, dense)) = &self.direct {
            let solved = dense.solve(&self.circuit, &admittances, 0.0)?;
            self.solution.frequency = saturated(0.0);
            self.solution.is_reached.clone_from(&shape.is_reached);
            self.solution.take(solved, &self.circuit, shape, &admittances);
        }
        Ok(())
    }

    fn ring(&self, element: usize) -> SolveError {
        SolveError::InductorRing { element: self.names[element].clone() }
    }
}

impl Solution {
    /// Voltage and current of every element.
    pub(crate) fn results(&self) -> impl Iterator<Item = (Complex64, Complex64)> {
        self.voltages.iter().copied().zip(self.currents.iter().copied())
    }

    fn take(&mut self, solved: DenseSolution, circuit: &Circuit, shape: &Shape, admittances: &[Complex64]) {
        self.node_voltages = solved.node_voltages;
        self.input_current = solved.input_current;
        for &(node, held_by) in &shape.hanging {
            self.node_voltages[node] = self.node_voltages[held_by];
        }
        let results = self.voltages.iter_mut().zip(&mut self.currents);
        for ((voltage, current), branch) in results.zip(&circuit.branches) {
            *voltage = self.node_voltages[branch.plus] - self.node_voltages[branch.minus];
            *current = *voltage * admittances[branch.law];
        }
        for (element, current) in solved.inductor_currents {
            self.currents[element] = current;
        }
    }
}

impl Netlist {
    /// Solves the circuit at one frequency; 0 Hz is DC. For many frequencies use [`Self::sweep`] or a [`Solver`].
    ///
    /// # Errors
    /// As [`Solver::new`] and [`Solver::solve`].
    pub fn solve_at(&self, frequency: Frequency) -> Result<Solution, SolveError> {
        let mut solver = Solver::new(self)?;
        solver.solve(frequency)?;
        Ok(solver.solution)
    }

    /// Solves the circuit at DC: capacitors are breaks, inductors are wires.
    ///
    /// # Errors
    /// As [`Solver::new`] and [`Solver::solve`].
    pub fn solve_dc(&self) -> Result<Solution, SolveError> {
        self.solve_at(saturated(0.0))
    }

    /// How each element is connected, in the order of the elements.
    ///
    /// # Errors
    /// No amplifier; a dead short across it.
    pub fn conditions(&self) -> Result<Vec<Condition>, SolveError> {
        Ok(Shape::of(&Circuit::of(self)?, false).conditions)
    }
}

#[cfg(test)]
mod tests;
