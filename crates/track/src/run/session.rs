//! Sessions: from switching on to switching off. What a decoder may forget without power is not relied on across them.

use datasheets::ServiceMode;

use super::state::HOUSEKEEPING;
use super::{Event, Run, RunError, number};
use crate::journal::{Entry, Journal};
use crate::link::{Link, LinkError};
use crate::standard::{MANUFACTURER, VERSION};
use crate::strategy::{TRIES, holds, identify};

/// What holds from switching on to switching off.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Session {
    /// Whether the decoder is known to be the right one.
    pub(super) is_recognised: bool,
    /// The page that was selected.
    pub(super) page: Option<(u8, u8)>,
}

impl<J: Journal> Run<J> {
    pub(super) fn connect<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        let contact = link.connect(&self.permit, Some(self.expected.manufacturer))?;
        let Some(mode) = contact.modes.first().copied() else { return Err(LinkError::NotConnected.into()) };
        let cost = self.cost(link);
        self.session = Some(Session::default());
        let modes = contact.modes.iter().map(|mode: &ServiceMode| mode.word().to_owned()).collect();
        self.note(Entry::Connected { modes, power_on: contact.power_on, cost })?;
        Ok(Event::Connected { mode, power_on: contact.power_on })
    }

    /// Identifies the decoder the first time. After that compares: CV8 and CV7, and, unless the track was only switched
    /// off and on by the run itself, every plain CV whose content is sure.
    pub(super) fn recognise<L: Link + ?Sized>(&mut self, link: &mut L) -> Result<Event, RunError> {
        let Some(identity) = self.state.identity else {
            let found = identify(link, self.expected)?;
            if found != self.expected {
                return Err(RunError::UnexpectedDecoder { expected: self.expected, found });
            }
            self.recognised();
            let cost = self.cost(link);
            self.note(Entry::Identified { identity: found, cost })?;
            return Ok(Event::Identified(found));
        };
        for (cv, value) in [(MANUFACTURER, identity.manufacturer), (VERSION, identity.version)] {
            if !insistently(|| holds(link, cv, value, &mut Vec::new()))? {
                return Err(RunError::OtherDecoder { expected: identity });
            }
        }
        let telling = if self.is_own_cycle { Vec::new() } else { self.state.telling() };
        for (place, value) in &telling {
            debug_assert!(!HOUSEKEEPING.contains(place), "pages and lock may be left anyhow by a cut");
            let cv = number(*place)?;
            if !insistently(|| holds(link, cv, *value, &mut Vec::new()))? {
                return Err(RunError::ImageDisagrees { place: *place, expected: *value });
            }
        }
        self.recognised();
        let cost = self.cost(link);
        self.note(Entry::Recognised { n_compared: telling.len() + 2, cost })?;
        Ok(Event::Recognised)
    }

    fn recognised(&mut self) {
        self.is_own_cycle = false;
        if let Some(session) = &mut self.session {
            session.is_recognised = true;
        }
    }
}

/// Asks until the answer is yes, three times at most: a lost contact looks like a no.
pub(super) fn insistently(mut ask: impl FnMut() -> Result<bool, LinkError>) -> Result<bool, LinkError> {
    for _ in 0..TRIES {
        if ask()? {
            return Ok(true);
        }
    }
    Ok(false)
}
