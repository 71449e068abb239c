//! The least rework: what its steps say, and what it refuses. That it is the least is checked against two searches that
//! know nothing of its formula, in `states` for small cases and in `namings` for large ones.

mod bench;
mod namings;
mod states;

use std::collections::BTreeSet;

use super::{Rework, ReworkError, Step, Target, least_rework};
use crate::arrangement::{Arrangement, arrangements};
use bench::{Dice, assert_done, bench, nets_of, shuffled, terminals, wires_of};

#[test]
fn nets_and_arrangement_say_the_same() {
    let mut dice = Dice(7);
    let mut bench = bench(&[0, 0, 1, 0, 1]);
    let names = terminals(&bench, 1);
    let targets = arrangements(&[0, 1, 2, 3, 4], 5).unwrap();
    for _ in 0..60 {
        let target = &targets[dice.below(targets.len())];
        let start = &targets[dice.below(targets.len())];
        shuffled(&mut bench, &names, start, 9, &mut dice);
        let by_arrangement = least_rework(&bench, &Target::Arrangement(target.clone())).unwrap();
        let nets = nets_of(target, &bench).into_iter().map(|net| net.into_iter().collect()).collect();
        let by_nets = least_rework(&bench, &Target::Nets(nets)).unwrap();
        assert_eq!(by_nets.n_joints, by_arrangement.n_joints, "{target:?}");
    }
}

#[test]
fn wired_as_wanted_needs_nothing() {
    let mut bench = bench(&[0, 1, 2]);
    let target = Arrangement::Parallel(vec![
        Arrangement::Series(vec![Arrangement::Speaker(0), Arrangement::Speaker(1)]),
        Arrangement::Speaker(2),
    ]);
    bench.wires = wires_of(&nets_of(&target, &bench));
    let rework = least_rework(&bench, &Target::Arrangement(target)).unwrap();
    assert_eq!((rework.n_joints, rework.steps.len()), (0, 0));
}

#[test]
fn steps_read_as_work() {
    let mut bench = bench(&[0, 0]);
    let wire = |from: &str, to: &str| (from.to_owned(), to.to_owned());
    // In parallel, B the wrong way round, and A's minus bridged to the frame.
    bench.wires =
        vec![wire("A+", "S1"), wire("B-", "S1"), wire("A-", "S2"), wire("B+", "S2"), wire("A-", "frame")];
    let target = Arrangement::Parallel(vec![Arrangement::Speaker(0), Arrangement::Speaker(1)]);
    let rework = least_rework(&bench, &Target::Arrangement(target)).unwrap();
    let steps: Vec<String> = rework.steps.iter().map(Step::to_string).collect();
    let expected = [
        "lift the wire from B- off S1",
        "lift the wire from B+ off S2",
        "lift the wire from A- off frame",
        "join the wire from B- to S2",
        "join the wire from B+ to S1",
        "sleeve the free end of the wire from A-",
    ];
    assert_eq!(steps, expected);
    assert_eq!(rework.n_joints, 5);
}

#[test]
fn unused_speaker_is_cut_off() {
    let mut bench = bench(&[0, 0]);
    let wire = |from: &str, to: &str| (from.to_owned(), to.to_owned());
    bench.wires = vec![wire("A+", "S1"), wire("B+", "S1"), wire("A-", "S2"), wire("B-", "S2")];
    let rework = least_rework(&bench, &Target::Arrangement(Arrangement::Speaker(0))).unwrap();
    assert_eq!(rework.n_joints, 2);
    assert_eq!(rework.nets.len(), 2);
}

#[test]
fn drawing_that_is_no_series_parallel_network_is_taken_as_it_is() {
    // A bridge of five equal speakers.
    let mut bench = bench(&[0; 5]);
    let net = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
    let nets = vec![
        net(&["S1", "A+", "B+"]),
        net(&["A-", "C+", "E+"]),
        net(&["B-", "D+", "E-"]),
        net(&["S2", "C-", "D-"]),
    ];
    let sets: Vec<BTreeSet<String>> = nets.iter().map(|net| net.iter().cloned().collect()).collect();
    bench.wires = wires_of(&sets);
    let swapped: Vec<(String, String)> = bench
        .wires
        .iter()
        .map(|(from, to)| {
            let swap = |name: &String| match name.chars().next() {
                Some('A') => name.replace('A', "B"),
                Some('B') => name.replace('B', "A"),
                _ => name.clone(),
            };
            (swap(from), swap(to))
        })
        .collect();
    bench.wires = swapped;
    assert_eq!(least_rework(&bench, &Target::Nets(nets)).unwrap().n_joints, 0);
}

#[test]
fn drawing_with_other_terminals_is_taken_at_its_word() {
    let mut bench = bench(&[0]);
    bench.apart.clear();
    let net = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
    // A resistor R lies between S1 and the speaker: the amplifier may not be turned.
    let nets = vec![net(&["S1", "R.1"]), net(&["R.2", "A+"]), net(&["A-", "S2"])];
    bench.wires = vec![("S2".to_owned(), "R.1".to_owned()), ("S1".to_owned(), "A-".to_owned())];
    let rework = least_rework(&bench, &Target::Nets(nets)).unwrap();
    // Both wires are moved, and one is laid.
    assert_eq!(rework.n_joints, 6);
    assert_done(&bench, &rework);
}

#[test]
fn slips_are_told() {
    let bench = bench(&[0, 0]);
    let twice = Arrangement::Series(vec![Arrangement::Speaker(0), Arrangement::Speaker(0)]);
    let nets = |nets: &[&[&str]]| {
        Target::Nets(nets.iter().map(|net| net.iter().map(|name| (*name).to_owned()).collect()).collect())
    };
    let mut shared = bench.clone();
    shared.speakers[1].plus = "A+".to_owned();
    let errors = [
        least_rework(&bench, &Target::Arrangement(twice)),
        least_rework(&bench, &Target::Arrangement(Arrangement::Speaker(5))),
        least_rework(&bench, &nets(&[&["S1", "A+"], &["A+", "S2"]])),
        least_rework(&bench, &nets(&[&["S1", "frame"]])),
        least_rework(&shared, &nets(&[])),
    ];
    let texts = errors.map(|error: Result<Rework, ReworkError>| error.unwrap_err().to_string());
    let expected = [
        "the target uses speaker number 0 twice",
        "the target uses speaker number 5, but there are only 2",
        "the target uses A+ twice",
        "frame shall be connected with nothing, but the target joins it to S1",
        "A+ belongs to two parts: give every speaker terminal a name of its own",
    ];
    assert_eq!(texts, expected);
}
