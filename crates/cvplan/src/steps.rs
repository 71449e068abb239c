//! From targets and what a decoder holds to the ordered writes.

use std::collections::BTreeSet;

use datasheets::{CvPlace, DecoderSheet};

use crate::image::Image;
use crate::target::{Stage, Target, Targets};

/// One thing to do on the programming track.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Write a CV and verify it. A paged CV needs its page selected first; [`write_steps`] puts the selection before it.
    Write {
        /// The CV.
        place: CvPlace,
        /// What it held.
        from: u8,
        /// What it shall hold.
        to: u8,
    },
    /// Verify a CV that an earlier write may have changed by the standard's side effects, and write it where it did.
    Ensure {
        /// The CV.
        place: CvPlace,
        /// What it shall hold.
        value: u8,
    },
    /// Select a page of CV257–512: write CV31 and CV32 and verify both.
    Select {
        /// CV31.
        high: u8,
        /// CV32.
        low: u8,
    },
}

const KEY: CvPlace = CvPlace { page: None, cv: 15 };
const OWN: CvPlace = CvPlace { page: None, cv: 16 };
const PAGE_HIGH: CvPlace = CvPlace { page: None, cv: 31 };
const PAGE_LOW: CvPlace = CvPlace { page: None, cv: 32 };

/// Every CV that must be read before anything is written: what will change, what it is merged into, who the decoder is
/// (CV7, CV8), its lock, its page and its address.
#[must_use]
pub fn places_to_read(targets: &Targets, sheet: &DecoderSheet) -> Vec<CvPlace> {
    let plain = [7, 8, 1, 17, 18, 19, 29, 15, 16, 31, 32].map(|cv| CvPlace { page: None, cv });
    let before =
        targets.iter().flat_map(|target| &target.before).map(|(cv, _)| CvPlace { page: None, cv: *cv });
    let mut places: BTreeSet<CvPlace> =
        plain.into_iter().chain(before).filter(|place| sheet.has(*place)).collect();
    places.extend(targets.iter().map(|target| target.place));
    places.into_iter().collect()
}

/// The writes that bring a decoder from what it holds to what is wanted: unlock, plain CVs, pages one after another, the
/// address last, the page and the lock as they were. Nothing is written that already is as wanted.
///
/// # Errors
/// The CVs that must be known and are not.
pub fn write_steps(targets: &Targets, image: &Image) -> Result<Vec<Step>, Vec<CvPlace>> {
    let unknown: Vec<CvPlace> =
        targets.iter().map(|target| target.place).filter(|place| image.get(*place).is_none()).collect();
    if !unknown.is_empty() {
        return Err(unknown);
    }
    let changing = || {
        targets
            .iter()
            .filter(|target| image.get(target.place).is_some_and(|content| !target.is_met_by(content)))
    };
    if changing().next().is_none() {
        return Ok(Vec::new());
    }
    let mut writer = Writer { image: image.clone(), steps: Vec::new(), page: None };
    let lock = image.get(KEY).zip(image.get(OWN)).filter(|(key, own)| key != own);
    if let Some((_, own)) = lock {
        writer.write(KEY, own);
    }
    for target in changing().filter(|target| target.stage == Stage::Settings && target.place.page.is_none()) {
        writer.meet(target);
    }
    for target in changing().filter(|target| target.place.page.is_some()) {
        writer.meet(target);
    }
    writer.restore_page(image);
    // CV1 may clear CV29 bit 5 and CV19 (S-9.2.3), so both follow it; CV17 acts only with CV18 (S-9.2.1 note 8).
    let mut is_short_address_written = false;
    for cv in [1, 17, 18, 19, 29] {
        let target = changing().find(|target| target.stage == Stage::Address && target.place.cv == cv);
        if let Some(target) = target {
            writer.meet(target);
            is_short_address_written |= cv == 1;
        } else if is_short_address_written && matches!(cv, 19 | 29) {
            writer.ensure(CvPlace { page: None, cv });
        }
    }
    if let Some((key, _)) = lock {
        writer.write(KEY, key);
    }
    Ok(writer.steps)
}

struct Writer {
    image: Image,
    steps: Vec<Step>,
    page: Option<(u8, u8)>,
}

impl Writer {
    fn meet(&mut self, target: &Target) {
        for (cv, value) in &target.before {
            let place = CvPlace { page: None, cv: *cv };
            if self.image.get(place) != Some(*value) {
                self.write(place, *value);
            }
        }
        if let Some((high, low)) = target.place.page
            && self.page != Some((high, low))
        {
            self.steps.push(Step::Select { high, low });
            self.page = Some((high, low));
        }
        let content = self.image.get(target.place).unwrap_or(0);
        self.write(target.place, target.merged(content));
    }

    fn write(&mut self, place: CvPlace, to: u8) {
        let from = self.image.get(place).unwrap_or(0);
        self.steps.push(Step::Write { place, from, to });
        self.image.set(place, to);
    }

    fn ensure(&mut self, place: CvPlace) {
        if let Some(value) = self.image.get(place) {
            self.steps.push(Step::Ensure { place, value });
        }
    }

    fn restore_page(&mut self, image: &Image) {
        let was = image.get(PAGE_HIGH).zip(image.get(PAGE_LOW));
        if let (Some(page), Some((high, low))) = (self.page, was)
            && page != (high, low)
        {
            self.steps.push(Step::Select { high, low });
        }
        self.page = None;
    }
}
