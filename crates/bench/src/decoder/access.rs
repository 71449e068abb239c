//! Access to CVs: where a CV lies, what reading it gives, and whether a write is accepted.
//!
//! What it is: the rules of the decoder about its own memory: index pages, the lock, read-only CVs, bits of features that
//! it lacks, limits of the sheet's roles, CVs that pull others along.
//! What it is not: the packets that ask for access, or the time a write takes.
//!
//! Source: S-9.2.2 CV1, CV7, CV8, CV15/16, CV29, CV31/32; RCN-225 the same; RCN-226 §2; S-9.2.3 address-only mode (reference
//! text 4.5, 4.6, 4.10, 4.11). A value outside a role's limits and a role whose `before` setting is missing are refused,
//! as the sheet says.

use datasheets::{CvPlace, DecoderSheet, KeyMapMethod, Role, StandardReading};
use dcc::cv::{Config29, DecoderLock, RuleSet};

use crate::memory::{Memory, RESET_PENDING, matrix_mask, plain};
use crate::truth::byte;

/// CV29 bit 5: the long address counts (S-9.2.2 CV29).
pub(super) const LONG_ADDRESS: u8 = Config29 { has_long_address: true, ..NOTHING }.value();
/// CV29 = 0.
const NOTHING: Config29 = Config29::from_value(0);
/// Lowest of the values that RCN-225 reserves as commands in CV15 and forbids in CV16.
const LOCK_COMMANDS: u8 = 240;

/// What a decoder's sheet says about access to its CVs.
#[derive(Debug, Clone)]
pub(crate) struct Access {
    rules: RuleSet,
    has_lock: bool,
    roles: Vec<Role>,
    /// Bits that CVs may hold, where not all eight: bits for features that the decoder lacks (S-9.2.2: must not be set).
    masks: Vec<(u16, u8)>,
}

/// What comes of a write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// Nothing is stored, and the decoder does not acknowledge.
    Refused,
    /// These places get these values, all or none of them.
    Stores(Vec<(CvPlace, u8)>),
}

impl Access {
    pub(crate) fn of(sheet: &DecoderSheet) -> Self {
        let has = |cv| sheet.has(plain(cv));
        let rules = match sheet.decoder.reading {
            StandardReading::Nmra => RuleSet::Nmra,
            StandardReading::Rcn => RuleSet::Rcn,
        };
        // Any of the first three bits every decoder can set; nobody knows from a sheet which of them it lacks.
        let configuration = Config29 {
            is_reversed: true,
            has_28_steps: true,
            is_analog_allowed: true,
            is_feedback_on: has(28),
            has_speed_table: has(67),
            has_long_address: has(17) && has(18),
            ..NOTHING
        };
        // CV14 and CV22 have six bits, CV22 eight by RCN-225.
        let consist = if rules == RuleSet::Rcn { 0xFF } else { 0x3F };
        let mut masks = vec![(14, 0x3F), (22, consist), (29, configuration.value())];
        if sheet.key_map.method == KeyMapMethod::Matrix {
            masks.extend((33..=46).map(|cv| (cv, matrix_mask(cv, sheet))));
        }
        Self { rules, has_lock: sheet.decoder.lock, roles: sheet.roles(), masks }
    }

    /// Which standard the decoder follows where they differ.
    pub(crate) fn rules(&self) -> RuleSet {
        self.rules
    }

    /// Whether that is RCN-225.
    pub(crate) fn is_rcn(&self) -> bool {
        self.rules == RuleSet::Rcn
    }

    /// The place behind a CV number: through the page of CV31 and CV32 for CV257 to CV512, if the decoder has pages.
    /// The pages 0/0 to 0/3 are CV1 to CV1024 themselves (RCN-225 CV31/32).
    pub(crate) fn locate(&self, cv: u16, memory: &Memory) -> CvPlace {
        if !(257..=512).contains(&cv) {
            return plain(cv);
        }
        match (memory.get(plain(31)), memory.get(plain(32))) {
            (Some(high), Some(low)) => self.seen_through((high, low), cv, memory),
            _ => plain(cv),
        }
    }

    /// The place of a CV seen through a page.
    pub(super) fn seen_through(&self, page: (u8, u8), cv: u16, memory: &Memory) -> CvPlace {
        let paged = CvPlace { page: Some(page), cv };
        match page {
            (0, low @ 0..=3) if memory.get(paged).is_none() => plain(u16::from(low) * 256 + cv - 256),
            _ => paged,
        }
    }

    /// The lock of CV15 and CV16; none where the decoder has none.
    fn lock(&self, memory: &Memory) -> Option<DecoderLock> {
        self.has_lock.then(|| DecoderLock { cv15: memory.plain(15), cv16: memory.plain(16) })
    }

    /// Whether that lock is closed (S-9.2.2 CV15/16).
    fn is_locked(&self, memory: &Memory) -> bool {
        self.lock(memory).is_some_and(|lock| !lock.is_open())
    }

    /// Whether a comparison is answered at all. RCN-225 blocks reading too while the lock is closed; only byte
    /// comparisons of CV16 are answered then, because its list of the decoders in a vehicle rests on them.
    pub(crate) fn answers(&self, cv: u16, is_bit: bool, memory: &Memory) -> bool {
        self.lock(memory).is_none_or(|lock| lock.may_read(self.rules)) || (cv == 16 && !is_bit)
    }

    /// What a write to a CV number comes to.
    pub(crate) fn judge(&self, cv: u16, value: u8, memory: &Memory) -> Verdict {
        self.judge_at(self.locate(cv, memory), value, memory)
    }

    /// What a write to a place comes to.
    pub(crate) fn judge_at(&self, place: CvPlace, value: u8, memory: &Memory) -> Verdict {
        let Some(old) = memory.get(place).filter(|_| !memory.is_reset_pending()) else {
            return Verdict::Refused;
        };
        let cv = if place.page.is_none() { place.cv } else { 0 };
        if let (15, Some(lock)) = (cv, self.lock(memory)) {
            // Always writable, else nobody could open the lock; a command of RCN-225 is obeyed and not stored.
            return Verdict::Stores(vec![(place, lock.with_key(value, self.rules).cv15)]);
        }
        let stores = |value| Verdict::Stores(vec![(place, value)]);
        match (cv, value) {
            _ if self.is_locked(memory) => Verdict::Refused,
            (7, _) => Verdict::Refused,
            (8, 8) => stores(RESET_PENDING),
            (8, _) => Verdict::Refused,
            (1, 128..) if !self.is_rcn() => Verdict::Refused,
            (1, _) if !self.is_rcn() => {
                // Any write of CV1, by whichever way, clears CV29 bit 5 and CV19 (S-9.2.3 §E); RCN-225 leaves that to
                // the maker, and this one does not.
                let configuration = memory.plain(29) & !LONG_ADDRESS;
                Verdict::Stores(vec![(place, value), (plain(29), configuration), (plain(19), 0)])
            }
            (16, LOCK_COMMANDS..) if self.has_lock && self.is_rcn() => Verdict::Refused,
            (17, ..=191 | 232..) => Verdict::Refused,
            _ if !self.is_within_limits(place, old, value, memory) => Verdict::Refused,
            _ => stores(value & self.mask(cv)),
        }
    }

    fn is_within_limits(&self, place: CvPlace, old: u8, value: u8, memory: &Memory) -> bool {
        self.roles.iter().filter(|role| role.place() == place).all(|role| {
            let bits = role.bit_range();
            let (least, most) = role.limits();
            let is_ready = || {
                role.before
                    .iter()
                    .all(|setting| memory.get(plain(setting.cv.get())) == Some(byte(setting.value)))
            };
            (least..=most).contains(&bits.extract(value))
                && (bits.extract(value) == bits.extract(old) || is_ready())
        })
    }

    fn mask(&self, cv: u16) -> u8 {
        self.masks.iter().find(|(masked, _)| *masked == cv).map_or(0xFF, |(_, mask)| *mask)
    }
}

#[cfg(test)]
mod tests;
