//! Symptoms: what is known about a decoder that does not do as it is told.

use datasheets::{CvPlace, DecoderSheet};
use quantities::Current;

use crate::link::{LinkError, Tally};
use crate::programmer::PowerOnReading;
use crate::run::{Doubt, Report, RunError, Verdict};
use crate::standard::{LOCK_KEY, LOCK_NUMBER, plain};
use crate::strategy::{Content, Identity};

/// What was seen. Every part may be missing: what nobody looked at speaks for and against nothing.
#[derive(Debug, Clone, Default)]
pub struct Symptoms {
    /// What switching on showed.
    pub power_on: Option<PowerOnReading>,
    /// What was measured after that.
    pub tally: Option<Tally>,
    /// What ended the work.
    pub error: Option<RunError>,
    /// Who the decoder said it is.
    pub identity: Option<Identity>,
    /// The contents of CV15 and CV16.
    pub lock: Option<(Content, Content)>,
    /// CVs that did not take what was written, or whose reading gave no value, with what came of reading them.
    pub unmet: Vec<(CvPlace, Content)>,
    /// How many CVs were written and hold what they were to hold.
    pub n_met: usize,
}

impl Symptoms {
    /// The symptoms of a run that stopped: its error, and what its link measured since the latest connecting
    /// ([`crate::Link::tally`]).
    #[must_use]
    pub fn of_error(error: RunError, tally: Option<Tally>) -> Self {
        let power_on = match &error {
            RunError::Link(LinkError::NoAnswer { power_on }) => Some(*power_on),
            _ => None,
        };
        Self { power_on, tally, error: Some(error), ..Self::default() }
    }

    /// The same with what a report says.
    #[must_use]
    pub fn with_report(mut self, report: &Report) -> Self {
        self.identity = self.identity.or(report.identity);
        self.power_on = self.power_on.or(report.power_on);
        if let Some(snapshot) = &report.snapshot {
            let content = |cv| snapshot.get(plain(cv)).map(Content::Value);
            self.lock = self.lock.or(content(LOCK_KEY).zip(content(LOCK_NUMBER)));
        }
        for target in &report.targets {
            let seen = target.after.as_ref().or(target.before.as_ref());
            match (&target.verdict, seen) {
                (Verdict::Met, _) if target.before != target.after => self.n_met += 1,
                (
                    Verdict::NotMet | Verdict::Unknown { why: Doubt::NotReadBefore | Doubt::NoValue },
                    Some(content),
                ) => {
                    self.unmet.push((target.place, content.clone()));
                }
                _ => {}
            }
        }
        self
    }
}

/// What is known beforehand about the decoder and its locomotive.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Facts {
    /// Who the decoder should be.
    pub identity: Option<Identity>,
    /// What it should draw with everything off.
    pub idle_current: Option<Current>,
    /// Whether CV15 and CV16 can lock it.
    pub is_lockable: Option<bool>,
    /// Whether a keep-alive is fitted.
    pub has_keep_alive: Option<bool>,
}

impl Facts {
    /// What a sheet says, and whether a keep-alive is fitted.
    #[must_use]
    pub fn of_sheet(sheet: &DecoderSheet, has_keep_alive: Option<bool>) -> Self {
        Self {
            identity: Some(crate::run::identity_of(sheet)),
            idle_current: sheet.decoder.idle_current,
            is_lockable: Some(sheet.decoder.lock),
            has_keep_alive,
        }
    }
}
