//! A netlist with its wires merged into nodes, and what state each element is in before anything is computed.
//!
//! What it is: the practice of the reference digest on acoustics and electrics, section 1.2: merge first, report dead
//! shorts, parts that are not connected and speakers that are short-circuited, and only solve what is left.
//! What it is not: the solver.

use num_complex::Complex64;
use thiserror::Error;

use crate::joined::Joined;
use crate::lanes::{Angular, Lanes};
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

    /// Admittances in siemens above 0 Hz.
    pub(crate) fn admittances<const N: usize>(&self, at: &Angular<N>) -> Lanes<N> {
        match self {
            Self::Wire => Lanes::ZERO,
            Self::Part(Component::Resistor(value)) => Lanes::all(Complex64::from(1.0 / value.as_ohms())),
            Self::Part(Component::Capacitor(value)) => {
                Lanes::from_parts([0.0; N], at.omega.map(|omega| omega * value.as_farads()))
            }
            Self::Part(Component::Inductor(value)) => {
                Lanes::from_parts([0.0; N], at.inverse.map(|inverse| -inverse / value.as_henries()))
            }
            Self::Part(Component::Speaker(load)) => load.admittances(at),
        }
    }

    /// Admittance in siemens at DC. Capacitors are breaks; inductors are sources of 0 V there, not admittances.
    pub(crate) fn direct_admittance(&self) -> f64 {
        match self {
            Self::Wire | Self::Part(Component::Capacitor(_) | Component::Inductor(_)) => 0.0,
            Self::Part(Component::Resistor(value)) => 1.0 / value.as_ohms(),
            Self::Part(Component::Speaker(load)) => 1.0 / load.dc_resistance().as_ohms(),
        }
    }

    pub(crate) fn is_inductor(&self) -> bool {
        matches!(self, Self::Part(Component::Inductor(_)))
    }

    pub(crate) fn is_capacitor(&self) -> bool {
        matches!(self, Self::Part(Component::Capacitor(_)))
    }
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
}
