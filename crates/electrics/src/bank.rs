//! One circuit at N frequencies at once, by the fast path.
//!
//! What it is: the memory of a solved circuit, allocated once: admittances, the numbers of the reduction, node voltages.
//! What it is not: able to do DC or cancelling frequencies; see [`crate::dense`].

use num_complex::Complex64;
use quantities::Frequency;

use crate::circuit::Circuit;
use crate::lanes::{Angular, Lanes};
use crate::reduction::{Cancelled, Numbers, Reduction};
use crate::shape::Shape;

/// The numbers of one circuit at N frequencies.
#[derive(Debug, Clone)]
pub(crate) struct Bank<const N: usize> {
    /// By law.
    pub(crate) admittances: Vec<Lanes<N>>,
    numbers: Numbers<N>,
    /// Against amplifier minus; zero where no current reaches.
    pub(crate) node_voltages: Vec<Lanes<N>>,
}

impl<const N: usize> Bank<N> {
    pub(crate) fn of(circuit: &Circuit, reduction: &Reduction) -> Self {
        Self {
            admittances: vec![Lanes::ZERO; circuit.laws.len()],
            numbers: reduction.numbers(),
            node_voltages: vec![Lanes::ZERO; circuit.n_nodes],
        }
    }

    /// Works out the laws; all frequencies above 0 Hz.
    pub(crate) fn admit(&mut self, circuit: &Circuit, frequencies: &[Frequency; N]) {
        let angular = Angular::of(frequencies);
        for (admittance, law) in self.admittances.iter_mut().zip(&circuit.laws) {
            *admittance = law.admittances(&angular);
        }
    }

    /// The admittance that the amplifier sees; call it after [`Self::admit`].
    pub(crate) fn reduce(&mut self, reduction: &Reduction) -> Result<Lanes<N>, Cancelled> {
        reduction.reduce(&self.admittances, &mut self.numbers)
    }

    /// Every node voltage; call it after [`Self::reduce`].
    pub(crate) fn expand(&mut self, circuit: &Circuit, reduction: &Reduction, shape: &Shape) {
        self.node_voltages[circuit.plus] = Lanes::all(Complex64::from(circuit.volts));
        self.node_voltages[circuit.minus] = Lanes::ZERO;
        reduction.expand(&self.numbers, &mut self.node_voltages);
        for &(node, held_by) in &shape.hanging {
            self.node_voltages[node] = self.node_voltages[held_by];
        }
    }

    /// Voltage and current of every element; call it after [`Self::expand`].
    pub(crate) fn results(&self, circuit: &Circuit) -> impl Iterator<Item = (Lanes<N>, Lanes<N>)> {
        circuit.branches.iter().map(|branch| {
            let voltage = self.node_voltages[branch.plus] - self.node_voltages[branch.minus];
            (voltage, voltage * self.admittances[branch.law])
        })
    }
}
