//! The least rework against every naming of the target, written out the slow way, with every use of every wire tried.

use std::collections::{BTreeMap, BTreeSet};

use super::super::{AsFound, Target, least_rework};
use super::bench::{Dice, assert_done, bench, nets_of, permutations, shuffled, terminals};
use crate::arrangement::{Arrangement, arrangements};
use crate::joined::Joined;

/// Every naming of an arrangement with speakers of one kind swapped and series reordered and all turned, the slow way.
fn equal_targets(arrangement: &Arrangement, found: &AsFound) -> BTreeSet<BTreeSet<BTreeSet<String>>> {
    fn orders(part: &Arrangement) -> Vec<Arrangement> {
        let each_part = |parts: &[Arrangement]| {
            let mut all = vec![Vec::new()];
            for part in parts {
                let of_part = orders(part);
                all = all
                    .iter()
                    .flat_map(|before: &Vec<Arrangement>| {
                        of_part
                            .iter()
                            .map(|one| [before.clone(), vec![one.clone()]].concat())
                            .collect::<Vec<_>>()
                    })
                    .collect();
            }
            all
        };
        match part {
            Arrangement::Speaker(_) => vec![part.clone()],
            Arrangement::Parallel(parts) => each_part(parts).into_iter().map(Arrangement::Parallel).collect(),
            Arrangement::Series(parts) => each_part(parts)
                .into_iter()
                .flat_map(|parts| {
                    permutations(parts.len()).into_iter().map(move |order| {
                        Arrangement::Series(order.iter().map(|k| parts[*k].clone()).collect())
                    })
                })
                .collect(),
        }
    }
    fn renamed(part: &Arrangement, name: &[usize]) -> Arrangement {
        let inner = |parts: &[Arrangement]| parts.iter().map(|part| renamed(part, name)).collect();
        match part {
            Arrangement::Speaker(speaker) => Arrangement::Speaker(name[*speaker]),
            Arrangement::Series(parts) => Arrangement::Series(inner(parts)),
            Arrangement::Parallel(parts) => Arrangement::Parallel(inner(parts)),
        }
    }
    let kind = |speaker: usize| found.speakers[speaker].kind;
    let n = found.speakers.len();
    let keeps_kinds = |order: &Vec<usize>| (0..n).all(|speaker| kind(speaker) == kind(order[speaker]));
    let mut targets = BTreeSet::new();
    for order in permutations(n).into_iter().filter(keeps_kinds) {
        for one in orders(&renamed(arrangement, &order)) {
            let nets = nets_of(&one, found);
            let mut turned = nets.clone();
            turned[0].remove("S1");
            turned[1].remove("S2");
            turned[0].insert("S2".to_owned());
            turned[1].insert("S1".to_owned());
            targets.insert(nets.into_iter().collect());
            targets.insert(turned.into_iter().collect());
        }
    }
    targets
}

/// The joints for one definite target, trying every use of every wire: left, lifted at either end, lifted and moved.
fn cost_by_trying(nets: &BTreeSet<BTreeSet<String>>, found: &AsFound) -> usize {
    let net_of =
        |terminal: &String| nets.iter().find(|net| net.contains(terminal)).cloned().unwrap_or_default();
    let crossing: Vec<[BTreeSet<String>; 2]> = found
        .wires
        .iter()
        .filter(|(from, to)| from != to && (net_of(from) != net_of(to) || net_of(from).is_empty()))
        .map(|(from, to)| [net_of(from), net_of(to)])
        .collect();
    let needs: BTreeMap<&BTreeSet<String>, usize> = nets
        .iter()
        .map(|net| {
            let names: Vec<&String> = net.iter().collect();
            let mut joined = Joined::apart(names.len());
            for (from, to) in &found.wires {
                let place = |terminal| names.iter().position(|name| *name == terminal);
                if let (Some(from), Some(to)) = (place(from), place(to)) {
                    joined.join(from, to);
                }
            }
            (net, joined.numbered().1 - 1)
        })
        .collect();
    let n_needed: usize = needs.values().sum();
    fn most_used(crossing: &[[BTreeSet<String>; 2]], left: &mut BTreeMap<&BTreeSet<String>, usize>) -> usize {
        let Some((first, rest)) = crossing.split_first() else { return 0 };
        let mut best = most_used(rest, left);
        for net in first {
            if left.get(net).is_some_and(|left| *left > 0) {
                *left.get_mut(net).unwrap() -= 1;
                best = best.max(1 + most_used(rest, left));
                *left.get_mut(net).unwrap() += 1;
            }
        }
        best
    }
    crossing.len() + 2 * n_needed - most_used(&crossing, &mut needs.clone())
}

/// Runs random cases without tie points against every naming of the target.
fn compare_with_namings(kinds: &[usize], n_cases: usize) {
    let mut dice = Dice(0xD1B5_4A32_D192_ED03);
    let mut bench = bench(kinds);
    let names = terminals(&bench, 0);
    let targets = arrangements(&(0..kinds.len()).collect::<Vec<_>>(), kinds.len()).unwrap();
    for case in 0..n_cases {
        let target = &targets[dice.below(targets.len())];
        let start = &targets[dice.below(targets.len())];
        shuffled(&mut bench, &names, start, 9, &mut dice);
        let rework = least_rework(&bench, &Target::Arrangement(target.clone())).unwrap();
        assert!(rework.is_least);
        assert_done(&bench, &rework);
        let namings = equal_targets(target, &bench);
        let frame = BTreeSet::from(["frame".to_owned()]);
        let with_frame =
            |nets: &BTreeSet<BTreeSet<String>>| nets.iter().cloned().chain([frame.clone()]).collect();
        let tried = namings.iter().map(|nets| cost_by_trying(&with_frame(nets), &bench)).min();
        assert_eq!(tried, Some(rework.n_joints), "case {case}: {:?} to {target:?}", bench.wires);
        // What it leads to is one of them.
        let reached: BTreeSet<BTreeSet<String>> =
            rework.nets.iter().map(|net| net.iter().cloned().collect()).collect();
        assert!(namings.contains(&reached), "case {case}: {reached:?}");
    }
}

#[test]
fn four_speakers_against_every_naming() {
    compare_with_namings(&[0, 0, 0, 0], 60);
    compare_with_namings(&[0, 0, 1, 1], 60);
    compare_with_namings(&[0, 1, 2, 3], 60);
}

#[test]
fn five_and_six_speakers_against_every_naming() {
    compare_with_namings(&[0, 0, 1, 1, 2], 12);
    compare_with_namings(&[0, 1, 0, 1, 2, 2], 6);
    compare_with_namings(&[0, 1, 2, 3, 4, 5], 8);
}
