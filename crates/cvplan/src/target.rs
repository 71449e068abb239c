//! Targets: which bits of which CV shall hold what, and for which wish.

use std::collections::BTreeMap;

use datasheets::{CvPlace, Role};
use finding::Path;

use crate::standard::byte;

/// When a target is written: the address comes last, so that the decoder stays reachable under the old one until all
/// else is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Anything but the address.
    Settings,
    /// What the decoder answers to: CV1, CV17, CV18, CV19, CV29.
    Address,
}

/// Why some bits are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Because {
    /// The wish.
    pub wish: Path,
    /// The bits that this wish decides.
    pub mask: u8,
    /// What these bits mean, in the trade's words: "horn: 5 chimes (recording 1)".
    pub words: String,
}

/// What one CV shall hold, in the bits that wishes decide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Target {
    /// The CV.
    pub place: CvPlace,
    /// The bits that are decided.
    pub mask: u8,
    /// Their content, in place.
    pub value: u8,
    /// When it is written.
    pub stage: Stage,
    /// The wishes behind it.
    pub because: Vec<Because>,
    /// CVs that must hold a value before this one is written.
    pub before: Vec<(u16, u8)>,
}

impl Target {
    /// What the CV will hold when it holds `content` now.
    #[must_use]
    pub fn merged(&self, content: u8) -> u8 {
        (content & !self.mask) | self.value
    }

    /// Whether a content already is as wanted.
    #[must_use]
    pub fn is_met_by(&self, content: u8) -> bool {
        content & self.mask == self.value
    }
}

/// All targets of a decoder, by place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Targets {
    by_place: BTreeMap<CvPlace, Target>,
}

impl Targets {
    /// Wants bits of a CV. Later wishes win where they meet earlier ones; the settling functions see to it that
    /// only one wish decides a bit.
    pub(crate) fn want(
        &mut self,
        place: CvPlace,
        mask: u8,
        value: u8,
        wish: &Path,
        words: impl Into<String>,
    ) {
        let stage = match place {
            CvPlace { page: None, cv: 1 | 17 | 18 | 19 | 29 } => Stage::Address,
            _ => Stage::Settings,
        };
        let target = self.by_place.entry(place).or_insert_with(|| Target {
            place,
            mask: 0,
            value: 0,
            stage,
            because: Vec::new(),
            before: Vec::new(),
        });
        target.mask |= mask;
        target.value = (target.value & !mask) | (value & mask);
        target.because.push(Because { wish: wish.clone(), mask, words: words.into() });
    }

    /// Wants a value of a role. A value that does not fit the role's bits is cut to them; the settling functions keep
    /// within the role's limits.
    pub(crate) fn want_role(&mut self, role: &Role, value: u8, wish: &Path, words: impl Into<String>) {
        let bits = role.bit_range();
        let placed = bits.place(value.min(bits.most())).unwrap_or(0);
        self.want(role.place(), bits.mask(), placed, wish, words);
        if let Some(target) = self.by_place.get_mut(&role.place()) {
            let before = role.before.iter().map(|setting| (setting.cv.get(), byte(setting.value)));
            target.before.extend(before);
        }
    }

    /// The target of a place.
    #[must_use]
    pub fn get(&self, place: CvPlace) -> Option<&Target> {
        self.by_place.get(&place)
    }

    /// All of them, plain CVs first, then by page.
    pub fn iter(&self) -> impl Iterator<Item = &Target> {
        self.by_place.values()
    }

    /// How many CVs are wanted.
    #[must_use]
    pub fn len(&self) -> usize {
        self.by_place.len()
    }

    /// Whether nothing is wanted.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.by_place.is_empty()
    }
}
