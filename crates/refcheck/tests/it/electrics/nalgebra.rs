//! The LU decomposition of nalgebra on the same random circuits: a second opinion that shares neither our merging of
//! wires (a wire is a source of 0 V here) nor our elimination. Tolerance 1e-9: conditioning of random circuits.

use nalgebra::{DMatrix, DVector};
use num_complex::Complex64;

use super::cases::hertz;
use super::random::{Circuit, Dice, Part};

#[test]
fn random_circuits_agree_with_nalgebra() {
    let mut dice = Dice::new(2);
    for _ in 0..400 {
        let circuit = Circuit::thrown(&mut dice);
        let (netlist, _) = circuit.netlist();
        let grid = [20.0, 97.0, 440.0, 1234.5, 6000.0, 20_000.0].map(hertz);
        let sweep = netlist.sweep(&grid).unwrap();
        for (place, frequency) in grid.into_iter().enumerate() {
            let expected = solved(&circuit, frequency.as_hertz());
            let solution = netlist.solve_at(frequency).unwrap();
            for (node, expected) in expected.nodes.iter().enumerate() {
                let found = solution.voltage_between(&netlist, &format!("n{node}"), "n0").unwrap();
                assert!((found - expected).norm() <= 1e-9, "{frequency}, node {node}: {circuit:?}");
            }
            for impedance in [solution.impedance().unwrap(), sweep.impedances()[place].unwrap()] {
                assert!(
                    (impedance - expected.load).norm() <= 1e-9 * expected.load.norm(),
                    "{frequency}: {circuit:?}"
                );
            }
        }
    }
}

struct Solved {
    nodes: Vec<Complex64>,
    load: Complex64,
}

/// Modified nodal analysis: voltages of all nodes but node 0, then the currents of the amplifier and of the wires.
fn solved(circuit: &Circuit, hertz: f64) -> Solved {
    let n = circuit.n_nodes - 1 + 1 + circuit.wires.len();
    let mut matrix = DMatrix::<Complex64>::zeros(n, n);
    let mut right = DVector::<Complex64>::zeros(n);
    for (part, [from, to]) in &circuit.parts {
        let admittance = impedance(*part, std::f64::consts::TAU * hertz).inv();
        for (row, column, sign) in [(from, from, 1.0), (to, to, 1.0), (from, to, -1.0), (to, from, -1.0)] {
            if *row > 0 && *column > 0 {
                matrix[(row - 1, column - 1)] += admittance * sign;
            }
        }
    }
    let sources = [&[1, 0]].into_iter().chain(&circuit.wires);
    for (source, [plus, minus]) in sources.enumerate() {
        let unknown = circuit.n_nodes - 1 + source;
        for (node, sign) in [(plus, 1.0), (minus, -1.0)] {
            if *node > 0 {
                matrix[(node - 1, unknown)] += sign;
                matrix[(unknown, node - 1)] += sign;
            }
        }
    }
    right[circuit.n_nodes - 1] = Complex64::ONE;
    let solution = matrix.lu().solve(&right).unwrap();
    let voltages =
        (0..circuit.n_nodes).map(|node| if node == 0 { Complex64::ZERO } else { solution[node - 1] });
    Solved { nodes: voltages.collect(), load: -solution[circuit.n_nodes - 1].inv() }
}

/// Impedances by their defining formulas (digest, sections 2.2 and 2.3), written again.
fn impedance(part: Part, omega: f64) -> Complex64 {
    let j = Complex64::I;
    match part {
        Part::Resistor(value) => Complex64::from(value),
        Part::Capacitor(value) => (j * omega * value).inv(),
        Part::Inductor { henries, ohms } => ohms + j * omega * henries,
        Part::Driver { re, le, l2, r2, bl, mms, cms, rms, box_stiffness } => {
            let coil = re + j * omega * le + (j * omega * l2 * r2) / (r2 + j * omega * l2);
            let mechanical = j * omega * mms + rms + (1.0 / cms + box_stiffness) / (j * omega);
            coil + bl * bl / mechanical
        }
    }
}
