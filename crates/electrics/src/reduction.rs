//! The fast path: the circuit reduced node by node to the one admittance that the amplifier sees.
//!
//! What it is: star-mesh elimination (Campbell 1911, Rosen 1924, from memory). Eliminating node k with admittances
//! `y_ki` to its neighbours puts `y_ki·y_kj / Σ y_k` between every two of them; a node with two neighbours is plain
//! series connection, two admittances between the same nodes are plain parallel connection. It is nodal analysis in a
//! fixed order chosen beforehand (fewest neighbours first), on the nodes that are there and no others, and it never
//! subtracts.
//! What it is not: safe for circuits in which coils and capacitors without resistance cancel at a node. It notices
//! (the sum is small against its parts) and leaves such a frequency to the pivoting solver, [`crate::dense`].

use std::collections::BTreeMap;

use crate::circuit::{Circuit, Condition};
use crate::lanes::Lanes;

/// Below this share of its parts a sum of admittances has lost too many digits: about eleven are left.
const CANCELLED: f64 = 1e-5;

/// One elimination: a node, its neighbours, and where the products go.
#[derive(Debug, Clone)]
struct Step {
    node: usize,
    /// Range in [`Reduction::neighbours`].
    first: usize,
    end: usize,
    /// Where its first product goes, in [`Reduction::products`].
    first_product: usize,
}

/// The order of elimination of one circuit, for any frequency above 0 Hz.
#[derive(Debug, Clone)]
pub(crate) struct Reduction {
    /// Branch law and slot of every element that can carry current.
    stamps: Vec<(usize, usize)>,
    steps: Vec<Step>,
    /// Slot and node of every neighbour, step by step.
    neighbours: Vec<(usize, usize)>,
    /// The slot of every pair of neighbours, step by step.
    products: Vec<usize>,
    /// The slot between the amplifier's terminals, if anything comes to lie there.
    load: Option<usize>,
    n_slots: usize,
}

/// The numbers of a reduction at N frequencies.
#[derive(Debug, Clone)]
pub(crate) struct Numbers<const N: usize> {
    /// One admittance per pair of nodes that ever are neighbours.
    slots: Vec<Lanes<N>>,
    /// `y_kj / Σ y_k` of every neighbour, for the way back.
    shares: Vec<Lanes<N>>,
}

/// Coils and capacitors cancelled at some node: the pivoting solver has to do this frequency.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cancelled;

impl Reduction {
    pub(crate) fn of(circuit: &Circuit, conditions: &[Condition]) -> Self {
        let mut planner = Planner { slot_of: BTreeMap::new(), around: vec![Vec::new(); circuit.n_nodes] };
        let mut stamps = Vec::new();
        for (branch, condition) in circuit.branches.iter().zip(conditions) {
            if *condition == Condition::Driven {
                stamps.push((branch.law, planner.slot(branch.plus, branch.minus)));
            }
        }
        let (steps, neighbours, products) = planner.eliminate_all_but([circuit.plus, circuit.minus]);
        let load = planner.slot_of.get(&pair(circuit.plus, circuit.minus)).copied();
        Self { stamps, steps, neighbours, products, load, n_slots: planner.slot_of.len() }
    }

    /// Room for the numbers at N frequencies.
    pub(crate) fn numbers<const N: usize>(&self) -> Numbers<N> {
        Numbers { slots: vec![Lanes::ZERO; self.n_slots], shares: vec![Lanes::ZERO; self.neighbours.len()] }
    }

    /// The admittance between the amplifier's terminals; zero for an open circuit.
    pub(crate) fn reduce<const N: usize>(
        &self,
        admittances: &[Lanes<N>],
        Numbers { slots, shares }: &mut Numbers<N>,
    ) -> Result<Lanes<N>, Cancelled> {
        slots.fill(Lanes::ZERO);
        for &(law, slot) in &self.stamps {
            slots[slot] += admittances[law];
        }
        for step in &self.steps {
            let neighbours = &self.neighbours[step.first..step.end];
            let mut sum = Lanes::ZERO;
            let mut parts = [0.0; N];
            for &(slot, _) in neighbours {
                sum += slots[slot];
                let sizes = slots[slot].size();
                for lane in 0..N {
                    parts[lane] += sizes[lane];
                }
            }
            let is_sound = sum.size().iter().zip(parts).all(|(sum, parts)| *sum > CANCELLED * parts);
            if !is_sound {
                return Err(Cancelled);
            }
            let scale = sum.reciprocal();
            let mut products = self.products[step.first_product..].iter();
            for (place, &(slot, _)) in neighbours.iter().enumerate() {
                let share = slots[slot] * scale;
                shares[step.first + place] = share;
                for (&(before, _), &into) in neighbours[..place].iter().zip(&mut products) {
                    let through = slots[before] * share;
                    slots[into] += through;
                }
            }
        }
        Ok(self.load.map_or(Lanes::ZERO, |slot| slots[slot]))
    }

    /// The voltages of the eliminated nodes, from those of the two that were left; call it after [`Self::reduce`].
    pub(crate) fn expand<const N: usize>(&self, numbers: &Numbers<N>, node_voltages: &mut [Lanes<N>]) {
        for step in self.steps.iter().rev() {
            let mut voltage = Lanes::ZERO;
            for (place, &(_, node)) in self.neighbours[step.first..step.end].iter().enumerate() {
                voltage += numbers.shares[step.first + place] * node_voltages[node];
            }
            node_voltages[step.node] = voltage;
        }
    }
}

fn pair(a: usize, b: usize) -> (usize, usize) {
    (a.min(b), a.max(b))
}

/// The circuit's shape while the order is being chosen.
struct Planner {
    slot_of: BTreeMap<(usize, usize), usize>,
    around: Vec<Vec<usize>>,
}

impl Planner {
    /// The slot between two nodes, a new one if they were not neighbours.
    fn slot(&mut self, a: usize, b: usize) -> usize {
        let n_slots = self.slot_of.len();
        let slot = *self.slot_of.entry(pair(a, b)).or_insert(n_slots);
        if slot == n_slots {
            self.around[a].push(b);
            self.around[b].push(a);
        }
        slot
    }

    /// Eliminates every node that has neighbours, except two: always one with the fewest.
    fn eliminate_all_but(&mut self, kept: [usize; 2]) -> (Vec<Step>, Vec<(usize, usize)>, Vec<usize>) {
        let (mut steps, mut neighbours, mut products) = (Vec::new(), Vec::new(), Vec::new());
        let mut waiting: std::collections::BTreeSet<(usize, usize)> = (0..self.around.len())
            .filter(|node| !kept.contains(node) && !self.around[*node].is_empty())
            .map(|node| (self.around[node].len(), node))
            .collect();
        while let Some((_, node)) = waiting.pop_first() {
            let around = std::mem::take(&mut self.around[node]);
            let (first, first_product) = (neighbours.len(), products.len());
            for &other in &around {
                waiting.remove(&(self.around[other].len(), other));
                self.around[other].retain(|one| *one != node);
            }
            for (place, &other) in around.iter().enumerate() {
                neighbours.push((self.slot(node, other), other));
                for &before in &around[..place] {
                    products.push(self.slot(other, before));
                }
            }
            for &other in around.iter().filter(|other| !kept.contains(other)) {
                waiting.insert((self.around[other].len(), other));
            }
            steps.push(Step { node, first, end: neighbours.len(), first_product });
        }
        (steps, neighbours, products)
    }
}
