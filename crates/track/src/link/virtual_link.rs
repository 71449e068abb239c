//! The link over rails: every question becomes a sequence of packets of our own.
//!
//! What it is: the choice of the sequence by the mode, and the translation of answers into outcomes and errors.
//! What it is not: the search for the mode, which is in [`super::probe`].
//!
//! Source: NMRA S-9.2.3 §E.

use datasheets::ServiceMode;
use dcc::service::{Operation, Options, PagedAddress, Register, Sequence};
use dcc::{BitPosition, CvAccess, CvNumber, Microseconds};

use super::{Act, Contact, Link, LinkError, Outcome, Tally, probe};
use crate::acknowledgement::{Answer, AnswerKind, Excess};
use crate::permit::Permit;
use crate::programmer::{PageStage, PowerOnReading, PowerOnState, Programmer, RailPurpose, RailTime};
use crate::rails::Rails;
use crate::standard::LOCK_KEY;
use crate::strategy::TRIES;

/// A link that drives rails itself: the virtual bench, or one day a power stage of our own.
#[derive(Debug)]
pub struct VirtualLink<R: Rails> {
    programmer: Programmer<R>,
    mode: Option<ServiceMode>,
    /// The content of the decoder's page register, where this link has set it since the power came on.
    page: Option<u8>,
    /// Whether the decoder acknowledges its page register; none while that is not known. A write need not be
    /// acknowledged (S-9.2.3 §D), but most are.
    acknowledges_pages: Option<bool>,
    tally: Tally,
}

impl<R: Rails> VirtualLink<R> {
    /// A link over these rails, not connected.
    pub fn new(rails: R) -> Self {
        Self {
            programmer: Programmer::new(rails),
            mode: None,
            page: None,
            acknowledges_pages: None,
            tally: Tally::default(),
        }
    }

    /// Opens a lock that hides everything ([`LinkError::Locked`]): switches on, writes its number to CV15, compares, and
    /// switches off. CV15 can be written also while the lock is closed (RCN-225 CV15).
    ///
    /// # Errors
    /// As [`Link::connect`]; [`LinkError::Locked`] when the decoder does not take it.
    pub fn open_lock(&mut self, permit: &Permit, number: u8) -> Result<(), LinkError> {
        self.switch_on(permit)?;
        self.mode = Some(ServiceMode::Direct);
        let opened = self.write_and_compare(LOCK_KEY, number);
        self.disconnect();
        if opened? { Ok(()) } else { Err(LinkError::Locked { number }) }
    }

    fn write_and_compare(&mut self, cv: CvNumber, value: u8) -> Result<bool, LinkError> {
        for _ in 0..TRIES {
            self.write_byte(cv, value)?;
            if self.verify_byte(cv, value)?.is_acknowledged {
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn switch_on(&mut self, permit: &Permit) -> Result<PowerOnReading, LinkError> {
        self.disconnect();
        self.tally = Tally::default();
        self.acknowledges_pages = None;
        let power_on = self.programmer.power_on(permit);
        match power_on.state {
            PowerOnState::OverCurrent => {
                let evidence = power_on.evidence();
                Err(LinkError::OverCurrent { act: Act::Connect, excess: Excess::Sustained, evidence })
            }
            PowerOnState::Nothing => {
                self.disconnect();
                Err(LinkError::NoCurrent { act: Act::Connect })
            }
            PowerOnState::Sound | PowerOnState::Heavy | PowerOnState::Unsteady => Ok(power_on),
        }
    }

    /// How long the rails were used, by purpose.
    pub fn rail_time_by_purpose(&self) -> &RailTime {
        self.programmer.rail_time()
    }

    /// The programmer behind the link.
    pub fn programmer(&self) -> &Programmer<R> {
        &self.programmer
    }

    /// The programmer behind the link, for whoever has the rails as a model to change.
    pub fn programmer_mut(&mut self) -> &mut Programmer<R> {
        &mut self.programmer
    }

    /// Sends one operation, whatever the mode in use is.
    pub(super) fn perform(
        &mut self,
        operation: Operation,
        page: PageStage,
        purpose: RailPurpose,
        act: Act,
    ) -> Result<Outcome, LinkError> {
        let answer = self.exchange(operation, page, purpose)?;
        self.judge(answer, page, act)
    }

    /// The same without a judgement.
    pub(super) fn exchange(
        &mut self,
        operation: Operation,
        page: PageStage,
        purpose: RailPurpose,
    ) -> Result<Answer, LinkError> {
        let Ok(sequence) = Sequence::new(operation, Options::default()) else {
            // Address-only mode carries seven bits; a CV1 that holds more cannot be asked for.
            return Err(LinkError::OutOfReach { cv: CvNumber::FIRST, mode: ServiceMode::AddressOnly });
        };
        let answer = self.programmer.exchange(&sequence, page, purpose);
        self.tally.count(&answer);
        Ok(answer)
    }

    fn judge(&mut self, answer: Answer, page: PageStage, act: Act) -> Result<Outcome, LinkError> {
        let Answer { kind, confidence, evidence, is_contact_lost, .. } = answer;
        let outcome = |is_acknowledged| Ok(Outcome { is_acknowledged, confidence, evidence: Some(evidence) });
        if is_contact_lost {
            // The decoder may have started anew, and a page register with it.
            self.page = None;
        }
        match kind {
            // On a page that was set before contact was lost, it may be another CV that said yes.
            AnswerKind::Acknowledged if is_contact_lost && page == PageStage::Skip => {
                Err(LinkError::Unclear { act, evidence })
            }
            AnswerKind::Acknowledged => outcome(true),
            AnswerKind::None if is_contact_lost => Err(LinkError::Unclear { act, evidence }),
            AnswerKind::None => outcome(false),
            AnswerKind::PageUnheard => Err(LinkError::PageUnheard { act }),
            AnswerKind::Unstable => Err(LinkError::Unclear { act, evidence }),
            AnswerKind::NoCurrent => Err(LinkError::NoCurrent { act }),
            AnswerKind::OverCurrent(excess) => {
                self.mode = None;
                Err(LinkError::OverCurrent { act, excess, evidence })
            }
        }
    }

    /// Performs an operation whose page must be right, with the page set first.
    fn perform_on_page(
        &mut self,
        operation: Operation,
        page: Option<u8>,
        purpose: RailPurpose,
        act: Act,
    ) -> Result<Outcome, LinkError> {
        self.page = None;
        let stage = match self.acknowledges_pages.filter(|_| page.is_some()) {
            Some(true) => PageStage::Insist,
            Some(false) => {
                // Nobody says whether a page was heard, so it is set again and again.
                let blind = match (self.mode, act) {
                    (Some(ServiceMode::Paged), Act::VerifyByte { cv, .. } | Act::WriteByte { cv, .. }) => {
                        Operation::PagedVerify { cv, value: 0 }
                    }
                    _ => Operation::FinishPaged,
                };
                for _ in 1..TRIES {
                    self.exchange(blind, PageStage::Send, RailPurpose::PageRegister)?;
                }
                PageStage::Send
            }
            None => PageStage::Send,
        };
        let outcome = self.perform(operation, stage, purpose, act)?;
        self.page = page;
        Ok(outcome)
    }

    /// The operation of the mode in use for a comparison or a write of a whole CV, and the page that it needs.
    fn operation(
        &self,
        cv: CvNumber,
        value: u8,
        is_write: bool,
    ) -> Result<(Operation, Option<u8>), LinkError> {
        let mode = self.mode.ok_or(LinkError::NotConnected)?;
        let out_of_reach = LinkError::OutOfReach { cv, mode };
        Ok(match (mode, is_write) {
            (ServiceMode::Direct, false) => (Operation::Direct(CvAccess::verify(cv, value)), None),
            (ServiceMode::Direct, true) => (Operation::Direct(CvAccess::write(cv, value)), None),
            (ServiceMode::Paged, is_write) => {
                let page = PagedAddress::of(cv).page_value();
                let operation = if is_write {
                    Operation::PagedWrite { cv, value }
                } else {
                    Operation::PagedVerify { cv, value }
                };
                (operation, Some(page))
            }
            (ServiceMode::Register, is_write) => {
                let register = Register::of_cv(cv).ok_or(out_of_reach)?;
                let operation = if is_write {
                    Operation::RegisterWrite { register, value }
                } else {
                    Operation::RegisterVerify { register, value }
                };
                (operation, Some(FIRST_PAGE))
            }
            (ServiceMode::AddressOnly, is_write) => {
                if cv != CvNumber::FIRST {
                    return Err(out_of_reach);
                }
                let operation = if is_write {
                    Operation::AddressOnlyWrite(value)
                } else {
                    Operation::AddressOnlyVerify(value)
                };
                (operation, Some(FIRST_PAGE))
            }
        })
    }

    pub(super) fn forget_page(&mut self, acknowledges_pages: bool) {
        self.page = None;
        self.acknowledges_pages = Some(acknowledges_pages);
    }
}

/// The page that registers are numbered in (S-9.2.3 §E).
const FIRST_PAGE: u8 = 1;

impl<R: Rails> Link for VirtualLink<R> {
    fn connect(&mut self, permit: &Permit, expected: Option<u8>) -> Result<Contact, LinkError> {
        let power_on = self.switch_on(permit)?;
        match probe::find_mode(self, expected) {
            Ok(Some(mode)) => {
                self.mode = Some(mode);
                Ok(Contact { modes: vec![mode], power_on: Some(power_on) })
            }
            Ok(None) => {
                self.disconnect();
                Err(LinkError::NoAnswer { power_on })
            }
            Err(error) => {
                self.disconnect();
                Err(error)
            }
        }
    }

    fn disconnect(&mut self) {
        if !self.programmer.is_powered() {
            self.mode = None;
            return;
        }
        if self.mode == Some(ServiceMode::Paged) && self.page != Some(FIRST_PAGE) {
            // Nobody answers for the page register, so there is nothing to judge.
            let finish = Sequence::new(Operation::FinishPaged, Options::default());
            if let Ok(sequence) = finish {
                self.programmer.exchange(&sequence, PageStage::Send, RailPurpose::PageRegister);
            }
        }
        self.programmer.power_off();
        self.mode = None;
        self.page = None;
    }

    fn mode(&self) -> Option<ServiceMode> {
        self.mode
    }

    fn verify_byte(&mut self, cv: CvNumber, value: u8) -> Result<Outcome, LinkError> {
        let (operation, page) = self.operation(cv, value, false)?;
        let act = Act::VerifyByte { cv, value };
        if page.is_some() && self.page == page {
            return self.perform(operation, PageStage::Skip, RailPurpose::VerifyByte, act);
        }
        self.perform_on_page(operation, page, RailPurpose::VerifyByte, act)
    }

    fn verify_bit(&mut self, cv: CvNumber, bit: BitPosition, value: bool) -> Result<Outcome, LinkError> {
        let mode = self.mode.ok_or(LinkError::NotConnected)?;
        let act = Act::VerifyBit { cv, bit, value };
        if mode != ServiceMode::Direct {
            return Err(LinkError::NotInThisMode { act, mode });
        }
        let operation = Operation::Direct(CvAccess::verify_bit(cv, bit, value));
        self.perform(operation, PageStage::Send, RailPurpose::VerifyBit, act)
    }

    fn write_byte(&mut self, cv: CvNumber, value: u8) -> Result<Outcome, LinkError> {
        // A write to the wrong place does harm, so its page is always set anew.
        let (operation, page) = self.operation(cv, value, true)?;
        self.perform_on_page(operation, page, RailPurpose::Write, Act::WriteByte { cv, value })
    }

    fn renew(&mut self) {
        self.page = None;
    }

    fn tally(&self) -> Option<Tally> {
        Some(self.tally)
    }

    fn rail_time(&self) -> Microseconds {
        self.programmer.rail_time().total()
    }
}
