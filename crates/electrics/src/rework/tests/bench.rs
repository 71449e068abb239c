//! What the checks of the rework share: speakers on a bench, random wirings, and doing what the steps say.

use std::collections::BTreeSet;

use super::super::{AsFound, Rework, ReworkSpeaker, Step};
use crate::arrangement::Arrangement;

/// A small generator of numbers that look random: xorshift64 (Marsaglia 2003, from memory).
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap() % n
    }
}

pub(super) fn speaker(name: &str, kind: usize) -> ReworkSpeaker {
    ReworkSpeaker { plus: format!("{name}+"), minus: format!("{name}-"), kind }
}

pub(super) const NAMES: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// Speakers of some kinds, a frame, and a tie point if wanted.
pub(super) fn bench(kinds: &[usize]) -> AsFound {
    AsFound {
        amplifier: ("S1".to_owned(), "S2".to_owned()),
        speakers: kinds.iter().zip(NAMES).map(|(kind, name)| speaker(name, *kind)).collect(),
        wires: Vec::new(),
        apart: vec!["frame".to_owned()],
    }
}

pub(super) fn terminals(found: &AsFound, n_ties: usize) -> Vec<String> {
    let (plus, minus) = found.amplifier.clone();
    let of_speakers = found.speakers.iter().flat_map(|speaker| [speaker.plus.clone(), speaker.minus.clone()]);
    let ties = (0..n_ties).map(|tie| format!("tie{tie}"));
    [plus, minus].into_iter().chain(of_speakers).chain(found.apart.iter().cloned()).chain(ties).collect()
}

/// The nets of an arrangement, written without the code under test.
pub(super) fn nets_of(arrangement: &Arrangement, found: &AsFound) -> Vec<BTreeSet<String>> {
    fn lay(part: &Arrangement, ends: [usize; 2], found: &AsFound, nets: &mut Vec<BTreeSet<String>>) {
        match part {
            Arrangement::Speaker(speaker) => {
                nets[ends[0]].insert(found.speakers[*speaker].plus.clone());
                nets[ends[1]].insert(found.speakers[*speaker].minus.clone());
            }
            Arrangement::Parallel(parts) => parts.iter().for_each(|part| lay(part, ends, found, nets)),
            Arrangement::Series(parts) => {
                let mut before = ends[0];
                for (place, part) in parts.iter().enumerate() {
                    let after = if place + 1 == parts.len() { ends[1] } else { nets.len() };
                    if after == nets.len() {
                        nets.push(BTreeSet::new());
                    }
                    lay(part, [before, after], found, nets);
                    before = after;
                }
            }
        }
    }
    let (plus, minus) = found.amplifier.clone();
    let mut nets = vec![BTreeSet::from([plus]), BTreeSet::from([minus])];
    lay(arrangement, [0, 1], found, &mut nets);
    nets
}

/// The nets as wires: each net a star.
pub(super) fn wires_of(nets: &[BTreeSet<String>]) -> Vec<(String, String)> {
    let star = |net: &BTreeSet<String>| {
        let names: Vec<String> = net.iter().cloned().collect();
        names[1..].iter().map(|name| (names[0].clone(), name.clone())).collect::<Vec<_>>()
    };
    nets.iter().flat_map(star).collect()
}

pub(super) fn permutations(n: usize) -> Vec<Vec<usize>> {
    if n == 0 {
        return vec![Vec::new()];
    }
    let shorter = permutations(n - 1);
    let with_last = |order: &Vec<usize>, place: usize| {
        let mut order = order.clone();
        order.insert(place, n - 1);
        order
    };
    shorter.iter().flat_map(|order| (0..n).map(|place| with_last(order, place)).collect::<Vec<_>>()).collect()
}

/// Does the steps to the wires and sees that they make what the rework says.
#[track_caller]
pub(super) fn assert_done(found: &AsFound, rework: &Rework) {
    let mut wires: Vec<[Option<String>; 2]> =
        found.wires.iter().map(|(from, to)| [Some(from.clone()), Some(to.clone())]).collect();
    let at = |wires: &[[Option<String>; 2]], one: Option<&String>, other: Option<&String>| {
        wires.iter().position(|[from, to]| {
            [from.as_ref(), to.as_ref()] == [one, other] || [from.as_ref(), to.as_ref()] == [other, one]
        })
    };
    let mut n_joints = 0;
    for step in &rework.steps {
        n_joints += step.n_joints();
        match step {
            Step::Lift { terminal, from } => {
                let wire = at(&wires, Some(terminal), Some(from)).unwrap();
                wires[wire] = [Some(terminal.clone()), None];
            }
            Step::Join { terminal, to } => {
                let wire = at(&wires, Some(terminal), None).unwrap();
                wires[wire] = [Some(terminal.clone()), Some(to.clone())];
            }
            Step::Lay { from, to } => wires.push([Some(from.clone()), Some(to.clone())]),
            Step::Sleeve { terminal } => assert!(at(&wires, Some(terminal), None).is_some(), "{step}"),
        }
    }
    assert_eq!(n_joints, rework.n_joints);
    let whole = |wires: &[[Option<String>; 2]]| {
        let pair = |[from, to]: &[Option<String>; 2]| Some((from.clone()?, to.clone()?));
        let mut pairs: Vec<_> =
            wires.iter().filter_map(pair).map(|(a, b)| if a < b { (a, b) } else { (b, a) }).collect();
        pairs.sort();
        pairs
    };
    let said: Vec<_> = rework.wires.iter().map(|(from, to)| [Some(from.clone()), Some(to.clone())]).collect();
    assert_eq!(whole(&wires), whole(&said));
}

/// A random wiring: sometimes anything, sometimes a good one with a few ends moved.
pub(super) fn shuffled(
    found: &mut AsFound,
    names: &[String],
    arrangement: &Arrangement,
    n_wires: usize,
    dice: &mut Dice,
) {
    found.wires = if dice.below(2) == 0 {
        let end = |dice: &mut Dice| names[dice.below(names.len())].clone();
        (0..dice.below(n_wires + 1)).map(|_| (end(dice), end(dice))).collect()
    } else {
        let mut wires = wires_of(&nets_of(arrangement, found));
        for _ in 0..dice.below(4) {
            let wire = dice.below(wires.len());
            wires[wire].1 = names[dice.below(names.len())].clone();
        }
        wires
    };
}
