//! Random circuits, the same in every run, for the checks against other solvers. No cases of its own.

use electrics::{CoilModel, DriverImpedance, ElementId, Load, Motional, Netlist};
use quantities::{Capacitance, Compliance, ForceFactor, Mass, MechanicalResistance};

use super::cases::{henries, ohms, volts};

/// A generator of numbers that look random: xorshift64* (Vigna 2016, from memory).
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    pub(super) fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() >> 33).unwrap() % n
    }

    /// Between two values, evenly over the logarithm.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = f64::from(u32::try_from(self.next() >> 32).unwrap()) / f64::from(u32::MAX);
        low * (high / low).powf(share)
    }
}

/// A part in plain numbers, SI units.
#[derive(Debug, Clone, Copy)]
pub(super) enum Part {
    Resistor(f64),
    Capacitor(f64),
    /// With the resistance of its winding in series.
    Inductor {
        henries: f64,
        ohms: f64,
    },
    Driver {
        re: f64,
        le: f64,
        l2: f64,
        r2: f64,
        bl: f64,
        mms: f64,
        cms: f64,
        rms: f64,
        box_stiffness: f64,
    },
}

/// A circuit on numbered nodes; the amplifier of 1 V feeds node 1 against node 0.
#[derive(Debug)]
pub(super) struct Circuit {
    pub(super) n_nodes: usize,
    pub(super) parts: Vec<(Part, [usize; 2])>,
    pub(super) wires: Vec<[usize; 2]>,
}

impl Circuit {
    /// Every node has a resistive way to node 0; no wires close a ring or short the amplifier.
    pub(super) fn thrown(dice: &mut Dice) -> Self {
        let n_nodes = 2 + dice.below(8);
        let mut parts: Vec<(Part, [usize; 2])> = Vec::new();
        for node in 1..n_nodes {
            let part =
                if dice.below(2) == 0 { Part::Resistor(dice.between(1.0, 50.0)) } else { driver(dice) };
            parts.push((part, [node, dice.below(node)]));
        }
        for _ in 0..dice.below(10) {
            let part = match dice.below(5) {
                0 => Part::Resistor(dice.between(0.1, 200.0)),
                1 => Part::Capacitor(dice.between(1e-7, 1e-3)),
                2 => Part::Inductor { henries: dice.between(1e-5, 1e-2), ohms: dice.between(0.05, 2.0) },
                _ => driver(dice),
            };
            let from = dice.below(n_nodes);
            let to = (from + 1 + dice.below(n_nodes - 1)) % n_nodes;
            parts.push((part, [from, to]));
        }
        let mut circuit = Self { n_nodes, parts, wires: Vec::new() };
        for _ in 0..dice.below(3) {
            circuit.add_wire([dice.below(n_nodes), dice.below(n_nodes)]);
        }
        circuit
    }

    fn add_wire(&mut self, wire: [usize; 2]) {
        // Groups by repeated relabelling: slow, plain, and not the code under test.
        let mut group: Vec<usize> = (0..self.n_nodes).collect();
        for [from, to] in &self.wires {
            let (kept, gone) = (group[*from], group[*to]);
            group.iter_mut().filter(|one| **one == gone).for_each(|one| *one = kept);
        }
        let (from, to) = (group[wire[0]], group[wire[1]]);
        let amplifier = [group[0], group[1]];
        if from != to && !(amplifier.contains(&from) && amplifier.contains(&to)) {
            self.wires.push(wire);
        }
    }

    /// The circuit for our room, with the element that stands for each part (for an inductor, its winding's resistance).
    pub(super) fn netlist(&self) -> (Netlist, Vec<ElementId>) {
        let mut netlist = Netlist::new();
        netlist.amplifier("n1", "n0", volts(1.0)).unwrap();
        let mut ids = Vec::new();
        for (place, (part, nodes)) in self.parts.iter().enumerate() {
            let [from, to] = nodes.map(|node| format!("n{node}"));
            let (name, inner) = (format!("e{place}"), format!("x{place}"));
            let id = match *part {
                Part::Resistor(value) => netlist.resistor(&name, &from, &to, ohms(value)),
                Part::Capacitor(value) => {
                    netlist.capacitor(&name, &from, &to, Capacitance::from_farads(value).unwrap())
                }
                Part::Inductor { henries: value, ohms: winding } => {
                    netlist.inductor(&format!("l{place}"), &inner, &to, henries(value)).unwrap();
                    netlist.resistor(&name, &from, &inner, ohms(winding))
                }
                Part::Driver { .. } => netlist.speaker(&name, &from, &to, Load::Driver(impedance(*part))),
            };
            ids.push(id.unwrap());
        }
        for [from, to] in &self.wires {
            netlist.wire(&format!("n{from}"), &format!("n{to}"));
        }
        (netlist, ids)
    }
}

fn driver(dice: &mut Dice) -> Part {
    Part::Driver {
        re: dice.between(2.8, 32.0),
        le: dice.between(2e-5, 5e-4),
        l2: dice.between(1e-5, 5e-4),
        r2: dice.between(1.0, 30.0),
        bl: dice.between(0.5, 5.0),
        mms: dice.between(5e-5, 2e-3),
        cms: dice.between(5e-5, 2e-3),
        rms: dice.between(0.05, 1.0),
        box_stiffness: dice.between(200.0, 20_000.0),
    }
}

fn impedance(part: Part) -> DriverImpedance {
    let Part::Driver { re, le, l2, r2, bl, mms, cms, rms, box_stiffness } = part else {
        panic!("{part:?} is no driver")
    };
    let coil = CoilModel::Lr2 { le: henries(le), l2: henries(l2), r2: ohms(r2) };
    let motional = Motional {
        bl: ForceFactor::from_tesla_metres(bl).unwrap(),
        mms: Mass::from_kilograms(mms).unwrap(),
        cms: Compliance::from_metres_per_newton(cms).unwrap(),
        rms: MechanicalResistance::from_newton_seconds_per_metre(rms).unwrap(),
        box_stiffness,
    };
    DriverImpedance::new(ohms(re), coil, Some(motional)).unwrap()
}
