//! The units of a train as they will run: momentum as the registers hold it, recordings, keys at the consist address.

use datasheets::{CvPlace, DecoderSheet, Deed, HeadEndPower, Key, RoleName, StandardReading, VoicePart};
use documents::Name;
use quantities::Duration;
use workorder::{Unit, WorkOrder};

use crate::job::{Job, TrainPlace};

/// What one unit brings into its train.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitAnswer {
    /// The number of its work order.
    pub number: Name,
    /// Whether it has a motor; taken for granted as long as there is no survey.
    pub has_motor: bool,
    /// From stop to full speed, by the number that CV3 will hold; none where neither wish nor sheet tells it.
    pub acceleration: Option<Duration>,
    /// From full speed to stop, by the number that CV4 will hold.
    pub deceleration: Option<Duration>,
    /// The engine's recording: the decoder's sheet and the number of the recording on it.
    pub recording: Option<(Name, u8)>,
    /// Whether its order wishes electricity for the train from it.
    pub can_supply: bool,
    /// Whether the train takes its electricity from it.
    pub supplies: bool,
    /// Which of its keys it should answer to at the consist address.
    pub keys: ConsistKeys,
}

/// The keys that a unit should answer to at the consist address, as CV21 and CV22 hold them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ConsistKeys {
    /// The keys, by their use in the train.
    pub wanted: Vec<Key>,
    /// CV21: F1 in bit 0 to F8 in bit 7.
    pub cv21: u8,
    /// CV22: F0 forward and reverse in bits 0 and 1, F9 to F12 in bits 2 to 5; by RCN-225 F13 to F20 in bit 6 and F21 to
    /// F28 in bit 7.
    pub cv22: u8,
    /// Wanted keys that neither carries.
    pub beyond: Vec<Key>,
}

/// CV3 and CV4 count this where a sheet says nothing else (S-9.2.2 CV3, CV4).
const MOMENTUM_COUNT_SECONDS: f64 = 0.896;

/// The answers for all units of the job's train, in its order; none for units whose order is not at hand.
pub(super) fn answers(job: &Job<'_>) -> Vec<Option<UnitAnswer>> {
    let Some(place) = &job.train else { return Vec::new() };
    place
        .train
        .unit
        .iter()
        .zip(place.orders)
        .enumerate()
        .map(|(index, (unit, order))| Some(answer(job, place, index, unit, (*order)?)))
        .collect()
}

fn answer(job: &Job<'_>, place: &TrainPlace<'_>, index: usize, unit: &Unit, order: &WorkOrder) -> UnitAnswer {
    let sheet = order.plan.as_ref().and_then(|plan| job.shelf.decoders.get(plan.decoder.as_ref()?));
    let supplies = unit.powers_train == Some(true);
    let role = TrainRole { leads: index == 0, trails: index + 1 == place.train.unit.len(), supplies };
    let wished = |pick: fn(&workorder::Manners) -> Option<Duration>| order.manners.as_ref().and_then(pick);
    UnitAnswer {
        number: unit.order.clone(),
        has_motor: has_motor(order),
        acceleration: momentum(wished(|manners| manners.acceleration), 3, sheet),
        deceleration: momentum(wished(|manners| manners.deceleration), 4, sheet),
        recording: sheet.and_then(|sheet| Some((sheet.part.name.clone(), recording(order, sheet)?))),
        can_supply: supply(order).is_some_and(|kind| kind != HeadEndPower::None),
        supplies,
        keys: consist_keys(order, role, sheet),
    }
}

fn supply(order: &WorkOrder) -> Option<HeadEndPower> {
    order.voice.as_ref()?.head_end_power
}

fn has_motor(order: &WorkOrder) -> bool {
    order.survey.as_ref().is_none_or(|survey| {
        survey.stall_current.is_some()
            || survey.running_current.is_some()
            || survey.motor_resistance.is_some()
            || survey.motor_to_frame.is_some()
    })
}

/// The time that a register will hold: the wish brought to whole counts, else what it holds on delivery.
fn momentum(wished: Option<Duration>, cv: u16, sheet: Option<&DecoderSheet>) -> Option<Duration> {
    let sheet = sheet?;
    let count = sheet.decoder.momentum_count.map_or(MOMENTUM_COUNT_SECONDS, Duration::as_seconds);
    let counts = match wished {
        Some(wished) => (wished.as_seconds() / count).round().min(f64::from(u8::MAX)),
        None => f64::from(*sheet.content_on_delivery().get(&CvPlace { page: None, cv })?),
    };
    Duration::from_seconds(counts * count)
}

/// The engine's recording as it will be chosen.
fn recording(order: &WorkOrder, sheet: &DecoderSheet) -> Option<u8> {
    order.voice.as_ref()?.prime_mover.as_ref()?;
    let role = sheet.role(RoleName::Voice(VoicePart::Engine))?;
    let settlement = cvplan::settle(order, sheet);
    let target = settlement.targets.get(role.place())?;
    Some(role.bit_range().extract(target.value))
}

/// What a unit is in its train.
#[derive(Debug, Clone, Copy)]
struct TrainRole {
    leads: bool,
    trails: bool,
    supplies: bool,
}

impl TrainRole {
    /// Whether a unit should do a thing when the train's throttle asks for it: the lead unit blows and rings, the last
    /// one shows the rear, one unit answers the head-end key (practice stage 19 and row 55); the rest is for all.
    fn does(self, deed: Deed) -> bool {
        match deed {
            Deed::Horn
            | Deed::ShortHorn
            | Deed::Bell
            | Deed::Headlight
            | Deed::DimHeadlight
            | Deed::DitchLamps
            | Deed::Beacon
            | Deed::MarkerLamps => self.leads,
            Deed::RearLight | Deed::EndOfTrainLamp => self.trails,
            Deed::HeadEndPower => self.supplies,
            Deed::CabLamp
            | Deed::NumberLamps
            | Deed::Firebox
            | Deed::CoachLamps
            | Deed::Engine
            | Deed::DynamicBrake
            | Deed::Mute
            | Deed::BrakeSqueal
            | Deed::Coupler
            | Deed::Compressor
            | Deed::CylinderCocks
            | Deed::Injector
            | Deed::Brake
            | Deed::Shunting => true,
        }
    }
}

fn consist_keys(order: &WorkOrder, role: TrainRole, sheet: Option<&DecoderSheet>) -> ConsistKeys {
    let is_rcn = sheet.is_some_and(|sheet| sheet.decoder.reading == StandardReading::Rcn);
    let mut keys = ConsistKeys::default();
    for (key, deeds) in &order.keys.0 {
        if !deeds.0.iter().any(|deed| role.does(*deed)) {
            continue;
        }
        keys.wanted.push(*key);
        match consist_bits(*key, is_rcn) {
            Some((cv21, cv22)) => {
                keys.cv21 |= cv21;
                keys.cv22 |= cv22;
            }
            None => keys.beyond.push(*key),
        }
    }
    keys
}

/// The bits of CV21 and CV22 that stand for a key (S-9.2.2 and RCN-225 CV21, CV22); none for keys that have none.
pub(crate) fn consist_bits(key: Key, is_rcn: bool) -> Option<(u8, u8)> {
    match key.number() {
        0 => Some((0, 0b11)),
        number @ 1..=8 => Some((1 << (number - 1), 0)),
        number @ 9..=12 => Some((0, 1 << (number - 7))),
        13..=20 if is_rcn => Some((0, 1 << 6)),
        21..=28 if is_rcn => Some((0, 1 << 7)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use datasheets::Key;

    use super::consist_bits;

    /// The function-bit cross table of S-9.2.2 CV21 and CV22, and RCN-225's two bits for the keys above.
    #[test]
    fn keys_and_their_bits() {
        let bits = |number: u8, is_rcn: bool| consist_bits(Key::new(number).unwrap(), is_rcn);
        assert_eq!(bits(0, false), Some((0, 0b0000_0011)), "F0 forward and reverse");
        assert_eq!(bits(1, false), Some((0b0000_0001, 0)));
        assert_eq!(bits(8, false), Some((0b1000_0000, 0)));
        assert_eq!(bits(9, false), Some((0, 0b0000_0100)));
        assert_eq!(bits(12, false), Some((0, 0b0010_0000)));
        assert_eq!(bits(13, false), None);
        assert_eq!((bits(13, true), bits(20, true)), (Some((0, 0b0100_0000)), Some((0, 0b0100_0000))));
        assert_eq!((bits(21, true), bits(28, true)), (Some((0, 0b1000_0000)), Some((0, 0b1000_0000))));
        assert_eq!(bits(29, true), None);
    }
}
