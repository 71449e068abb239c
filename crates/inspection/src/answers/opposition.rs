//! Which cones move against the others, and what that costs.
//!
//! Source: acoustics and electrics digest, sections 1.3 and 2.9.

use acoustics::Air;
use acoustics::radiation::{PairRelation, pair_power};
use quantities::{Frequency, Gain, Length};
use workorder::Polarity;

use super::network::{Network, SpeakerShare};

/// Speakers of known polarity that move against each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Opposition {
    /// Those that move together, as numbers in the network's shares: the greater number, or those with the first
    /// speaker where both are equally many.
    pub with: Vec<usize>,
    /// Those that move against them.
    pub against: Vec<usize>,
    /// The least distance between two that oppose; none where places are not told.
    pub spacing: Option<Length>,
    /// What two alike at that distance lose in total power against moving together, at 500 Hz and at 1 kHz.
    pub loss: Option<(Gain, Gain)>,
}

impl Network {
    /// The opposition among the speakers that sound and whose polarity is known; none where all move together.
    #[must_use]
    pub fn opposition(&self) -> Option<Opposition> {
        let is_known = |share: &SpeakerShare| self.sounds(share) && share.polarity != Polarity::Unknown;
        let known = || self.shares.iter().enumerate().filter(|(_, share)| is_known(share));
        let first_way = known().next()?.1.moves_outward;
        let (mut with, mut against): (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
        for (number, share) in known() {
            if share.moves_outward == first_way { &mut with } else { &mut against }.push(number);
        }
        if against.is_empty() {
            return None;
        }
        if against.len() > with.len() {
            std::mem::swap(&mut with, &mut against);
        }
        let spacing = self.spacing(&with, &against);
        let loss = spacing.and_then(|spacing| {
            Some((
                loss(spacing, Frequency::from_hertz(500.0)?),
                loss(spacing, Frequency::from_hertz(1000.0)?),
            ))
        });
        Some(Opposition { with, against, spacing, loss })
    }

    fn spacing(&self, with: &[usize], against: &[usize]) -> Option<Length> {
        let places = |numbers: &[usize]| -> Vec<f64> {
            numbers.iter().filter_map(|number| Some(self.shares[*number].at?.as_metres())).collect()
        };
        let mut with = places(with);
        with.sort_by(f64::total_cmp);
        // The nearest neighbour of each is one of the two around its place in the sorted list.
        let nearest = |place: f64| {
            let above = with.partition_point(|other| *other < place);
            let around = [above.checked_sub(1).map(|below| with[below]), with.get(above).copied()];
            around.into_iter().flatten().map(|other| (other - place).abs()).min_by(f64::total_cmp)
        };
        let least = places(against).into_iter().filter_map(nearest).min_by(f64::total_cmp)?;
        Length::from_metres(least).filter(|spacing| spacing.as_metres() > 0.0)
    }
}

fn loss(spacing: Length, at: Frequency) -> Gain {
    let air = Air::default();
    pair_power(PairRelation::Opposed, spacing, at, &air)
        - pair_power(PairRelation::InPhase, spacing, at, &air)
}
