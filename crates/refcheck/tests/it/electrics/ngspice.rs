//! ngspice, the circuit simulator, on random circuits: every node voltage and the load, at DC and from 20 Hz to 20 kHz.
//!
//! Its decks hold a driver as the electrical equivalent of the digest, section 2.2: `Cmes = Mms/Bl²`,
//! `Lces = Bl²·Cms`, `Res = Bl²/Rms`, `Lceb = Bl²/k_box`, in parallel behind the coil. Tolerance: 1e-6 of the amplifier's
//! voltage and of the load, far above the difference that was seen (3e-12), far below any mistake of a formula.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use num_complex::Complex64;

use super::cases::hertz;
use super::random::{Circuit, Dice, Part};

const N_CIRCUITS: usize = 240;
/// So many circuits stand side by side in one deck: few processes, and matrices of a size that ngspice does quickly.
const PER_DECK: usize = 60;
const TOLERANCE: f64 = 1e-6;

#[test]
fn random_circuits_agree_with_ngspice() {
    let mut dice = Dice::new(1);
    let circuits: Vec<Circuit> = (0..N_CIRCUITS).map(|_| Circuit::thrown(&mut dice)).collect();
    let mut n_compared = 0;
    for (deck_number, circuits) in circuits.chunks(PER_DECK).enumerate() {
        let (alternating, direct) = run(circuits, deck_number);
        assert_eq!((alternating.len(), direct.len()), (13, 1), "frequencies that ngspice answered");
        for row in alternating.iter().chain(&direct) {
            let mut answers = row.values.iter();
            for circuit in circuits {
                let currents_and_nodes: Vec<Complex64> =
                    answers.by_ref().take(circuit.n_nodes).copied().collect();
                compare(circuit, row.frequency, &currents_and_nodes);
                n_compared += 1;
            }
        }
    }
    assert_eq!(n_compared, N_CIRCUITS * 14);
}

/// The first answer is the current of the source, the others are the voltages of nodes 1 and up.
fn compare(circuit: &Circuit, frequency: f64, answers: &[Complex64]) {
    let (netlist, _) = circuit.netlist();
    // The quick way and the plain one are both held against ngspice.
    let mut solver = electrics::Solver::new(&netlist).unwrap();
    for solution in [
        solver.solve(hertz(frequency)).unwrap().clone(),
        solver.solve_by_pivoting(hertz(frequency)).unwrap().clone(),
    ] {
        // ngspice counts the current into the source's plus terminal.
        let load = -answers[0].inv();
        let found = solution.impedance().unwrap();
        assert!(
            (found - load).norm() <= TOLERANCE * load.norm(),
            "{frequency} Hz: {found}, ngspice {load}: {circuit:?}"
        );
        for (node, expected) in answers.iter().enumerate().skip(1) {
            let found = solution.voltage_between(&netlist, &format!("n{node}"), "n0").unwrap();
            assert!(
                (found - expected).norm() <= TOLERANCE,
                "{frequency} Hz, node {node}: {found}, ngspice {expected}: {circuit:?}"
            );
        }
    }
}

/// One frequency of an answer.
struct Row {
    frequency: f64,
    values: Vec<Complex64>,
}

/// Runs circuits side by side, over frequency and at DC.
fn run(circuits: &[Circuit], deck_number: usize) -> (Vec<Row>, Vec<Row>) {
    let folder: PathBuf = std::env::temp_dir().join(format!("refcheck-{}-{deck_number}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("deck.cir"), deck(circuits)).unwrap();
    let ran = Command::new("ngspice")
        .args(["-b", "deck.cir"])
        .current_dir(&folder)
        .stdin(Stdio::null())
        .output()
        .expect("this check needs ngspice: install the package ngspice (on Debian: apt-get install ngspice)");
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap_or_default();
    let answers = (rows(&read("ac.txt"), true), rows(&read("op.txt"), false));
    std::fs::remove_dir_all(&folder).unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    answers
}

fn deck(circuits: &[Circuit]) -> String {
    let mut deck = "* random circuits\n".to_owned();
    let mut vectors = String::new();
    for (k, circuit) in circuits.iter().enumerate() {
        let node = |node: usize| if node == 0 { "0".to_owned() } else { format!("c{k}n{node}") };
        let mut line = |text: String| writeln!(deck, "{text}").unwrap();
        line(format!("V{k} {} 0 DC 1 AC 1", node(1)));
        write!(vectors, " i(V{k})").unwrap();
        (1..circuit.n_nodes).for_each(|n| write!(vectors, " v({})", node(n)).unwrap());
        for (place, (part, [from, to])) in circuit.parts.iter().enumerate() {
            let (name, from, to) = (format!("{k}_{place}"), node(*from), node(*to));
            let inner = |letter: char| format!("{letter}{k}_{place}");
            match *part {
                Part::Resistor(value) => line(format!("R{name} {from} {to} {value:e}")),
                Part::Capacitor(value) => line(format!("C{name} {from} {to} {value:e}")),
                Part::Inductor { henries, ohms } => {
                    line(format!("R{name} {from} {} {ohms:e}", inner('x')));
                    line(format!("L{name} {} {to} {henries:e}", inner('x')));
                }
                Part::Driver { re, le, l2, r2, bl, mms, cms, rms, box_stiffness } => {
                    let square = bl * bl;
                    line(format!("R{name} {from} {} {re:e}", inner('x')));
                    line(format!("L{name} {} {} {le:e}", inner('x'), inner('y')));
                    line(format!("LS{name} {} {} {l2:e}", inner('y'), inner('z')));
                    line(format!("RS{name} {} {} {r2:e}", inner('y'), inner('z')));
                    line(format!("CM{name} {} {to} {:e}", inner('z'), mms / square));
                    line(format!("RM{name} {} {to} {:e}", inner('z'), square / rms));
                    // Two inductors in parallel would be a ring without resistance at DC: 1/L adds.
                    let stiffness = 1.0 / cms + box_stiffness;
                    line(format!("LM{name} {} {to} {:e}", inner('z'), square / stiffness));
                }
            }
        }
        for (place, [from, to]) in circuit.wires.iter().enumerate() {
            line(format!("VW{k}_{place} {} {} 0", node(*from), node(*to)));
        }
    }
    write!(
        deck,
        ".control\nset numdgt=15\nset wr_singlescale\nac dec 4 20 20k\nwrdata ac.txt{vectors}\nop\nwrdata op.txt{vectors}\nquit 0\n.endc\n.end\n"
    )
    .unwrap();
    deck
}

/// Rows of a scale and then the vectors, complex ones as two columns.
fn rows(text: &str, is_complex: bool) -> Vec<Row> {
    let row = |line: &str| {
        let numbers: Vec<f64> = line.split_whitespace().map(|number| number.parse().unwrap()).collect();
        let values = match is_complex {
            true => numbers[1..].chunks_exact(2).map(|pair| Complex64::new(pair[0], pair[1])).collect(),
            false => numbers[1..].iter().map(|number| Complex64::from(*number)).collect(),
        };
        Row { frequency: if is_complex { numbers[0] } else { 0.0 }, values }
    };
    text.lines().filter(|line| !line.trim().is_empty()).map(row).collect()
}
