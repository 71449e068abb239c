//! The least rework against two searches that know nothing of its formula: an exhaustive one over every state of the
//! iron for small cases, and one over every naming of the target for large ones.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use quantities::{Frequency, Resistance, Voltage};

use super::{AsFound, Rework, ReworkError, ReworkSpeaker, Step, Target, least_rework};
use crate::arrangement::{Arrangement, arrangements};
use crate::joined::Joined;
use crate::{Load, Netlist};

/// A small generator of numbers that look random: xorshift64 (Marsaglia 2003, from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap() % n
    }
}

fn speaker(name: &str, kind: usize) -> ReworkSpeaker {
    ReworkSpeaker { plus: format!("{name}+"), minus: format!("{name}-"), kind }
}

const NAMES: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// Speakers of some kinds, a frame, and a tie point if wanted.
fn bench(kinds: &[usize]) -> AsFound {
    AsFound {
        amplifier: ("S1".to_owned(), "S2".to_owned()),
        speakers: kinds.iter().zip(NAMES).map(|(kind, name)| speaker(name, *kind)).collect(),
        wires: Vec::new(),
        apart: vec!["frame".to_owned()],
    }
}

fn terminals(found: &AsFound, n_ties: usize) -> Vec<String> {
    let (plus, minus) = found.amplifier.clone();
    let of_speakers = found.speakers.iter().flat_map(|speaker| [speaker.plus.clone(), speaker.minus.clone()]);
    let ties = (0..n_ties).map(|tie| format!("tie{tie}"));
    [plus, minus].into_iter().chain(of_speakers).chain(found.apart.iter().cloned()).chain(ties).collect()
}

/// The nets of an arrangement, written without the code under test.
fn nets_of(arrangement: &Arrangement, found: &AsFound) -> Vec<BTreeSet<String>> {
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
fn wires_of(nets: &[BTreeSet<String>]) -> Vec<(String, String)> {
    let star = |net: &BTreeSet<String>| {
        let names: Vec<String> = net.iter().cloned().collect();
        names[1..].iter().map(|name| (names[0].clone(), name.clone())).collect::<Vec<_>>()
    };
    nets.iter().flat_map(star).collect()
}

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

fn permutations(n: usize) -> Vec<Vec<usize>> {
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

/// Does the steps to the wires and sees that they make what the rework says.
#[track_caller]
fn assert_done(found: &AsFound, rework: &Rework) {
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
fn shuffled(
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
    compare_with_states(&[0, 0], 0, 5, 5, 30);
    compare_with_states(&[0, 1], 0, 5, 4, 60);
}

#[test]
fn two_speakers_with_tie_points_against_every_state_of_the_iron() {
    compare_with_states(&[0, 0], 1, 6, 4, 60);
    compare_with_states(&[0, 1], 2, 6, 3, 60);
}

#[test]
fn three_speakers_against_every_state_of_the_iron() {
    compare_with_states(&[0, 0, 0], 0, 7, 4, 30);
    compare_with_states(&[0, 0, 1], 1, 7, 4, 15);
}

#[test]
fn four_speakers_against_every_state_of_the_iron() {
    compare_with_states(&[0, 1, 0, 1], 0, 8, 3, 30);
    compare_with_states(&[0, 0, 0, 0], 0, 8, 3, 30);
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
