//! The plan that brings a decoder back to its snapshot.
//!
//! It goes through the steps that were to meet the wishes, in their order, with what the snapshot has in place of what
//! was wanted: the same conditions come before, pages are selected where they are needed, and the address comes last. What
//! was only a condition is put back at the end.

use std::collections::BTreeSet;

use datasheets::CvPlace;

use super::state::{HOUSEKEEPING, State};
use crate::journal::StepRecord;
use crate::standard::{LOCK_KEY, plain};

pub(super) fn steps(state: &State) -> Vec<StepRecord> {
    let Some(snapshot) = &state.snapshot else { return Vec::new() };
    let wanted: BTreeSet<CvPlace> = state.wanted.iter().map(|wanted| wanted.place.into()).collect();
    let mut steps = Vec::new();
    let mut conditions = Vec::new();
    let mut is_unlocked = false;
    for step in &state.program {
        let Some((place, value)) = step.aim() else {
            steps.push(*step);
            continue;
        };
        if place == plain(LOCK_KEY) {
            // Opened as before; closed at the end of the run like any housekeeping.
            if !is_unlocked {
                steps.push(StepRecord::Ensure { place: place.into(), value });
            }
            is_unlocked = true;
        } else if wanted.contains(&place) || matches!(step, StepRecord::Ensure { .. }) {
            steps.extend(snapshot.get(place).map(|was| back(state, place, was)));
        } else {
            steps.push(StepRecord::Ensure { place: place.into(), value });
            if !conditions.contains(&place) && !HOUSEKEEPING.contains(&place) {
                conditions.push(place);
            }
        }
    }
    for place in conditions {
        steps.extend(snapshot.get(place).map(|value| StepRecord::Ensure { place: place.into(), value }));
    }
    steps
}

/// Back to what it was: a write where the decoder is known to hold something else, a question first where it is not.
fn back(state: &State, place: CvPlace, was: u8) -> StepRecord {
    match state.known.get(place) {
        Some(from) if from != was && !state.uncertain.contains(&place) => {
            StepRecord::Write { place: place.into(), from, to: was }
        }
        _ => StepRecord::Ensure { place: place.into(), value: was },
    }
}
