//! The least rework against an exhaustive search over every state of the iron, which knows neither nets nor formula: it
//! lifts and joins until a solved circuit has the voltages that are wanted.

use std::collections::{HashMap, HashSet};

use quantities::{Frequency, Resistance, Voltage};

use super::super::{AsFound, Target, least_rework};
use super::bench::{Dice, NAMES, assert_done, bench, permutations, shuffled, terminals};
use crate::arrangement::{Arrangement, arrangements};
use crate::joined::Joined;
use crate::{Load, Netlist};

/// Whether wires make the network that is wanted: solved with a resistance of its own for every speaker, its voltages
/// must be those of the target with some of its equal speakers swapped, all the same way round or all the other.
struct Judge<'a> {
    found: &'a AsFound,
    wanted: Vec<Vec<f64>>,
    known: HashMap<Vec<usize>, bool>,
}

const GENERIC: [f64; 6] = [7.1, 8.3, 5.9, 11.7, 6.7, 9.2];

impl<'a> Judge<'a> {
    fn of(arrangement: &Arrangement, found: &'a AsFound) -> Self {
        let n = found.speakers.len();
        let used = arrangement.speakers();
        assert_eq!(used.len(), n, "the judge knows targets that use every speaker");
        let kind = |speaker: usize| found.speakers[speaker].kind;
        let keeps_kinds = |order: &Vec<usize>| (0..n).all(|speaker| kind(speaker) == kind(order[speaker]));
        let wanted = permutations(n)
            .into_iter()
            .filter(keeps_kinds)
            .map(|order| {
                // Speaker `order[k]` sits where the target has speaker `k`.
                let mut loads = vec![Load::Nominal(Resistance::from_ohms(1.0).unwrap()); n];
                for (place, speaker) in order.iter().enumerate() {
                    loads[place] = Load::Nominal(Resistance::from_ohms(GENERIC[*speaker]).unwrap());
                }
                let netlist = arrangement.netlist(&NAMES, &loads, Voltage::from_volts(1.0).unwrap()).unwrap();
                let solution = netlist.solve_dc().unwrap();
                let mut voltages = vec![0.0; n];
                for (place, speaker) in order.iter().enumerate() {
                    voltages[*speaker] = solution.voltage(netlist.find(NAMES[place]).unwrap()).re;
                }
                voltages
            })
            .collect();
        Self { found, wanted, known: HashMap::new() }
    }

    /// Wires with a free end count for nothing.
    fn accepts(&mut self, names: &[String], wires: &[[u8; 2]]) -> bool {
        let mut joined = Joined::apart(names.len());
        for [from, to] in wires.iter().filter(|wire| !wire.contains(&FREE)) {
            joined.join(usize::from(*from), usize::from(*to));
        }
        let (sets, _) = joined.numbered();
        if let Some(known) = self.known.get(&sets) {
            return *known;
        }
        let place = |name: &String| names.iter().position(|other| other == name).unwrap();
        let is_alone = |name: &String| sets.iter().filter(|set| **set == sets[place(name)]).count() == 1;
        let parts = self.found.speakers.iter().flat_map(|speaker| [&speaker.plus, &speaker.minus]);
        let wanted: Vec<&String> = parts.chain([&self.found.amplifier.0, &self.found.amplifier.1]).collect();
        // What shall be apart may hang on a tie point, but on nothing that is wanted.
        let is_apart = self.found.apart.iter().all(|apart| {
            is_alone(apart) || wanted.iter().all(|other| sets[place(other)] != sets[place(apart)])
        });
        let result = is_apart && self.has_wanted_voltages(names, &sets);
        self.known.insert(sets, result);
        result
    }

    fn has_wanted_voltages(&self, names: &[String], sets: &[usize]) -> bool {
        let net = |name: &String| format!("{}", sets[names.iter().position(|other| other == name).unwrap()]);
        let mut netlist = Netlist::new();
        let (plus, minus) = &self.found.amplifier;
        netlist.amplifier(&net(plus), &net(minus), Voltage::from_volts(1.0).unwrap()).unwrap();
        for (place, speaker) in self.found.speakers.iter().enumerate() {
            let load = Load::Nominal(Resistance::from_ohms(GENERIC[place]).unwrap());
            netlist.speaker(NAMES[place], &net(&speaker.plus), &net(&speaker.minus), load).unwrap();
        }
        let Ok(solution) = netlist.solve_at(Frequency::from_hertz(1000.0).unwrap()) else { return false };
        let voltages: Vec<f64> = netlist.elements().map(|(id, _)| solution.voltage(id).re).collect();
        let is_like = |wanted: &Vec<f64>, sign: f64| {
            voltages.iter().zip(wanted).all(|(found, wanted)| (found - sign * wanted).abs() < 1e-9)
        };
        self.wanted.iter().any(|wanted| is_like(wanted, 1.0) || is_like(wanted, -1.0))
    }
}

/// A free wire end.
const FREE: u8 = u8::MAX;

/// Wires in rising order, each with its lower end first.
type State = Vec<[u8; 2]>;

/// Every state that `limit` joints can reach, cheapest first: the least number of joints after which the judge agrees.
fn least_by_trying(names: &[String], found: &AsFound, judge: &mut Judge<'_>, limit: usize) -> Option<usize> {
    let place = |name: &String| u8::try_from(names.iter().position(|other| other == name).unwrap()).unwrap();
    let sorted = |mut state: State| {
        state.iter_mut().for_each(|wire| wire.sort_unstable());
        state.sort_unstable();
        state
    };
    let start = sorted(found.wires.iter().map(|(from, to)| [place(from), place(to)]).collect());
    let n_terminals = u8::try_from(names.len()).unwrap();
    let mut seen: HashSet<State> = HashSet::from([start.clone()]);
    let mut front = vec![start];
    for cost in 0..=limit {
        if front.iter().any(|state| judge.accepts(names, state)) {
            return Some(cost);
        }
        if cost == limit {
            break;
        }
        let mut next = Vec::new();
        let mut add = |state: State| {
            let state = sorted(state);
            if seen.insert(state.clone()) {
                next.push(state);
            }
        };
        for state in &front {
            for (wire, ends) in state.iter().enumerate() {
                for end in 0..2 {
                    let targets = if ends[end] == FREE { 0..n_terminals } else { FREE..FREE };
                    for to in targets.chain((ends[end] != FREE).then_some(FREE)) {
                        let mut changed = state.clone();
                        changed[wire][end] = to;
                        add(changed);
                    }
                }
            }
            // A new wire begins with one joint; its other end is free.
            for from in 0..n_terminals {
                let mut changed = state.clone();
                changed.push([from, FREE]);
                add(changed);
            }
        }
        front = next;
    }
    None
}

/// Runs `n_cases` random cases against the exhaustive search over states of the iron.
fn compare_with_states(kinds: &[usize], n_ties: usize, n_wires: usize, limit: usize, n_cases: usize) {
    let mut dice = Dice(0x9E37_79B9_7F4A_7C15);
    let mut bench = bench(kinds);
    let names = terminals(&bench, n_ties);
    let targets = arrangements(&(0..kinds.len()).collect::<Vec<_>>(), kinds.len()).unwrap();
    let mut n_decided = 0;
    for case in 0..n_cases {
        let target = &targets[dice.below(targets.len())];
        // Half of the cases begin near their end, so that the search by trying gets there.
        let start = if dice.below(2) == 0 { target } else { &targets[dice.below(targets.len())] };
        shuffled(&mut bench, &names, start, n_wires, &mut dice);
        let rework = least_rework(&bench, &Target::Arrangement(target.clone())).unwrap();
        assert!(rework.is_least);
        assert_done(&bench, &rework);
        let mut judge = Judge::of(target, &bench);
        let tried = least_by_trying(&names, &bench, &mut judge, limit);
        let expected = (rework.n_joints <= limit).then_some(rework.n_joints);
        assert_eq!(tried, expected, "case {case}: {:?} to {target:?}: {rework:?}", bench.wires);
        n_decided += usize::from(tried.is_some());
    }
    assert!(n_decided * 4 >= n_cases, "only {n_decided} of {n_cases} cases were within {limit} joints");
}

#[test]
fn two_speakers_against_every_state_of_the_iron() {
    compare_with_states(&[0, 0], 0, 5, 5, 16);
    compare_with_states(&[0, 1], 0, 5, 4, 40);
}

#[test]
fn two_speakers_with_tie_points_against_every_state_of_the_iron() {
    compare_with_states(&[0, 0], 1, 6, 4, 24);
    compare_with_states(&[0, 1], 2, 6, 3, 60);
}

#[test]
fn three_speakers_against_every_state_of_the_iron() {
    compare_with_states(&[0, 0, 0], 0, 7, 4, 12);
    compare_with_states(&[0, 0, 1], 1, 7, 4, 6);
}

#[test]
fn four_speakers_against_every_state_of_the_iron() {
    compare_with_states(&[0, 1, 0, 1], 0, 8, 3, 30);
    compare_with_states(&[0, 0, 0, 0], 0, 8, 3, 30);
}
