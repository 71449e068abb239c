//! A circuit over a grid of frequencies, and the grids.
//!
//! What it is: the results of [`crate::Solver`] at many frequencies, kept side by side.
//! What it is not: a judgement of the load; that is [`crate::LoadCurve`].

use num_complex::Complex64;
use quantities::{Frequency, Power};

use crate::bank::Bank;
use crate::circuit::SolveError;
use crate::lanes::Lanes;
use crate::netlist::{ElementId, Netlist};
use crate::saturated::saturated;
use crate::solver::Solver;

/// Frequencies from `from` to `to`, both included, with `per_octave` equal steps to the octave (the last step may be
/// shorter). Empty if `from` is zero or above `to`, or with no steps to the octave.
///
/// ```
/// use quantities::Frequency;
/// let hertz = |hertz| Frequency::from_hertz(hertz).unwrap();
/// let octaves = electrics::frequencies(hertz(125.0), hertz(8000.0), 1);
/// assert_eq!(octaves.len(), 7);
/// assert_eq!(octaves[3], hertz(1000.0));
/// ```
#[must_use]
pub fn frequencies(from: Frequency, to: Frequency, per_octave: u32) -> Vec<Frequency> {
    let (low, high) = (from.as_hertz(), to.as_hertz());
    if low <= 0.0 || low > high || per_octave == 0 {
        return Vec::new();
    }
    let step = |step_idx: u32| low * (f64::from(step_idx) / f64::from(per_octave)).exp2();
    // A step that rounding puts within a billionth of the end is the end.
    let mut grid: Vec<Frequency> =
        (0..).map(step).take_while(|hertz| *hertz < high * (1.0 - 1e-9)).map(saturated).collect();
    grid.push(to);
    grid
}

/// The grid of the reference digest on acoustics and electrics, section 1.2: 50 Hz to 10 kHz, 24 steps to the octave.
#[must_use]
pub fn audio_frequencies() -> Vec<Frequency> {
    frequencies(saturated(50.0), saturated(10_000.0), 24)
}

/// Voltages and currents of a circuit at many frequencies.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    frequencies: Vec<Frequency>,
    source: f64,
    n_elements: usize,
    impedances: Vec<Option<Complex64>>,
    /// Frequency by frequency, element by element: voltage and current.
    results: Vec<(Complex64, Complex64)>,
}

impl Sweep {
    /// The frequencies, as they were asked for.
    #[must_use]
    pub fn frequencies(&self) -> &[Frequency] {
        &self.frequencies
    }

    /// The RMS voltage of the amplifier, in volts.
    #[must_use]
    pub fn source_volts(&self) -> f64 {
        self.source
    }

    /// What the amplifier sees at each frequency, in ohms; none where no current can flow.
    #[must_use]
    pub fn impedances(&self) -> &[Option<Complex64>] {
        &self.impedances
    }

    /// The voltage across an element at each frequency, plus against minus, in volts.
    pub fn voltages(&self, id: ElementId) -> impl ExactSizeIterator<Item = Complex64> {
        self.results.iter().skip(id.index()).step_by(self.n_elements).map(|(voltage, _)| *voltage)
    }

    /// The current through an element at each frequency, from plus to minus, in amperes.
    pub fn currents(&self, id: ElementId) -> impl ExactSizeIterator<Item = Complex64> {
        self.results.iter().skip(id.index()).step_by(self.n_elements).map(|(_, current)| *current)
    }

    /// The power of an element at each frequency.
    pub fn powers(&self, id: ElementId) -> impl ExactSizeIterator<Item = Power> {
        let results = self.results.iter().skip(id.index()).step_by(self.n_elements);
        results.map(|(voltage, current)| saturated((voltage * current.conj()).re))
    }
}

impl Netlist {
    /// Solves the circuit at every frequency of a grid.
    ///
    /// # Errors
    /// As [`Solver::new`] and [`Solver::solve`].
    pub fn sweep(&self, frequencies: &[Frequency]) -> Result<Sweep, SolveError> {
        Solver::new(self)?.sweep(frequencies)
    }
}

/// How many frequencies are worked side by side; with twelve speakers eight took less time than four or sixteen.
const LANES: usize = 8;

impl Solver {
    /// Solves the circuit at every frequency of a grid.
    ///
    /// # Errors
    /// As [`Solver::solve`].
    pub fn sweep(&mut self, frequencies: &[Frequency]) -> Result<Sweep, SolveError> {
        let n_elements = self.circuit.branches.len();
        let mut sweep = Sweep {
            frequencies: frequencies.to_vec(),
            source: self.circuit.volts,
            n_elements: n_elements.max(1),
            impedances: Vec::with_capacity(frequencies.len()),
            results: Vec::with_capacity(frequencies.len() * n_elements),
        };
        let mut bank = Bank::<LANES>::of(&self.circuit, &self.reduction);
        for chunk in frequencies.chunks(LANES) {
            if let Some(load) = self.reduce_many(chunk, &mut bank) {
                bank.expand(&self.circuit, &self.reduction, &self.shape);
                let first = sweep.results.len();
                sweep.results.resize(first + chunk.len() * n_elements, (Complex64::ZERO, Complex64::ZERO));
                for (element, (voltage, current)) in bank.results(&self.circuit).enumerate() {
                    for lane in 0..chunk.len() {
                        sweep.results[first + lane * n_elements + element] =
                            (voltage.lane(lane), current.lane(lane));
                    }
                }
                sweep.impedances.extend((0..chunk.len()).map(|lane| impedance_of(load.lane(lane))));
                continue;
            }
            for &frequency in chunk {
                let solution = self.solve(frequency)?;
                sweep.impedances.push(solution.impedance());
                sweep.results.extend(solution.results());
            }
        }
        Ok(sweep)
    }

    /// What the amplifier sees at every frequency of a grid, in ohms, without working out the inside: about twice as
    /// fast as [`Self::sweep`].
    ///
    /// # Errors
    /// As [`Solver::solve`].
    pub fn impedances(&mut self, frequencies: &[Frequency]) -> Result<Vec<Option<Complex64>>, SolveError> {
        let mut impedances = Vec::with_capacity(frequencies.len());
        let mut bank = Bank::<LANES>::of(&self.circuit, &self.reduction);
        for chunk in frequencies.chunks(LANES) {
            if let Some(load) = self.reduce_many(chunk, &mut bank) {
                impedances.extend((0..chunk.len()).map(|lane| impedance_of(load.lane(lane))));
                continue;
            }
            for &frequency in chunk {
                impedances.push(self.solve(frequency)?.impedance());
            }
        }
        Ok(impedances)
    }

    /// The admittance at up to [`LANES`] frequencies; none if one of them is DC or has parts that cancel, so that
    /// each must be solved by itself.
    fn reduce_many(&self, frequencies: &[Frequency], bank: &mut Bank<LANES>) -> Option<Lanes<LANES>> {
        let last = *frequencies.last()?;
        if frequencies.iter().any(|frequency| frequency.as_hertz() == 0.0) {
            return None;
        }
        let side_by_side = std::array::from_fn(|lane| frequencies.get(lane).copied().unwrap_or(last));
        bank.admit(&self.circuit, &side_by_side);
        bank.reduce(&self.reduction).ok()
    }
}

fn impedance_of(admittance: Complex64) -> Option<Complex64> {
    Some(admittance.inv()).filter(|impedance| impedance.is_finite())
}
