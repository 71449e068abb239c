//! Service mode: what the decoder does with an instruction of the programming track.
//!
//! What it is: direct, paged, register and address-only mode, the old address query and the lock.
//! What it is not: the rules by which it enters and leaves service mode and counts identical packets
//! (`dcc::service::ServiceModeState`).
//!
//! Source: S-9.2.3 §D, §E, App. A, App. B; RCN-214 (digest) for a CV that is not there: no acknowledgement of a byte,
//! acknowledgement of a bit as 0 and as 1. Register 6 and the preset of page 1 are heard by every decoder, because
//! address-only mode begins with it.

use datasheets::ServiceMode;
use dcc::service::{PageRegister, Register, RegisterOperation, ServiceInstruction};
use dcc::{CvAccess, CvNumber, CvOperation};

use super::Decoder;

impl Decoder {
    /// Carries out an instruction of service mode.
    pub(super) fn serve(&mut self, instruction: ServiceInstruction, now: u64) {
        match instruction {
            ServiceInstruction::Direct(access) if self.has_mode(ServiceMode::Direct) => {
                self.serve_direct(access, now);
            }
            ServiceInstruction::Direct(_) => {}
            ServiceInstruction::Register { register: Register::PAGE, operation } => {
                self.serve_page(operation, now);
            }
            ServiceInstruction::Register { register, operation } => {
                self.serve_register(register, operation, now)
            }
            ServiceInstruction::AddressQuery(address) => {
                if self.settings.own == Some(address.into()) {
                    self.acknowledgement = Some(now);
                }
            }
            ServiceInstruction::Lock(keep) => {
                if self.settings.short != keep.get() {
                    self.service.lock_out();
                }
            }
        }
    }

    fn serve_direct(&mut self, access: CvAccess, now: u64) {
        let cv = access.cv.get();
        match access.operation {
            CvOperation::Verify(value) => self.compare(cv, value, now),
            CvOperation::VerifyBit { bit, value } => {
                let content = self.content(cv);
                if self.access.answers(cv, true, &self.memory)
                    && content.is_none_or(|content| bit.of(content) == value)
                {
                    self.acknowledgement = Some(now);
                }
            }
            CvOperation::Write(value) => self.write(cv, value, now),
            CvOperation::WriteBit { bit, value } => {
                if let Some(content) = self.content(cv) {
                    self.write(cv, bit.set_in(content, value), now);
                }
            }
        }
    }

    fn serve_page(&mut self, operation: RegisterOperation, now: u64) {
        match operation {
            RegisterOperation::Write(value) => {
                self.page = PageRegister::new(value);
                self.acknowledgement = Some(now);
            }
            RegisterOperation::Verify(value) if value == self.page.value() => {
                self.acknowledgement = Some(now)
            }
            RegisterOperation::Verify(_) => {}
        }
    }

    fn serve_register(&mut self, register: Register, operation: RegisterOperation, now: u64) {
        let Some(cv) = self.cv_of(register).map(CvNumber::get) else { return };
        match operation {
            RegisterOperation::Verify(value) => self.compare(cv, value, now),
            RegisterOperation::Write(value) => self.write(cv, value, now),
        }
    }

    /// The CV behind a register. A decoder without paged mode does not answer while the page register is above 1, one with
    /// neither paged nor register mode has register 1 only (S-9.2.3 §E).
    fn cv_of(&self, register: Register) -> Option<CvNumber> {
        let is_first_page = self.page.page() == 1;
        let reaches = if self.has_mode(ServiceMode::Paged) {
            true
        } else if self.has_mode(ServiceMode::Register) {
            is_first_page
        } else {
            is_first_page && register == Register::ADDRESS
        };
        self.page.cv(register).filter(|_| reaches)
    }

    fn compare(&mut self, cv: u16, value: u8, now: u64) {
        if self.content(cv) == Some(value) && self.access.answers(cv, false, &self.memory) {
            self.acknowledgement = Some(now);
        }
    }

    fn write(&mut self, cv: u16, value: u8, now: u64) {
        let verdict = self.access.judge(cv, value, &self.memory);
        self.begin(verdict, now, true);
    }

    /// What a CV number holds; none where the decoder does not have it.
    pub(super) fn content(&self, cv: u16) -> Option<u8> {
        self.memory.get(self.access.locate(cv, &self.memory))
    }
}
