//! The best wiring of the speakers at hand, and the fewest joints to change to get there.

use electrics::{
    AsFound, Candidate, RankedArrangement, Rework, ReworkError, ReworkSpeaker, Step, Target,
    TooManyArrangements, Wishes, least_rework, rank_arrangements,
};
use quantities::{Frequency, Gain};

use crate::meter::APART;
use crate::wiring::Wiring;

/// How much louder one speaker may be than another before an arrangement counts as uneven: twice as loud is 10 dB, 3 dB
/// are just plain to hear (practice section 3: "3 dB barely louder").
const MOST_SPREAD_DECIBELS: f64 = 3.0;
/// Where arrangements are compared: octaves of the band where a small speaker is heard most.
const COMPARED_AT_HERTZ: [f64; 5] = [250.0, 500.0, 1000.0, 2000.0, 4000.0];

/// The arrangements of the speakers of a wiring, best first, with their names.
#[derive(Debug, Clone)]
pub struct Proposals {
    /// Names of the speakers, as the arrangements number them.
    pub names: Vec<String>,
    /// Every arrangement, best first.
    pub ranked: Vec<RankedArrangement>,
}

impl Proposals {
    /// Ranks every series and parallel arrangement of the speakers of a wiring at its amplifier. All speakers are used.
    ///
    /// # Errors
    /// More speakers than can be enumerated.
    pub fn of(wiring: &Wiring) -> Result<Self, TooManyArrangements> {
        let names = wiring.speakers.iter().map(|speaker| speaker.name.clone()).collect();
        let candidates: Vec<Candidate> = wiring
            .speakers
            .iter()
            .map(|speaker| Candidate {
                load: speaker.load(),
                nominal: speaker.nominal,
                rated: Some(speaker.rating),
            })
            .collect();
        let wishes = Wishes {
            amplifier: wiring.amplifier.bridge,
            least_speakers: wiring.speakers.len(),
            most_spread: Gain::from_decibels(MOST_SPREAD_DECIBELS)
                .unwrap_or_else(|| unreachable!("3 dB is in range")),
            frequencies: COMPARED_AT_HERTZ.iter().filter_map(|hertz| Frequency::from_hertz(*hertz)).collect(),
        };
        let sensitivity = |candidate: usize, at: Frequency| wiring.speakers[candidate].sensitivity(at);
        Ok(Self { names, ranked: rank_arrangements(&candidates, &wishes, &sensitivity)? })
    }

    /// The best arrangement; none without speakers.
    #[must_use]
    pub fn best(&self) -> Option<&RankedArrangement> {
        self.ranked.first()
    }

    /// An arrangement with the speakers' names: `(A + B) ∥ C`.
    #[must_use]
    pub fn in_signs(&self, ranked: &RankedArrangement) -> String {
        let names: Vec<&str> = self.names.iter().map(String::as_str).collect();
        ranked.arrangement.in_signs(&names)
    }
}

/// What is there, for the rework: the wires of the survey at the speakers of the plan.
fn as_found(found: Option<&Wiring>, planned: &Wiring) -> AsFound {
    let mut kinds: Vec<&str> = Vec::new();
    let speakers = planned
        .speakers
        .iter()
        .map(|speaker| {
            let kind = kinds.iter().position(|kind| *kind == speaker.kind).unwrap_or_else(|| {
                kinds.push(&speaker.kind);
                kinds.len() - 1
            });
            // Facing inward turns the sign: the lead that moves the cone outward is then the other one.
            let (plus, minus) = speaker.leads.clone();
            let is_turned = speaker.mount == electrics::Mount::MagnetOutward;
            let (plus, minus) = if is_turned { (minus, plus) } else { (plus, minus) };
            ReworkSpeaker { plus, minus, kind }
        })
        .collect();
    let apart = APART.map(str::to_owned).to_vec();
    AsFound {
        amplifier: planned.outputs.clone(),
        speakers,
        wires: found.map_or_else(Vec::new, |found| found.wires.clone()),
        apart,
    }
}

/// The fewest joints from what was found to an arrangement or to anything electrically as good.
///
/// # Errors
/// The documents name terminals inconsistently.
pub fn rework_to(
    found: Option<&Wiring>,
    planned: &Wiring,
    target: &RankedArrangement,
) -> Result<Rework, ReworkError> {
    least_rework(&as_found(found, planned), &Target::Arrangement(target.arrangement.clone()))
}

/// The fewest joints from what was found to the plan's own wires, as drawn.
///
/// # Errors
/// The documents name terminals inconsistently.
pub fn rework_to_plan(found: Option<&Wiring>, planned: &Wiring) -> Result<Rework, ReworkError> {
    least_rework(&as_found(found, planned), &Target::Nets(joined_sets(&planned.wires)))
}

/// The terminals that wires join, set by set, in the order in which the wires name them.
#[must_use]
pub fn joined_sets(wires: &[(String, String)]) -> Vec<Vec<String>> {
    let mut nets: Vec<Vec<String>> = Vec::new();
    for (from, to) in wires {
        let with =
            |terminal: &String, nets: &[Vec<String>]| nets.iter().position(|net| net.contains(terminal));
        match (with(from, &nets), with(to, &nets)) {
            (None, None) => nets.push(vec![from.clone(), to.clone()]),
            (Some(net), None) => nets[net].push(to.clone()),
            (None, Some(net)) => nets[net].push(from.clone()),
            (Some(one), Some(other)) if one != other => {
                let moved = nets.remove(one.max(other));
                nets[one.min(other)].extend(moved);
            }
            (Some(_), Some(_)) => {}
        }
    }
    nets
}

/// The steps of a rework as a workshop manual tells them, numbered by the reader.
#[must_use]
pub fn told(rework: &Rework) -> Vec<String> {
    let mut told: Vec<String> = rework.steps.iter().map(ToString::to_string).collect();
    let makes_joints = rework.steps.iter().any(|step| matches!(step, Step::Join { .. } | Step::Lay { .. }));
    if makes_joints {
        told.push("sleeve every joint that was made".to_owned());
    }
    told
}
