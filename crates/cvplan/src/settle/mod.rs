//! From wishes to targets, one topic a file.

mod address;
mod keys;
mod lamps;
mod levels;
mod manners;
mod voice;

use datasheets::{Choice, CvPlace, DecoderSheet, VoicePart};
use finding::Path;
use workorder::WorkOrder;

use crate::gap::Gap;
use crate::target::Targets;

/// Several recordings that fit a wish equally well: to be listened to one after another.
#[derive(Debug, Clone, PartialEq)]
pub struct Audition {
    /// The wish.
    pub wish: Path,
    /// The part of the voice.
    pub part: VoicePart,
    /// The recordings; the first is the one settled on.
    pub choices: Vec<Choice>,
}

/// What became of the wishes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Settlement {
    /// What the CVs shall hold.
    pub targets: Targets,
    /// What the decoder cannot do.
    pub gaps: Vec<Gap>,
    /// What only an ear can decide.
    pub auditions: Vec<Audition>,
}

impl Settlement {
    /// Whether the decoder has a plain CV; a gap where it has not.
    fn has_plain(&mut self, sheet: &DecoderSheet, cv: u16, wish: &Path, what: &str) -> bool {
        let place = CvPlace { page: None, cv };
        if !sheet.has(place) {
            self.gaps.push(Gap::NoCv { wish: wish.clone(), what: what.to_owned(), place: Some(place) });
            return false;
        }
        true
    }
}

/// Settles the wishes of an order for the decoder of a sheet.
#[must_use]
pub fn settle(order: &WorkOrder, sheet: &DecoderSheet) -> Settlement {
    let mut settlement = Settlement::default();
    if let Some(address) = &order.address {
        address::settle(address, sheet, &mut settlement);
    }
    if let Some(manners) = &order.manners {
        manners::settle(manners, sheet, &mut settlement);
    }
    if let Some(voice) = &order.voice {
        voice::settle(voice, sheet, &mut settlement);
    }
    if let Some(levels) = &order.levels {
        levels::settle(levels, sheet, &mut settlement);
    }
    lamps::settle(order, sheet, &mut settlement);
    keys::settle(order, sheet, &mut settlement);
    settlement
}
