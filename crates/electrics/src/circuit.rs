//! A netlist with its wires merged into nodes, and what state each element is in before anything is computed.
//!
//! What it is: the practice of the reference digest on acoustics and electrics, section 1.2: merge first, report dead
//! shorts, parts that are not connected and speakers that are short-circuited, and only solve what is left.
//! What it is not: the solver.

use num_complex::Complex64;
use thiserror::Error;

use crate::coil::Angular;
use crate::joined::Joined;
use crate::netlist::{Component, Netlist};

/// Why a circuit has no solution.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SolveError {
    /// Nothing feeds the circuit.
    #[error("the circuit has no amplifier: say between which two terminals it is fed")]
    NoAmplifier,
    /// Wires join the two amplifier terminals.
    #[error("{plus} and {minus} of the amplifier are joined: a dead short, do not power")]
    DeadShort {
        /// The amplifier's plus terminal.
        plus: String,
        /// The amplifier's minus terminal.
        minus: String,
    },
    /// At DC an inductor without resistance is a short circuit, and these close a ring or bridge the amplifier:
    /// the current is not determined.
    #[error(
        "at DC {element} closes a ring of inductors without resistance: give one of them a series resistor"
    )]
    InductorRing {
        /// The inductor that closes it.
        element: String,
    },
    /// Inductors and capacitors without any resistance cancel at just this frequency.
    #[error("coils and capacitors cancel at {hertz} Hz: give them their resistance")]
    Cancelled {
        /// The frequency in hertz.
        hertz: f64,
    },
}

/// What state an element is in by the way it is connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// It lies on a way from one amplifier terminal to the other: it can carry current.
    Driven,
    /// It hangs on the fed circuit, but no current can pass through it: one end leads nowhere.
    OpenEnded,
    /// Nothing connects it with the amplifier.
    NotConnected,
    /// Both its terminals are joined: silent, and no load.
    ShortCircuited,
}

/// The impedance law of an element.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Law {
    /// No impedance at all: it has merged its terminals, and what runs through it is not told.
    Wire,
    /// A part with a value.
    Part(Component),
}

impl Law {
    fn of(component: &Component) -> Self {
        let is_wire = match component {
            Component::Resistor(value) => value.as_ohms() == 0.0,
            Component::Inductor(value) => value.as_henries() == 0.0,
            Component::Speaker(load) => load.dc_resistance().as_ohms() == 0.0,
            Component::Capacitor(_) => false,
        };
        if is_wire { Self::Wire } else { Self::Part(component.clone()) }
    }

    /// Admittance in siemens. At DC it is zero for inductors too: they are sources of 0 V there, not admittances.
    pub(crate) fn admittance(&self, angular: Angular) -> Complex64 {
        let omega = angular.omega;
        match self {
            Self::Wire => Complex64::ZERO,
            Self::Part(Component::Resistor(value)) => Complex64::new(1.0 / value.as_ohms(), 0.0),
            Self::Part(Component::Capacitor(value)) => Complex64::new(0.0, omega * value.as_farads()),
            Self::Part(Component::Inductor(_)) if omega == 0.0 => Complex64::ZERO,
            Self::Part(Component::Inductor(value)) => {
                Complex64::new(0.0, -1.0 / (omega * value.as_henries()))
            }
            Self::Part(Component::Speaker(load)) => reciprocal(load.at(angular)),
        }
    }

    pub(crate) fn is_inductor(&self) -> bool {
        matches!(self, Self::Part(Component::Inductor(_)))
    }

    pub(crate) fn is_capacitor(&self) -> bool {
        matches!(self, Self::Part(Component::Capacitor(_)))
    }
}

/// `1/z` by one division. Overflow is out of reach for impedances between 1 nΩ and 1 TΩ.
pub(crate) fn reciprocal(z: Complex64) -> Complex64 {
    let scale = 1.0 / (z.re * z.re + z.im * z.im);
    Complex64::new(z.re * scale, -z.im * scale)
}

/// An element between two nodes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Branch {
    pub(crate) plus: usize,
    pub(crate) minus: usize,
    /// Its place in [`Circuit::laws`].
    pub(crate) law: usize,
}

/// A netlist with merged nodes.
#[derive(Debug, Clone)]
pub(crate) struct Circuit {
    /// The node of every terminal.
    pub(crate) node_of: Vec<usize>,
    pub(crate) n_nodes: usize,
    /// Nodes of the amplifier: plus, minus.
    pub(crate) plus: usize,
    pub(crate) minus: usize,
    pub(crate) volts: f64,
    /// One per element, in their order.
    pub(crate) branches: Vec<Branch>,
    /// The distinct laws: equal speakers are worked out once.
    pub(crate) laws: Vec<Law>,
}

/// How many of the latest laws a new element is compared with; more would cost time on huge netlists and gain nothing.
const LAWS_COMPARED: usize = 16;

impl Circuit {
    pub(crate) fn of(netlist: &Netlist) -> Result<Self, SolveError> {
        let source = netlist.source().ok_or(SolveError::NoAmplifier)?;
        let mut laws: Vec<Law> = Vec::new();
        let mut law_of = Vec::with_capacity(netlist.element_list().len());
        let mut joined = Joined::apart(netlist.terminals().len());
        for &(from, to) in netlist.wire_list() {
            joined.join(from, to);
        }
        for element in netlist.element_list() {
            let law = Law::of(&element.component);
            if law == Law::Wire {
                joined.join(element.plus, element.minus);
            }
            let oldest = laws.len().saturating_sub(LAWS_COMPARED);
            let known = laws[oldest..].iter().position(|one| *one == law).map(|place| oldest + place);
            law_of.push(known.unwrap_or(laws.len()));
            if known.is_none() {
                laws.push(law);
            }
        }
        let (node_of, n_nodes) = joined.numbered();
        let branch = |(element, law): (&crate::Element, usize)| Branch {
            plus: node_of[element.plus],
            minus: node_of[element.minus],
            law,
        };
        let branches = netlist.element_list().iter().zip(law_of).map(branch).collect();
        let (plus, minus) = (node_of[source.plus], node_of[source.minus]);
        if plus == minus {
            let name = |terminal: Option<&str>| terminal.unwrap_or_default().to_owned();
            let terminals = netlist.amplifier_terminals();
            return Err(SolveError::DeadShort {
                plus: name(terminals.map(|(plus, _)| plus)),
                minus: name(terminals.map(|(_, minus)| minus)),
            });
        }
        Ok(Self { node_of, n_nodes, plus, minus, volts: source.volts, branches, laws })
    }

    /// The condition of every element. At DC a capacitor is a break, so what hangs behind one is not connected.
    pub(crate) fn conditions(&self, is_dc: bool) -> Vec<Condition> {
        let conducts = |branch: &Branch| self.conducts(branch, is_dc);
        let mut reached = Joined::apart(self.n_nodes);
        reached.join(self.plus, self.minus);
        for branch in self.branches.iter().filter(|branch| conducts(branch)) {
            reached.join(branch.plus, branch.minus);
        }
        let on_a_way = self.branches_on_a_way(conducts);
        let condition = |(branch, is_on_a_way): (&Branch, bool)| {
            if branch.plus == branch.minus {
                Condition::ShortCircuited
            } else if is_on_a_way {
                Condition::Driven
            } else if reached.is_joined(branch.plus, self.plus) || reached.is_joined(branch.minus, self.plus)
            {
                Condition::OpenEnded
            } else {
                Condition::NotConnected
            }
        };
        self.branches.iter().zip(on_a_way).map(condition).collect()
    }

    /// The nodes that hang on the fed circuit without current, each with the node whose voltage it shares, and
    /// whether the voltage of each node is determined at all.
    pub(crate) fn hanging(&self, conditions: &[Condition], is_dc: bool) -> (Vec<(usize, usize)>, Vec<bool>) {
        let mut is_fed = vec![false; self.n_nodes];
        (is_fed[self.plus], is_fed[self.minus]) = (true, true);
        let mut held = Joined::apart(self.n_nodes);
        for (branch, condition) in self.branches.iter().zip(conditions) {
            if *condition == Condition::Driven {
                (is_fed[branch.plus], is_fed[branch.minus]) = (true, true);
            } else if self.conducts(branch, is_dc) {
                held.join(branch.plus, branch.minus);
            }
        }
        let mut fed_node_of = vec![None; self.n_nodes];
        for node in (0..self.n_nodes).filter(|node| is_fed[*node]) {
            fed_node_of[held.find(node)] = Some(node);
        }
        let mut hanging = Vec::new();
        let mut is_reached = is_fed.clone();
        for node in (0..self.n_nodes).filter(|node| !is_fed[*node]) {
            if let Some(fed_node) = fed_node_of[held.find(node)] {
                hanging.push((node, fed_node));
                is_reached[node] = true;
            }
        }
        (hanging, is_reached)
    }

    fn conducts(&self, branch: &Branch, is_dc: bool) -> bool {
        branch.plus != branch.minus && !(is_dc && self.laws[branch.law].is_capacitor())
    }

    /// Whether each branch lies on a simple path from amplifier plus to minus: it then is in one biconnected block
    /// with the source. Depth-first search with low points (Tarjan 1972, from memory), begun by walking the source
    /// itself from plus to minus and kept on a stack of its own, so that a long chain cannot exhaust ours.
    fn branches_on_a_way(&self, conducts: impl Fn(&Branch) -> bool) -> Vec<bool> {
        let mut edges_at: Vec<Vec<(usize, usize)>> = vec![Vec::new(); self.n_nodes];
        for (edge, branch) in self.branches.iter().enumerate().filter(|(_, branch)| conducts(branch)) {
            edges_at[branch.plus].push((edge, branch.minus));
            edges_at[branch.minus].push((edge, branch.plus));
        }
        let mut entered = vec![0_usize; self.n_nodes];
        let mut low = vec![0_usize; self.n_nodes];
        let mut next_edge = vec![0_usize; self.n_nodes];
        (entered[self.plus], entered[self.minus], low[self.minus]) = (1, 2, 1);
        let mut n_entered = 2;
        let mut path: Vec<(usize, usize)> = vec![(self.minus, usize::MAX)];
        let mut open_edges: Vec<usize> = Vec::new();
        while let Some(&(node, by_edge)) = path.last() {
            if let Some(&(edge, other)) = edges_at[node].get(next_edge[node]) {
                next_edge[node] += 1;
                if edge == by_edge {
                    continue;
                }
                if entered[other] == 0 {
                    n_entered += 1;
                    (entered[other], low[other]) = (n_entered, n_entered);
                    open_edges.push(edge);
                    path.push((other, edge));
                } else if entered[other] < entered[node] {
                    open_edges.push(edge);
                    low[node] = low[node].min(entered[other]);
                }
                continue;
            }
            path.pop();
            let Some(&(parent, _)) = path.last() else { break };
            low[parent] = low[parent].min(low[node]);
            if low[node] >= entered[parent] {
                // The block below this edge hangs on `parent` alone: no way leads through it.
                while open_edges.pop().is_some_and(|edge| edge != by_edge) {}
            }
        }
        let mut is_on_a_way = vec![false; self.branches.len()];
        for edge in open_edges {
            is_on_a_way[edge] = true;
        }
        is_on_a_way
    }
}
