//! Counts against the published sequences, answers against the circuit solver.

use std::collections::BTreeSet;

use proptest::prelude::*;
use quantities::{Frequency, Gain, Power, Resistance, SoundPressureLevel, Voltage};

use super::{Arrangement, Candidate, Wishes, arrangements, rank_arrangements};
use crate::{BridgeAmplifier, Load, LoadVerdict};

fn ohms(value: f64) -> Resistance {
    Resistance::from_ohms(value).unwrap()
}

fn hertz(value: f64) -> Frequency {
    Frequency::from_hertz(value).unwrap()
}

const NAMES: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

#[test]
fn counts_of_different_speakers_follow_oeis_a006351() {
    let counts: Vec<usize> =
        (1..7).map(|n| arrangements(&(0..n).collect::<Vec<_>>(), n).unwrap().len()).collect();
    assert_eq!(counts, [1, 2, 8, 52, 472, 5504]);
}

#[test]
fn counts_of_equal_speakers_follow_oeis_a000084() {
    let counts: Vec<usize> = (1..9).map(|n| arrangements(&vec![0; n], n).unwrap().len()).collect();
    assert_eq!(counts, [1, 2, 4, 10, 24, 66, 180, 522]);
}

#[test]
fn every_arrangement_comes_once_and_is_written_canonically() {
    fn check(arrangement: &Arrangement) {
        let (parts, is_nested): (_, fn(&Arrangement) -> bool) = match arrangement {
            Arrangement::Speaker(_) => return,
            Arrangement::Series(parts) => (parts, |part| matches!(part, Arrangement::Series(_))),
            Arrangement::Parallel(parts) => (parts, |part| matches!(part, Arrangement::Parallel(_))),
        };
        assert!(parts.len() >= 2 && !parts.iter().any(is_nested), "{arrangement:?}");
        parts.iter().for_each(check);
    }
    /// The same network whatever the order of its parts.
    fn sorted(arrangement: &Arrangement) -> Arrangement {
        let sort = |parts: &[Arrangement]| {
            let mut parts: Vec<Arrangement> = parts.iter().map(sorted).collect();
            parts.sort();
            parts
        };
        match arrangement {
            Arrangement::Speaker(speaker) => Arrangement::Speaker(*speaker),
            Arrangement::Series(parts) => Arrangement::Series(sort(parts)),
            Arrangement::Parallel(parts) => Arrangement::Parallel(sort(parts)),
        }
    }
    let all = arrangements(&[0, 1, 2, 3, 4], 1).unwrap();
    all.iter().for_each(check);
    assert_eq!(all.iter().map(sorted).collect::<BTreeSet<_>>().len(), all.len());
    // Subsets: 5 of one, 10 of two, 10 of three, 5 of four, 1 of five speakers.
    assert_eq!(all.len(), 5 + 10 * 2 + 10 * 8 + 5 * 52 + 472);
}

#[test]
fn too_many_arrangements_are_refused_with_their_number() {
    let error = arrangements(&(0..9).collect::<Vec<_>>(), 9).unwrap_err();
    let text = "9 speakers of 9 kinds have more than 300000 arrangements: take fewer, or treat similar ones as equal";
    assert_eq!(error.to_string(), text);
}

fn wishes(supply: f64, least_load: f64, least_speakers: usize) -> Wishes {
    Wishes {
        amplifier: BridgeAmplifier::on_supply(Voltage::from_volts(supply).unwrap(), ohms(least_load)),
        least_speakers,
        most_spread: Gain::from_decibels(3.0).unwrap(),
        frequencies: vec![hertz(300.0), hertz(1000.0), hertz(3000.0)],
    }
}

fn candidate(re: f64, nominal: f64, rated: f64) -> Candidate {
    Candidate { load: Load::Nominal(ohms(re)), nominal: ohms(nominal), rated: Power::from_watts(rated) }
}

fn level(decibels: f64) -> SoundPressureLevel {
    SoundPressureLevel::from_decibels_re_20_micropascal(decibels).unwrap()
}

#[test]
fn amplifier_refuses_what_is_too_low() {
    let two = [candidate(7.0, 8.0, 2.0), candidate(7.0, 8.0, 2.0)];
    let ranked =
        rank_arrangements(&two, &wishes(4.0, 8.0, 2), &|_: usize, _: Frequency| level(76.0)).unwrap();
    let shown: Vec<_> = ranked.iter().map(|one| one.arrangement.in_signs(&NAMES)).collect();
    assert_eq!(shown, ["A + B", "A ∥ B"]);
    let LoadVerdict::NominalTooLow { nominal, least } = ranked[1].verdict else {
        panic!("{:?}", ranked[1].verdict)
    };
    assert_eq!((nominal.to_string(), least.to_string()), ("4 ohm".to_owned(), "8 ohm".to_owned()));
    // The parallel pair would be 6 dB louder: each speaker gets four times the power.
    let gain =
        ranked[1].level.as_decibels_re_20_micropascal() - ranked[0].level.as_decibels_re_20_micropascal();
    assert!((gain - 20.0 * 2_f64.log10()).abs() < 1e-9, "{gain}");
}

#[test]
fn overloaded_speaker_puts_an_arrangement_behind() {
    // 4 V supply: 2.83 V into one 8-ohm part is 1 W, twice what the small one stands.
    let two = [candidate(8.0, 8.0, 2.0), candidate(8.0, 8.0, 0.5)];
    let ranked =
        rank_arrangements(&two, &wishes(4.0, 4.0, 1), &|_: usize, _: Frequency| level(76.0)).unwrap();
    let shown: Vec<_> =
        ranked.iter().map(|one| (one.arrangement.in_signs(&NAMES), one.is_within_ratings())).collect();
    // The pair in series gets a quarter of a watt each and is as loud as one with 1 W.
    let expected = [("A", true), ("A + B", true), ("A ∥ B", false), ("B", false)];
    assert_eq!(shown, expected.map(|(signs, is_within)| (signs.to_owned(), is_within)));
    let overload = ranked[3].headroom.unwrap().as_decibels();
    assert!((overload + 10.0 * 2_f64.log10()).abs() < 1e-9, "{overload}");
}

#[test]
fn unequal_speakers_are_told_apart_by_loudness_alone() {
    let two = [candidate(7.0, 8.0, 2.0), candidate(7.0, 8.0, 2.0)];
    let uneven = |speaker: usize, _: Frequency| level(if speaker == 0 { 76.0 } else { 72.0 });
    let ranked = rank_arrangements(&two, &wishes(4.0, 4.0, 1), &uneven).unwrap();
    assert_eq!(ranked.len(), 4);
    let pair = ranked.iter().find(|one| one.arrangement.in_signs(&NAMES) == "A + B").unwrap();
    assert!(!pair.is_even && (pair.spread.as_decibels() - 4.0).abs() < 1e-9);
}

proptest! {
    /// The quick ranking says what the circuit solver says, for every arrangement of four unequal speakers.
    #[test]
    fn ranking_agrees_with_the_solver(values in prop::collection::vec(2.0..32.0, 4), pick in 0_usize..52) {
        let candidates: Vec<Candidate> = values.iter().map(|value| candidate(*value, 8.0, 1.0)).collect();
        let wishes = wishes(5.0, 4.0, 4);
        let ranked = rank_arrangements(&candidates, &wishes, &|_: usize, _: Frequency| level(70.0)).unwrap();
        let one = &ranked[pick];
        let loads: Vec<Load> = candidates.iter().map(|candidate| candidate.load.clone()).collect();
        let netlist = one.arrangement.netlist(&NAMES, &loads, wishes.amplifier.sine_voltage()).unwrap();
        let solution = netlist.solve_at(hertz(1000.0)).unwrap();
        let z = solution.impedance().unwrap().re;
        prop_assert!((one.least.modulus.as_ohms() - z).abs() <= 1e-9 * z);
        let mut pressure = 0.0;
        for (speaker, power) in &one.powers {
            let solved = solution.power(netlist.find(NAMES[*speaker]).unwrap()).as_watts();
            prop_assert!((power.as_watts() - solved).abs() <= 1e-9 * solved);
            pressure += solved.sqrt() * 10_f64.powf(70.0 / 20.0);
        }
        let sum = 20.0 * pressure.log10();
        prop_assert!((one.level.as_decibels_re_20_micropascal() - sum).abs() < 1e-9);
    }
}
