//! Polarity by construction: what is turned is opposed, what is turned twice is not.
//! The table of the reference digest, section 1.3, is checked in the room `refcheck`.

use proptest::prelude::*;
use quantities::{Capacitance, Resistance, Voltage};

use super::{Marking, Mount, PlacedSpeaker, Relation, polarity};
use crate::arrangement::arrangements;
use crate::{ElementId, Load, Netlist};

fn eight() -> Load {
    Load::Nominal(Resistance::from_ohms(8.0).unwrap())
}

fn fed() -> Netlist {
    let mut netlist = Netlist::new();
    netlist.amplifier("S1", "S2", Voltage::from_volts(1.0).unwrap()).unwrap();
    netlist
}

fn placed(speaker: ElementId, mount: Mount, marking: Marking) -> PlacedSpeaker {
    PlacedSpeaker { speaker, mount, marking }
}

const NAMES: [&str; 4] = ["A", "B", "C", "D"];

proptest! {
    /// In any arrangement, two speakers are opposed exactly when an odd number of turns lies between them: terminals
    /// swapped, mounted backwards, marked wrongly.
    #[test]
    fn turns_cancel_in_pairs(pick in 0_usize..52, turns in prop::collection::vec((any::<bool>(), any::<bool>(), any::<bool>()), 4)) {
        let arrangement = &arrangements(&[0, 1, 2, 3], 4).unwrap()[pick];
        let straight = arrangement.netlist(&NAMES, &vec![eight(); 4], Voltage::from_volts(1.0).unwrap()).unwrap();
        let mut netlist = fed();
        let mut speakers = Vec::new();
        let is_turned: Vec<bool> = turns.iter().map(|(wired, mounted, marked)| wired ^ mounted ^ marked).collect();
        for (name, (wired, mounted, marked)) in NAMES.iter().zip(&turns) {
            let (plus, minus) = straight.terminals_of(straight.find(name).unwrap());
            let (plus, minus) = if *wired { (minus, plus) } else { (plus, minus) };
            let id = netlist.speaker(name, plus, minus, eight()).unwrap();
            let mount = if *mounted { Mount::MagnetOutward } else { Mount::FrontOutward };
            let marking = if *marked { Marking::TestedReversed } else { Marking::Tested };
            speakers.push(placed(id, mount, marking));
        }
        let found = polarity(&netlist, &speakers).unwrap();
        prop_assert_eq!(found.pairs.len(), 6);
        for pair in &found.pairs {
            let is_opposed = is_turned[pair.one.index()] != is_turned[pair.other.index()];
            let expected = if is_opposed { Relation::Opposed } else { Relation::Together };
            prop_assert_eq!(pair.relation, expected);
            let cosine = pair.cosine.unwrap();
            prop_assert!((cosine.abs() - 1.0).abs() < 1e-12);
        }
        let n_turned = is_turned.iter().filter(|turned| **turned).count();
        prop_assert_eq!(found.groups.len(), if n_turned == 0 || n_turned == 4 { 1 } else { 2 });
        prop_assert_eq!(found.is_together(), found.groups.len() == 1);
    }
}

#[test]
fn unknown_polarity_stays_unknown() {
    let mut netlist = fed();
    let known = netlist.speaker("A", "S1", "S2", eight()).unwrap();
    let unknown = netlist.speaker("B", "S1", "S2", eight()).unwrap();
    let speakers = [
        placed(known, Mount::FrontOutward, Marking::Marked),
        placed(unknown, Mount::FrontOutward, Marking::Unknown),
    ];
    let found = polarity(&netlist, &speakers).unwrap();
    assert_eq!(found.pairs[0].relation, Relation::Unknown);
    assert_eq!((found.groups, found.unknown), (vec![vec![known]], vec![unknown]));
    let alone = polarity(&netlist, &speakers[1..]).unwrap();
    assert!(alone.is_together() && !polarity(&netlist, &speakers).unwrap().is_together());
}

#[test]
fn silent_speaker_opposes_nobody() {
    let mut netlist = fed();
    let sounding = netlist.speaker("A", "S1", "S2", eight()).unwrap();
    let hanging = netlist.speaker("B", "S1", "loose", eight()).unwrap();
    let speakers = [sounding, hanging].map(|id| placed(id, Mount::FrontOutward, Marking::Tested));
    let found = polarity(&netlist, &speakers).unwrap();
    assert_eq!((found.pairs[0].relation, found.pairs[0].cosine), (Relation::Silent, None));
    assert_eq!(found.silent, [hanging]);
    assert!(found.is_together());
}

/// A capacitor in front of one speaker turns its voltage by less than a quarter: still together, with a smaller cosine.
#[test]
fn phase_shift_shows_in_the_cosine() {
    let mut netlist = fed();
    let direct = netlist.speaker("A", "S1", "S2", eight()).unwrap();
    netlist.capacitor("C", "S1", "B.plus", Capacitance::from_farads(2e-6).unwrap()).unwrap();
    let through = netlist.speaker("B", "B.plus", "S2", eight()).unwrap();
    let speakers = [direct, through].map(|id| placed(id, Mount::FrontOutward, Marking::Tested));
    let pair = polarity(&netlist, &speakers).unwrap().pairs[0];
    assert_eq!(pair.relation, Relation::Together);
    assert!((0.01..0.2).contains(&pair.cosine.unwrap()), "{pair:?}");
}
