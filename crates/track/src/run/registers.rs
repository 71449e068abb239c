//! Housekeeping: the page of CV257 to CV512 and the lock, which must be right before other CVs can be reached.

use datasheets::CvPlace;

use super::session::insistently;
use super::{Event, Run, RunError, number};
use crate::journal::{Entry, Journal};
use crate::link::{Link, LinkError};
use crate::standard::{LOCK_KEY, LOCK_NUMBER, PAGE_HIGH, PAGE_LOW, plain};
use crate::strategy::{Content, TRIES, holds};

impl<J: Journal> Run<J> {
    /// Sees to it that a CV's page is selected, where it has one.
    pub(super) fn reach<L: Link + ?Sized>(&mut self, link: &mut L, place: CvPlace) -> Result<(), RunError> {
        match place.page {
            None => Ok(()),
            Some((high, low)) => self.select(link, high, low),
        }
    }

    /// Selects a page: CV31 and CV32 are verified, and written where they hold something else. Nothing is relied on from
    /// before the track was switched on.
    pub(super) fn select<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        high: u8,
        low: u8,
    ) -> Result<(), RunError> {
        if self.session.is_some_and(|session| session.page == Some((high, low))) {
            return Ok(());
        }
        self.set_page(None);
        self.unlock(link)?;
        for (cv, value) in [(PAGE_HIGH, high), (PAGE_LOW, low)] {
            if !self.set_register(link, plain(cv), value)? {
                return Err(RunError::RegisterRefused { place: plain(cv), value });
            }
        }
        self.set_page(Some((high, low)));
        Ok(())
    }

    /// Opens a lock that would keep the page from being set: CV15 becomes what CV16 is (S-9.2.2; RCN-225).
    fn unlock<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<(), RunError> {
        let known = |cv| self.state.known.get(plain(cv));
        match known(LOCK_KEY).zip(known(LOCK_NUMBER)) {
            Some((key, number)) if key != number => {
                if self.set_register(link, plain(LOCK_KEY), number)? {
                    Ok(())
                } else {
                    Err(RunError::RegisterRefused { place: plain(LOCK_KEY), value: number })
                }
            }
            _ => Ok(()),
        }
    }

    /// Whether a housekeeping register holds a value now, written if need be.
    fn set_register<L: Link + ?Sized>(
        &mut self,
        link: &mut L,
        place: CvPlace,
        value: u8,
    ) -> Result<bool, RunError> {
        let cv = number(place)?;
        self.forget_page(place);
        if holds(link, cv, value, &mut Vec::new())? {
            let cost = self.cost(link);
            self.note(Entry::Set { cv: place.cv, value, cost })?;
            return Ok(true);
        }
        self.note(Entry::Setting { cv: place.cv, value })?;
        for _ in 0..TRIES {
            write_unheard(link, place, value)?;
            if holds(link, cv, value, &mut Vec::new())? {
                let cost = self.cost(link);
                self.note(Entry::Set { cv: place.cv, value, cost })?;
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Puts back what was changed to get at other CVs: first the pages, then the lock, which may silence the decoder.
    pub(super) fn close<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        let mut unverified = Vec::new();
        for cv in [PAGE_HIGH, PAGE_LOW, LOCK_KEY] {
            let place = plain(cv);
            let resting = self.state.resting_value(place).filter(|_| self.state.touched.contains(&place));
            let Some(value) = resting else { continue };
            let is_set = self.set_register(link, place, value)?;
            if !is_set && cv != LOCK_KEY {
                return Err(RunError::RegisterRefused { place, value });
            }
            if !is_set {
                unverified.push(place.cv);
            }
        }
        let cost = self.cost(link);
        self.note(Entry::Closed { unverified, cost })?;
        Ok(Event::Closed)
    }

    /// After a write of CV31 or CV32 the page is not the one that was selected.
    pub(super) fn forget_page(&mut self, place: CvPlace) {
        if [plain(PAGE_HIGH), plain(PAGE_LOW)].contains(&place) {
            self.set_page(None);
        }
    }

    fn set_page(&mut self, page: Option<(u8, u8)>) {
        if let Some(session) = &mut self.session {
            session.page = page;
        }
    }
}

/// Writes a CV and takes no notice of the acknowledgement: the standard does not oblige a decoder to give one for a write
/// (S-9.2.3 §D), and the comparison that follows decides.
pub(super) fn write_unheard<L: Link + ?Sized>(
    link: &mut L,
    place: CvPlace,
    value: u8,
) -> Result<(), RunError> {
    match link.write_byte(number(place)?, value) {
        Ok(_) | Err(LinkError::Unclear { .. } | LinkError::PageUnheard { .. }) => Ok(()),
        Err(error) => Err(error.into()),
    }
}

/// Whether a CV holds a value, asked until it says yes, three times at most.
pub(super) fn holds_at<L: Link + ?Sized>(
    link: &mut L,
    place: CvPlace,
    value: u8,
) -> Result<(bool, Option<crate::Evidence>), RunError> {
    let cv = number(place)?;
    let mut evidence = Vec::new();
    let is_held = insistently(|| holds(link, cv, value, &mut evidence))?;
    Ok((is_held, evidence.pop()))
}

/// What a CV holds, expected to be this.
pub(super) fn content_at<L: Link + ?Sized>(
    link: &mut L,
    place: CvPlace,
    guess: Option<u8>,
) -> Result<Content, RunError> {
    Ok(link.read(number(place)?, guess)?.content)
}
