//! Laws that every solved circuit obeys, closed forms, and the fast path against the plain one.
//! Worked examples of the reference digest and outside solvers are checked in the room `refcheck`.

use num_complex::Complex64;
use proptest::prelude::*;
use quantities::{
    Capacitance, Compliance, ForceFactor, Frequency, Inductance, Mass, MechanicalResistance, Quantity,
    Resistance, Voltage,
};

use crate::{CoilModel, Condition, DriverImpedance, ElementId, Load, Motional, Netlist, SolveError, Solver};

fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

fn ohms(value: f64) -> Resistance {
    Resistance::from_ohms(value).unwrap()
}

fn nominal(value: f64) -> Load {
    Load::Nominal(ohms(value))
}

fn driver(re: f64) -> Load {
    let motional = Motional {
        bl: ForceFactor::from_tesla_metres(2.2).unwrap(),
        mms: Mass::from_kilograms(0.5e-3).unwrap(),
        cms: Compliance::from_metres_per_newton(0.68e-3).unwrap(),
        rms: MechanicalResistance::from_newton_seconds_per_metre(0.30).unwrap(),
        box_stiffness: 2157.0,
    };
    let coil = CoilModel::Ideal(Inductance::from_henries(0.29e-3).unwrap());
    Load::Driver(DriverImpedance::new(ohms(re), coil, Some(motional)).unwrap())
}

fn fed(volts: f64) -> Netlist {
    let mut netlist = Netlist::new();
    netlist.amplifier("S1", "S2", Voltage::from_volts(volts).unwrap()).unwrap();
    netlist
}

#[track_caller]
fn assert_near(found: Complex64, expected: Complex64, relative: f64) {
    assert!((found - expected).norm() <= relative * expected.norm().max(1e-12), "{found} is not {expected}");
}

/// One element of a random circuit: kind, value between 0 and 1, two nodes.
type Piece = (u8, f64, usize, usize);

/// A connected circuit on `n` nodes: a chain from S1 to S2 and then anything anywhere. Node 0 is S1, node n-1 is S2.
fn circuit(pieces: &[Piece], n: usize) -> (Netlist, Vec<ElementId>) {
    let mut netlist = fed(3.0);
    let name = |node: usize| match node {
        0 => "S1".to_owned(),
        _ if node == n - 1 => "S2".to_owned(),
        _ => format!("n{node}"),
    };
    let chain = (1..n).map(|node| (0_u8, 0.3, node - 1, node));
    let mut ids = Vec::new();
    for (place, (kind, value, from, to)) in chain.chain(pieces.iter().copied()).enumerate() {
        let (id, from, to) = (format!("e{place}"), name(from % n), name(to % n));
        let added = match kind % 5 {
            0 => netlist.resistor(&id, &from, &to, ohms(1.0 + 30.0 * value)),
            1 => netlist.speaker(&id, &from, &to, driver(2.0 + 10.0 * value)),
            2 => netlist.capacitor(&id, &from, &to, Capacitance::from_farads(1e-6 + 1e-4 * value).unwrap()),
            3 => netlist.inductor(&id, &from, &to, Inductance::from_henries(1e-5 + 1e-3 * value).unwrap()),
            _ => netlist.speaker(&id, &from, &to, nominal(4.0 + 12.0 * value)),
        };
        ids.push(added.unwrap());
    }
    (netlist, ids)
}

fn pieces() -> impl Strategy<Value = (Vec<Piece>, usize)> {
    (prop::collection::vec((0_u8..5, 0.0..1.0, 0_usize..9, 0_usize..9), 0..16), 2_usize..9)
}

proptest! {
    /// Tellegen: what the elements turn to heat is what the amplifier delivers.
    #[test]
    fn power_out_is_power_in((pieces, n) in pieces(), f in 20.0..20_000.0) {
        let (netlist, ids) = circuit(&pieces, n);
        let solution = netlist.solve_at(hertz(f)).unwrap();
        let spent: f64 = ids.iter().map(|id| solution.power(*id).as_watts()).sum();
        let delivered = solution.input_power().as_watts();
        prop_assert!((spent - delivered).abs() <= 1e-9 * delivered, "{spent} W of {delivered} W");
    }

    /// Kirchhoff's current law at every inner node, and the two solvers agree.
    #[test]
    fn fast_and_plain_path_agree((pieces, n) in pieces(), f in 20.0..20_000.0) {
        let (netlist, ids) = circuit(&pieces, n);
        let mut solver = Solver::new(&netlist).unwrap();
        let fast = solver.solve(hertz(f)).unwrap().clone();
        let plain = solver.solve_by_pivoting(hertz(f)).unwrap();
        let scale = plain.impedance().unwrap().norm();
        prop_assert!((fast.impedance().unwrap() - plain.impedance().unwrap()).norm() <= 1e-8 * scale);
        for id in ids {
            prop_assert!((fast.voltage(id) - plain.voltage(id)).norm() <= 3e-8);
        }
    }

    /// Reciprocity: feeding at one pair and listening at another gives the same transfer impedance both ways round.
    #[test]
    fn feeding_and_listening_may_be_swapped((pieces, n) in pieces(), f in 20.0..20_000.0, a in 0_usize..9, b in 0_usize..9) {
        let (base, _) = circuit(&pieces, n);
        let (a, b) = (a % n, b % n);
        prop_assume!(a != b && (a, b) != (0, n - 1) && (b, a) != (0, n - 1));
        let node = |node: usize| match node {
            0 => "S1".to_owned(),
            _ if node == n - 1 => "S2".to_owned(),
            _ => format!("n{node}"),
        };
        let forth = base.solve_at(hertz(f)).unwrap();
        let heard = forth.voltage_between(&base, &node(a), &node(b)).unwrap();
        let mut turned = Netlist::new();
        turned.amplifier(&node(a), &node(b), Voltage::from_volts(3.0).unwrap()).unwrap();
        for (_, element) in base.elements() {
            let (plus, minus) = base.terminals_of(base.find(&element.name).unwrap());
            add(&mut turned, &element.name, plus, minus, &element.component);
        }
        // Same source voltage: transfer impedances are equal, so the open-circuit voltages are as the input currents.
        let back = turned.solve_at(hertz(f));
        let Ok(back) = back else { return Ok(()) };
        let answered = back.voltage_between(&turned, "S1", "S2").unwrap();
        let (z_forth, z_back) = (heard / forth.input_current(), answered / back.input_current());
        prop_assert!((z_forth - z_back).norm() <= 1e-7 * (z_forth.norm() + 1e-3), "{z_forth} and {z_back}");
    }

    /// Series and parallel connection have closed forms.
    #[test]
    fn series_adds_and_parallel_adds_reciprocals(values in prop::collection::vec(0.5..100.0, 1..13), f in 20.0..20_000.0) {
        let (mut series, mut parallel) = (fed(1.0), fed(1.0));
        for (place, value) in values.iter().enumerate() {
            let from = if place == 0 { "S1".to_owned() } else { format!("n{place}") };
            let to = if place + 1 == values.len() { "S2".to_owned() } else { format!("n{}", place + 1) };
            series.speaker(&format!("{place}"), &from, &to, driver(*value)).unwrap();
            parallel.speaker(&format!("{place}"), "S1", "S2", driver(*value)).unwrap();
        }
        let each = values.iter().map(|value| driver(*value).impedance(hertz(f)));
        let sum: Complex64 = each.clone().sum();
        let reciprocal: Complex64 = each.map(|z| z.inv()).sum();
        assert_near(series.solve_at(hertz(f)).unwrap().impedance().unwrap(), sum, 1e-12);
        assert_near(parallel.solve_at(hertz(f)).unwrap().impedance().unwrap(), reciprocal.inv(), 1e-12);
    }

    /// At DC only the resistances count: the circuit with every reactive part replaced by wire or break.
    #[test]
    fn dc_is_the_limit_of_low_frequencies((pieces, n) in pieces()) {
        // Capacitors and inductors as they are; a ring of inductors has no answer at DC.
        let (netlist, _) = circuit(&pieces, n);
        let Ok(direct) = netlist.solve_dc() else { return Ok(()) };
        let slow = netlist.solve_at(hertz(1e-6)).unwrap();
        match (direct.impedance(), slow.impedance()) {
            (Some(direct), Some(slow)) => prop_assert!((direct - slow).norm() <= 1e-5 * direct.norm()),
            found => prop_assert!(false, "{found:?}"),
        }
    }
}

fn add(netlist: &mut Netlist, name: &str, plus: &str, minus: &str, component: &crate::Component) {
    match component {
        crate::Component::Resistor(value) => netlist.resistor(name, plus, minus, *value),
        crate::Component::Capacitor(value) => netlist.capacitor(name, plus, minus, *value),
        crate::Component::Inductor(value) => netlist.inductor(name, plus, minus, *value),
        crate::Component::Speaker(load) => netlist.speaker(name, plus, minus, load.clone()),
    }
    .unwrap();
}

#[test]
fn dead_short_is_refused_with_its_terminals() {
    let mut netlist = fed(1.0);
    netlist.speaker("A", "A.red", "A.black", nominal(8.0)).unwrap();
    for (from, to) in [("S1", "A.red"), ("A.red", "A.black"), ("A.black", "S2")] {
        netlist.wire(from, to);
    }
    let error = netlist.solve_at(hertz(1000.0)).unwrap_err();
    assert_eq!(error.to_string(), "S1 and S2 of the amplifier are joined: a dead short, do not power");
}

#[test]
fn circuit_without_amplifier_is_refused() {
    assert_eq!(Netlist::new().solve_dc().unwrap_err(), SolveError::NoAmplifier);
}

#[test]
fn conditions_tell_how_each_speaker_is_connected() {
    let mut netlist = fed(1.0);
    netlist.speaker("driven", "S1", "S2", nominal(8.0)).unwrap();
    netlist.speaker("hanging", "S1", "loose", nominal(8.0)).unwrap();
    netlist.speaker("beyond the loose end", "loose", "looser", nominal(8.0)).unwrap();
    netlist.speaker("in a ring that hangs on S2", "S2", "ring", nominal(8.0)).unwrap();
    netlist.speaker("other half of the ring", "S2", "ring", nominal(8.0)).unwrap();
    netlist.speaker("floating", "X", "Y", nominal(8.0)).unwrap();
    netlist.speaker("shorted", "Q", "P", nominal(8.0)).unwrap();
    netlist.wire("P", "Q");
    let expected = [
        Condition::Driven,
        Condition::OpenEnded,
        Condition::OpenEnded,
        Condition::OpenEnded,
        Condition::OpenEnded,
        Condition::NotConnected,
        Condition::ShortCircuited,
    ];
    assert_eq!(netlist.conditions().unwrap(), expected);
    let solution = netlist.solve_at(hertz(440.0)).unwrap();
    assert_near(solution.impedance().unwrap(), Complex64::from(8.0), 1e-12);
    assert_eq!(solution.voltage_between(&netlist, "looser", "S2"), Some(Complex64::from(1.0)));
    assert_eq!(solution.voltage_between(&netlist, "X", "S2"), None);
    assert_eq!(solution.voltage_between(&netlist, "nowhere", "S2"), None);
    for name in ["hanging", "other half of the ring", "floating", "shorted"] {
        assert_eq!(solution.current(netlist.find(name).unwrap()), Complex64::ZERO, "{name}");
    }
}

#[test]
fn open_circuit_has_no_impedance_and_no_current() {
    let mut netlist = fed(1.0);
    netlist.speaker("A", "S1", "A.black", nominal(8.0)).unwrap();
    let solution = netlist.solve_at(hertz(440.0)).unwrap();
    assert_eq!(solution.impedance(), None);
    assert_eq!(solution.input_current(), Complex64::ZERO);
    assert_eq!(Solver::new(&netlist).unwrap().impedances(&[hertz(440.0)]).unwrap(), [None]);
    assert_eq!(netlist.solve_dc().unwrap().impedance(), None);
}

#[test]
fn zero_ohm_resistor_is_a_wire() {
    let mut netlist = fed(8.0);
    let jumper = netlist.resistor("jumper", "S1", "A.red", ohms(0.0)).unwrap();
    let speaker = netlist.speaker("A", "A.red", "S2", nominal(8.0)).unwrap();
    let solution = netlist.solve_at(hertz(440.0)).unwrap();
    assert_near(solution.current(speaker), Complex64::from(1.0), 1e-12);
    assert_eq!(solution.voltage(jumper), Complex64::ZERO);
}

#[test]
fn capacitor_blocks_dc_and_takes_the_whole_voltage() {
    let mut netlist = fed(5.0);
    let blocking = netlist.capacitor("C", "S1", "A.red", Capacitance::from_farads(1e-4).unwrap()).unwrap();
    let speaker = netlist.speaker("A", "A.red", "S2", nominal(8.0)).unwrap();
    let solution = netlist.solve_dc().unwrap();
    assert_eq!(solution.impedance(), None);
    assert_near(solution.voltage(blocking), Complex64::from(5.0), 1e-12);
    assert_eq!(solution.voltage(speaker), Complex64::ZERO);
}

#[test]
fn inductor_carries_dc_without_voltage() {
    let mut netlist = fed(4.0);
    let choke = netlist.inductor("L", "S1", "A.red", Inductance::from_henries(1e-3).unwrap()).unwrap();
    netlist.speaker("A", "A.red", "S2", nominal(8.0)).unwrap();
    let solution = netlist.solve_dc().unwrap();
    assert_near(solution.current(choke), Complex64::from(0.5), 1e-12);
    assert_near(solution.impedance().unwrap(), Complex64::from(8.0), 1e-12);
}

#[test]
fn inductor_across_the_amplifier_has_no_dc_answer() {
    let mut netlist = fed(4.0);
    netlist.inductor("L", "S1", "S2", Inductance::from_henries(1e-3).unwrap()).unwrap();
    netlist.speaker("A", "S1", "S2", nominal(8.0)).unwrap();
    assert_eq!(netlist.solve_dc().unwrap_err(), SolveError::InductorRing { element: "L".to_owned() });
    assert!(netlist.solve_at(hertz(50.0)).is_ok());
}

proptest! {
    /// Frequencies side by side give what each gives by itself, whatever their number, with DC among them.
    #[test]
    fn sweep_is_many_solutions((pieces, n) in pieces(), mut grid in prop::collection::vec(20.0..20_000.0, 1..21), dc in 0_usize..40) {
        let (netlist, ids) = circuit(&pieces, n);
        if let (Some(place), Ok(_)) = (grid.get_mut(dc), netlist.solve_dc()) {
            *place = 0.0;
        }
        let grid: Vec<Frequency> = grid.into_iter().map(hertz).collect();
        let sweep = netlist.sweep(&grid).unwrap();
        let loads = Solver::new(&netlist).unwrap().impedances(&grid).unwrap();
        prop_assert_eq!(sweep.frequencies(), grid.as_slice());
        for (place, frequency) in grid.into_iter().enumerate() {
            let alone = netlist.solve_at(frequency).unwrap();
            let expected = alone.impedance().unwrap();
            for load in [sweep.impedances()[place].unwrap(), loads[place].unwrap()] {
                prop_assert!((load - expected).norm() <= 1e-12 * expected.norm());
            }
            for id in &ids {
                let (voltage, current) = (sweep.voltages(*id).nth(place), sweep.currents(*id).nth(place));
                prop_assert!((voltage.unwrap() - alone.voltage(*id)).norm() <= 1e-12);
                prop_assert!((current.unwrap() - alone.current(*id)).norm() <= 1e-12 * (1.0 + alone.current(*id).norm()));
                let power = sweep.powers(*id).nth(place).unwrap().as_watts();
                prop_assert!((power - alone.power(*id).as_watts()).abs() <= 1e-12 * (1.0 + power));
            }
        }
    }
}

/// Frequencies side by side of which one cancels are solved one by one.
#[test]
fn sweep_over_a_cancelling_frequency_is_whole() {
    let omega = std::f64::consts::TAU * 1000.0;
    let mut netlist = fed(1.0);
    netlist.resistor("R", "S1", "a", ohms(8.0)).unwrap();
    netlist.inductor("L", "a", "b", Inductance::from_henries(1e-3).unwrap()).unwrap();
    netlist.capacitor("C", "b", "S2", Capacitance::from_farads(1e3 / (omega * omega)).unwrap()).unwrap();
    let grid: Vec<Frequency> = [250.0, 500.0, 1000.0, 2000.0, 4000.0].map(hertz).to_vec();
    let sweep = netlist.sweep(&grid).unwrap();
    for (frequency, impedance) in grid.iter().zip(sweep.impedances()) {
        let at = std::f64::consts::TAU * frequency.as_hertz();
        let expected = Complex64::new(8.0, at * 1e-3 - omega * omega * 1e-3 / at);
        assert_near(impedance.unwrap(), expected, 1e-9);
    }
}

/// A node at which a coil and a capacitor cancel exactly: the fast path must notice and hand over.
#[test]
fn cancelling_node_goes_to_the_pivoting_solver() {
    let omega = std::f64::consts::TAU * 1000.0;
    let (l, c) = (1e-3, 1.0 / (omega * omega * 1e-3));
    let mut netlist = fed(1.0);
    netlist.resistor("R", "S1", "a", ohms(8.0)).unwrap();
    netlist.inductor("L", "a", "b", Inductance::from_henries(l).unwrap()).unwrap();
    netlist.capacitor("C", "b", "S2", Capacitance::from_farads(c).unwrap()).unwrap();
    let solution = netlist.solve_at(hertz(1000.0)).unwrap();
    assert_near(solution.impedance().unwrap(), Complex64::from(8.0), 1e-9);
    let across_coil = solution.voltage(netlist.find("L").unwrap());
    assert_near(across_coil, Complex64::new(0.0, omega * l / 8.0), 1e-9);
}

#[test]
fn ten_thousand_wires_are_merged() {
    let mut netlist = fed(1.0);
    for place in 0..10_000 {
        netlist.wire(&format!("w{place}"), &format!("w{}", place + 1));
    }
    netlist.wire("S1", "w0");
    netlist.speaker("A", "w10000", "S2", nominal(8.0)).unwrap();
    let solution = netlist.solve_at(hertz(440.0)).unwrap();
    assert_near(solution.impedance().unwrap(), Complex64::from(8.0), 1e-12);
}

#[test]
fn long_ladder_of_elements_is_solved() {
    let mut netlist = fed(1.0);
    for place in 0..3000 {
        let (from, to) = (format!("n{place}"), format!("n{}", place + 1));
        netlist.resistor(&format!("s{place}"), &from, &to, ohms(1.0)).unwrap();
        netlist.resistor(&format!("p{place}"), &to, "S2", ohms(2.0)).unwrap();
    }
    netlist.wire("S1", "n0");
    // An endless ladder of 1 ohm in series and 2 ohm across: R = 1 + 2R/(2 + R), so R = 2.
    let solution = netlist.solve_at(hertz(440.0)).unwrap();
    assert_near(solution.impedance().unwrap(), Complex64::from(2.0), 1e-12);
}

#[test]
fn names_and_values_are_checked_at_the_door() {
    let mut netlist = fed(1.0);
    netlist.speaker("A", "S1", "S2", nominal(8.0)).unwrap();
    let messages = [
        netlist.speaker("A", "S1", "S2", nominal(8.0)).unwrap_err().to_string(),
        netlist.speaker("B", "S1", "S2", nominal(0.0)).unwrap_err().to_string(),
        netlist.capacitor("C", "S1", "S2", Capacitance::from_si(0.0).unwrap()).unwrap_err().to_string(),
        netlist.amplifier("S3", "S4", Voltage::from_volts(1.0).unwrap()).unwrap_err().to_string(),
        Netlist::new().amplifier("S3", "S4", Voltage::from_volts(0.0).unwrap()).unwrap_err().to_string(),
    ];
    let expected = [
        "there are two elements named A: give each a name of its own",
        "B has a value of zero: a shorted speaker is a wire between its terminals",
        "C has a value of zero: a capacitor of 0 F passes nothing, leave it out",
        "a second amplifier between S3 and S4: a circuit is fed by one channel, describe two circuits",
        "the amplifier has a value of zero: give the voltage at which the circuit is to be judged",
    ];
    assert_eq!(messages, expected);
}
