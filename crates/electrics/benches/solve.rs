//! What a person or a fault finder waits for: the load curve of 4 and of 12 speakers beside ngspice on the same circuits,
//! the best wiring and the least rework of six.
//!
//! Every ngspice row times whole processes, start and reading of the deck included, as whoever calls it has to wait; its
//! long curve shows what a point costs when that no longer matters. Needs ngspice on the path.

use std::fmt::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use divan::Bencher;
use divan::counter::ItemsCount;
use electrics::{
    Arrangement, AsFound, BridgeAmplifier, Candidate, CoilModel, DriverImpedance, Load, Motional, Netlist,
    ReworkSpeaker, Solver, Target, Wishes, arrangements, frequencies, least_rework, rank_arrangements,
};
use quantities::{
    Compliance, ForceFactor, Frequency, Gain, Inductance, Mass, MechanicalResistance, Power, Quantity,
    Resistance, SoundPressureLevel, Voltage,
};

fn main() {
    divan::main();
}

/// Strings of speakers in series, side by side.
const NETWORKS: [(usize, usize); 2] = [(2, 2), (4, 3)];

/// A curve as it is drawn: 20 Hz to 20 kHz, 20 points to the octave, 200 points.
const SHORT: u32 = 20;
/// A curve so long that starting up no longer matters: 99 659 points.
const LONG: u32 = 10_000;

fn q<Q: Quantity>(si: f64) -> Q {
    Q::from_si(si).expect("a benchmark's constants are in range")
}

/// Coil resistance of the k-th speaker in ohms: no two alike, so that none can be worked out for another.
fn coil_resistance(speaker: usize) -> f64 {
    (0..speaker).fold(7.0, |ohms, _| ohms + 0.1)
}

/// Set S1 of the reference digest, section 10.1, in a box of 10 cm³.
fn driver(speaker: usize) -> Load {
    let motional = Motional {
        bl: q::<ForceFactor>(2.2),
        mms: q::<Mass>(0.5e-3),
        cms: q::<Compliance>(0.68e-3),
        rms: q::<MechanicalResistance>(0.30),
        box_stiffness: 2157.3,
    };
    let coil = CoilModel::Ideal(q::<Inductance>(0.29e-3));
    let driver = DriverImpedance::new(q(coil_resistance(speaker)), coil, Some(motional));
    Load::Driver(driver.expect("the published set describes a driver"))
}

fn network((n_strings, n_each): (usize, usize)) -> Netlist {
    let string = |string: usize| {
        Arrangement::Series((0..n_each).map(|place| Arrangement::Speaker(string * n_each + place)).collect())
    };
    let names: Vec<String> = (0..n_strings * n_each).map(|speaker| format!("speaker {speaker}")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let loads: Vec<Load> = (0..n_strings * n_each).map(driver).collect();
    let netlist = Arrangement::Parallel((0..n_strings).map(string).collect()).netlist(
        &names,
        &loads,
        q::<Voltage>(1.0),
    );
    netlist.expect("names and loads are sound")
}

fn grid(per_octave: u32) -> Vec<Frequency> {
    frequencies(q(20.0), q(20_000.0), per_octave)
}

mod load_curve {
    use super::*;

    /// The circuit read and solved from nothing: every voltage and current at every frequency.
    #[divan::bench(args = NETWORKS, consts = [SHORT, LONG])]
    fn backshop<const PER_OCTAVE: u32>(bencher: Bencher<'_, '_>, shape: (usize, usize)) {
        let (netlist, grid) = (network(shape), grid(PER_OCTAVE));
        bencher
            .counter(ItemsCount::new(grid.len()))
            .bench(|| netlist.sweep(&grid).expect("the network has an answer"));
    }

    /// The load alone, as ngspice below.
    #[divan::bench(args = NETWORKS, consts = [SHORT, LONG])]
    fn backshop_load_only<const PER_OCTAVE: u32>(bencher: Bencher<'_, '_>, shape: (usize, usize)) {
        let (netlist, grid) = (network(shape), grid(PER_OCTAVE));
        bencher.counter(ItemsCount::new(grid.len())).bench(|| {
            let mut solver = Solver::new(&netlist).expect("the network has an answer");
            solver.impedances(&grid).expect("the network has an answer")
        });
    }

    /// The same circuit and as many points, the current of the source written to a file.
    #[divan::bench(args = NETWORKS, consts = [SHORT, LONG], sample_count = 5, sample_size = 1)]
    fn ngspice<const PER_OCTAVE: u32>(bencher: Bencher<'_, '_>, shape: (usize, usize)) {
        let folder: PathBuf = std::env::temp_dir().join(format!("electrics-bench-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("the folder for temporary files is writable");
        std::fs::write(folder.join("deck.cir"), deck(shape, PER_OCTAVE)).expect("and so is a folder in it");
        bencher.counter(ItemsCount::new(grid(PER_OCTAVE).len())).bench(|| {
            let mut ngspice = Command::new("ngspice");
            ngspice.args(["-b", "deck.cir"]).current_dir(&folder).stdin(Stdio::null());
            let ran =
                ngspice.output().expect("install the package ngspice (on Debian: apt-get install ngspice)");
            assert!(ran.status.success());
        });
        std::fs::remove_dir_all(&folder).expect("what was written can be removed");
    }
}

/// The network with each driver as its electrical equivalent (reference digest, section 2.2).
fn deck((n_strings, n_each): (usize, usize), per_octave: u32) -> String {
    let mut deck = "* speakers\nV1 s1 0 AC 1\n".to_owned();
    for string in 0..n_strings {
        for place in 0..n_each {
            let k = string * n_each + place;
            let plus = if place == 0 { "s1".to_owned() } else { format!("j{string}_{place}") };
            let minus = if place + 1 == n_each { "0".to_owned() } else { format!("j{string}_{}", place + 1) };
            let (re, square) = (coil_resistance(k), 2.2 * 2.2);
            let (capacitance, inductance, resistance) =
                (0.5e-3 / square, square / (1.0 / 0.68e-3 + 2157.3), square / 0.30);
            let lines = [
                format!("R{k} {plus} a{k} {re}"),
                format!("L{k} a{k} b{k} 0.29m"),
                format!("CM{k} b{k} {minus} {capacitance:e}"),
                format!("LM{k} b{k} {minus} {inductance:e}"),
                format!("RM{k} b{k} {minus} {resistance}"),
            ];
            deck += &lines.map(|line| line + "\n").concat();
        }
    }
    let control = format!(
        ".control\nset numdgt=9\nac oct {per_octave} 20 20k\nwrdata out.txt i(V1)\nquit 0\n.endc\n.end\n"
    );
    write!(deck, "{control}").expect("a string takes any text");
    deck
}

/// Every arrangement of six different speakers at 27 frequencies, ranked.
#[divan::bench]
fn best_wiring_of_six(bencher: Bencher<'_, '_>) {
    let candidate = |speaker| Candidate {
        load: driver(speaker),
        nominal: q::<Resistance>(8.0),
        rated: Power::from_si(1.0),
    };
    let candidates: Vec<Candidate> = (0..6).map(candidate).collect();
    let wishes = Wishes {
        amplifier: BridgeAmplifier::on_supply(q(5.0), q(4.0)),
        least_speakers: 6,
        most_spread: q::<Gain>(3.0),
        frequencies: frequencies(q(50.0), q(10_000.0), 3),
    };
    let sensitivity = |_: usize, _: Frequency| q::<SoundPressureLevel>(76.0);
    bencher.bench(|| {
        rank_arrangements(&candidates, &wishes, &sensitivity).expect("six speakers are not too many")
    });
}

/// Six equal speakers, all in parallel, to be put into every arrangement in turn.
#[divan::bench]
fn least_rework_of_six(bencher: Bencher<'_, '_>) {
    let speaker = |k: usize| ReworkSpeaker { plus: format!("{k}+"), minus: format!("{k}-"), kind: 0 };
    let wires = (0..6).flat_map(|k| [(format!("{k}+"), "S1".to_owned()), (format!("{k}-"), "S2".to_owned())]);
    let found = AsFound {
        amplifier: ("S1".to_owned(), "S2".to_owned()),
        speakers: (0..6).map(speaker).collect(),
        wires: wires.collect(),
        apart: vec!["frame".to_owned()],
    };
    let targets = arrangements(&[0; 6], 6).expect("six speakers are not too many");
    bencher.counter(ItemsCount::new(targets.len())).bench(|| {
        let rework = |target: &Arrangement| least_rework(&found, &Target::Arrangement(target.clone()));
        targets.iter().map(rework).collect::<Result<Vec<_>, _>>().expect("the bench is described soundly")
    });
}
