//! The packets a programmer sends for one operation, and how long they last on the rail.
//!
//! What it is: counts and order of S-9.2.3 §E, with and without an acknowledgement.
//! What it is not: a schedule of many operations; the next one is decided by the answer to this one
//! ([`super::BitwiseRead`]).
//!
//! Source: NMRA S-9.2.3 §D and §E; RCN-216 (digest) for 25 power-on packets.

use super::instruction::{PagedAddress, Register, RegisterOperation, ServiceInstruction};
use crate::cv::CvNumber;
use crate::instruction::{CvAccess, DecoderControl, Instruction};
use crate::packet::Packet;
use crate::timing::{Microseconds, SenderTiming};

/// One operation on the programming track.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operation {
    /// Direct mode, byte or bit, comparison or write.
    Direct(CvAccess),
    /// Address-only mode: compare CV1. At most 127, else the sequence cannot be built.
    AddressOnlyVerify(u8),
    /// Address-only mode: store CV1. At most 127, else the sequence cannot be built.
    AddressOnlyWrite(u8),
    /// Register mode: compare.
    RegisterVerify {
        /// Which register.
        register: Register,
        /// The value to compare with.
        value: u8,
    },
    /// Register mode: store.
    RegisterWrite {
        /// Which register.
        register: Register,
        /// The value to store.
        value: u8,
    },
    /// Paged mode: compare.
    PagedVerify {
        /// Which CV.
        cv: CvNumber,
        /// The value to compare with.
        value: u8,
    },
    /// Paged mode: store.
    PagedWrite {
        /// Which CV.
        cv: CvNumber,
        /// The value to store.
        value: u8,
    },
    /// Set the page register back to 1, to finish paged work (S-9.2.3 §E).
    FinishPaged,
    /// Factory reset `7F 08 77` by the register sequence. Finishing may need further power cycles, and CV8 reads 255
    /// until it is done (S-9.2.3 §E).
    FactoryReset,
    /// The hard-reset instruction and ten packets after it (S-9.2.3 §E).
    HardReset,
}

/// Choices that the standard leaves to the programmer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// The packets after switching the track on, or `None` when it was on already.
    pub power_on: Option<PowerOn>,
    /// What is sent while a decoder recovers from a write.
    pub recovery: Recovery,
    /// Whether address-only and register mode switch the track off and on again after the page preset, with
    /// [`Self::power_on`] or, without it, [`PowerOn::NMRA`]. Never done in paged mode, where it is not allowed
    /// (S-9.2.3 note 3).
    pub is_power_cycled: bool,
}

impl Default for Options {
    /// The track was on, writes are repeated during recovery, no power cycle.
    fn default() -> Self {
        Self { power_on: None, recovery: Recovery::RepeatWrite, is_power_cycled: false }
    }
}

/// Packets after switching on, while the decoder starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PowerOn {
    /// So many resets.
    Resets(u16),
    /// So many idles.
    Idles(u16),
}

impl PowerOn {
    /// 20 valid packets, as S-9.2.3 §E asks at least.
    pub const NMRA: Self = Self::Resets(20);
    /// 25 resets, which satisfies RCN-216 (digest) as well.
    pub const BOTH: Self = Self::Resets(25);

    fn step(self) -> Step {
        match self {
            Self::Resets(count) => Step::packets(Packet::RESET, count, Purpose::PowerOn),
            Self::Idles(count) => Step::packets(Packet::IDLE, count, Purpose::PowerOn),
        }
    }
}

/// What is sent while a decoder recovers from a write.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Recovery {
    /// The write again.
    RepeatWrite,
    /// Resets.
    Resets,
}

/// Why a packet is sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Lets the decoder start after the track was switched on.
    PowerOn,
    /// Resets that arm service mode.
    Enter,
    /// Sets the page register.
    Page,
    /// Time for the decoder to take the page.
    PageRecovery,
    /// The operation itself. The acknowledgement is due from the end of the second of these packets on (S-9.2.3 §D).
    Instruct,
    /// Time for the decoder to store; the acknowledgement of a write may still come.
    Recover,
    /// Closes an acknowledged comparison in direct mode.
    Close,
}

/// One step of a sequence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The same packet, several times.
    Packets {
        /// What is sent.
        packet: Packet,
        /// How often; the standard gives it as a minimum.
        count: u16,
        /// Why.
        purpose: Purpose,
    },
    /// The track goes off and on again. How long it stays off is not counted into any duration.
    PowerCycle,
}

impl Step {
    fn packets(packet: Packet, count: u16, purpose: Purpose) -> Self {
        Self::Packets { packet, count, purpose }
    }

    fn duration(&self, preamble: u8, timing: SenderTiming) -> Microseconds {
        match self {
            Self::Packets { packet, count, .. } => packet.duration(preamble, timing) * u32::from(*count),
            Self::PowerCycle => Microseconds::ZERO,
        }
    }

    /// Whether an acknowledgement of the operation may come during these packets.
    fn is_listening(&self) -> bool {
        matches!(self, Self::Packets { purpose: Purpose::Instruct | Purpose::Recover, .. })
    }
}

/// Most steps of any sequence: power-on, enter, page, recovery, power cycle, power-on, enter, instruct, recover.
const STEPS_MOST: usize = 9;

/// The packets of one operation.
///
/// ```
/// use dcc::{CvAccess, CvNumber, PREAMBLE_SERVICE, timing::SenderTiming};
/// use dcc::service::{Operation, Options, Sequence};
/// let verify = Operation::Direct(CvAccess::verify(CvNumber::new(29)?, 6));
/// let sequence = Sequence::new(verify, Options::default())?;
/// assert_eq!(sequence.duration(PREAMBLE_SERVICE, SenderTiming::NOMINAL).to_string(), "65.808 ms");
/// # Ok::<(), Box<dyn core::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sequence {
    steps: [Step; STEPS_MOST],
    len: usize,
    /// Whether an acknowledgement is answered by one reset, as in direct comparisons.
    is_closed_by_reset: bool,
}

const ENTER_RESETS: u16 = 3;
const INSTRUCTIONS: u16 = 5;
const REGISTER_VERIFIES: u16 = 7;
const RECOVERY: u16 = 6;
const ADDRESS_RECOVERY: u16 = 10;

impl Sequence {
    /// The packets for an operation, all of them, as if no acknowledgement came.
    ///
    /// # Errors
    /// [`super::ServiceError::AddressOnlyValue`] for an address above 127 in address-only mode.
    pub fn new(operation: Operation, options: Options) -> Result<Self, super::ServiceError> {
        let mut sequence = Self { steps: [Step::PowerCycle; STEPS_MOST], len: 0, is_closed_by_reset: false };
        if let Some(power_on) = options.power_on {
            sequence.push(power_on.step());
        }
        let register = |register, operation| ServiceInstruction::Register { register, operation }.to_packet();
        match operation {
            Operation::Direct(access) => {
                sequence.is_closed_by_reset = !access.is_write();
                let packet = ServiceInstruction::Direct(access).to_packet();
                let recovery = if access.is_write() { RECOVERY } else { 0 };
                sequence.instruct(packet, INSTRUCTIONS, recovery, options);
            }
            Operation::AddressOnlyVerify(value) => {
                let packet = ServiceInstruction::verify_address(value)?.to_packet();
                sequence.page(Packet::PAGE_PRESET, options);
                sequence.instruct(packet, INSTRUCTIONS, 0, options);
            }
            Operation::AddressOnlyWrite(value) => {
                let packet = ServiceInstruction::write_address(value)?.to_packet();
                sequence.page(Packet::PAGE_PRESET, options);
                sequence.instruct(packet, INSTRUCTIONS, ADDRESS_RECOVERY, options);
            }
            Operation::RegisterVerify { register: which, value } => {
                let packet = register(which, RegisterOperation::Verify(value));
                sequence.page(Packet::PAGE_PRESET, options);
                sequence.instruct(packet, REGISTER_VERIFIES, 0, options);
            }
            Operation::RegisterWrite { register: which, value } => {
                let packet = register(which, RegisterOperation::Write(value));
                let recovery = if which == Register::ADDRESS { ADDRESS_RECOVERY } else { RECOVERY };
                sequence.page(Packet::PAGE_PRESET, options);
                sequence.instruct(packet, INSTRUCTIONS, recovery, options);
            }
            Operation::PagedVerify { cv, value } => {
                let place = PagedAddress::of(cv);
                sequence.page(write_page(place), Options { is_power_cycled: false, ..options });
                let packet = register(place.data_register(), RegisterOperation::Verify(value));
                sequence.instruct(packet, INSTRUCTIONS, 0, options);
            }
            Operation::PagedWrite { cv, value } => {
                let place = PagedAddress::of(cv);
                sequence.page(write_page(place), Options { is_power_cycled: false, ..options });
                let packet = register(place.data_register(), RegisterOperation::Write(value));
                sequence.instruct(packet, INSTRUCTIONS, RECOVERY, options);
            }
            Operation::FinishPaged => {
                sequence.page(Packet::PAGE_PRESET, Options { is_power_cycled: false, ..options });
            }
            Operation::FactoryReset => {
                sequence.page(Packet::PAGE_PRESET, options);
                sequence.instruct(Packet::FACTORY_RESET, INSTRUCTIONS, RECOVERY, options);
            }
            Operation::HardReset => {
                let packet = Instruction::for_decoder(
                    crate::Address::Broadcast,
                    crate::Command::Control(DecoderControl::HardReset),
                )
                .to_packet();
                sequence.push(Step::packets(packet, 1, Purpose::Instruct));
                sequence.push(Step::packets(Packet::RESET, ADDRESS_RECOVERY, Purpose::Recover));
            }
        }
        Ok(sequence)
    }

    fn push(&mut self, step: Step) {
        self.steps[self.len] = step;
        self.len += 1;
    }

    /// Three resets, five page writes, six resets, and the power cycle if it is wanted.
    fn page(&mut self, packet: Packet, options: Options) {
        self.push(Step::packets(Packet::RESET, ENTER_RESETS, Purpose::Enter));
        self.push(Step::packets(packet, INSTRUCTIONS, Purpose::Page));
        self.push(Step::packets(Packet::RESET, RECOVERY, Purpose::PageRecovery));
        if options.is_power_cycled {
            self.push(Step::PowerCycle);
            self.push(options.power_on.unwrap_or(PowerOn::NMRA).step());
        }
    }

    /// Three resets, the instruction, and the recovery.
    fn instruct(&mut self, packet: Packet, count: u16, recovery: u16, options: Options) {
        self.push(Step::packets(Packet::RESET, ENTER_RESETS, Purpose::Enter));
        self.push(Step::packets(packet, count, Purpose::Instruct));
        if recovery > 0 {
            let filler = match options.recovery {
                Recovery::RepeatWrite => packet,
                Recovery::Resets => Packet::RESET,
            };
            self.push(Step::packets(filler, recovery, Purpose::Recover));
        }
    }

    /// The steps in order.
    pub fn steps(&self) -> &[Step] {
        &self.steps[..self.len]
    }

    /// Every single packet in order, with its purpose. A power cycle shows only in [`Self::steps`].
    pub fn packets(&self) -> impl Iterator<Item = (&Packet, Purpose)> {
        self.steps().iter().flat_map(|step| {
            let (one, count) = match step {
                Step::Packets { packet, count, purpose } => (Some((packet, *purpose)), usize::from(*count)),
                Step::PowerCycle => (None, 0),
            };
            one.into_iter().cycle().take(count)
        })
    }

    /// How long the packets occupy the rail. The time that a power cycle keeps the track off is not in it.
    pub fn duration(&self, preamble: u8, timing: SenderTiming) -> Microseconds {
        self.steps().iter().map(|step| step.duration(preamble, timing)).sum()
    }

    /// When an acknowledgement may come, counted from the start of the sequence: from the end of the second instruction
    /// packet to the end of the last packet of instruction and recovery (S-9.2.3 §D).
    ///
    /// `None` when the operation is not acknowledged ([`Operation::FinishPaged`], [`Operation::HardReset`]).
    pub fn acknowledgement_window(&self, preamble: u8, timing: SenderTiming) -> Option<[Microseconds; 2]> {
        let mut start = Microseconds::ZERO;
        let mut window = None;
        for step in self.steps() {
            let end = start + step.duration(preamble, timing);
            if let Step::Packets { packet, count: 2.., purpose: Purpose::Instruct } = step {
                window = Some([
                    start + packet.duration(preamble, timing) * u32::from(super::IDENTICAL_PACKETS),
                    end,
                ]);
            } else if step.is_listening()
                && let Some([_, last]) = &mut window
            {
                *last = end;
            }
            start = end;
        }
        window
    }

    /// The sequence as it goes when the acknowledgement is seen during the `nth` packet of instruction and recovery,
    /// counted from 1: that packet is finished, those after it are not sent, and a comparison in direct mode is closed
    /// with one reset (S-9.2.3 §E: the sender may go on as soon as it has the acknowledgement).
    ///
    /// `None` when no acknowledgement is possible there: before the third packet, or after the last.
    pub fn acknowledged_in(&self, nth: u16) -> Option<Self> {
        if nth <= u16::from(super::IDENTICAL_PACKETS) {
            return None;
        }
        let mut shortened = Self { len: 0, ..*self };
        let mut left = nth;
        for step in self.steps() {
            let Step::Packets { packet, count, purpose } = step else {
                shortened.push(*step);
                continue;
            };
            if !step.is_listening() {
                shortened.push(*step);
            } else if *purpose == Purpose::Instruct && *count < 2 {
                return None;
            } else if left > *count {
                left -= count;
                shortened.push(*step);
            } else {
                shortened.push(Step::packets(*packet, left, *purpose));
                if self.is_closed_by_reset {
                    shortened.push(Step::packets(Packet::RESET, 1, Purpose::Close));
                }
                return Some(shortened);
            }
        }
        None
    }

    /// As [`Self::acknowledged_in`], for an acknowledgement seen at a moment counted from the start of the sequence.
    ///
    /// `None` outside [`Self::acknowledgement_window`]. An acknowledgement at the very end of a packet is taken to be
    /// seen in the next one, save in the last.
    pub fn acknowledged_at(&self, moment: Microseconds, preamble: u8, timing: SenderTiming) -> Option<Self> {
        let [_, last] = self.acknowledgement_window(preamble, timing)?;
        if moment > last {
            return None;
        }
        // A moment before the window lies in a packet before the third, which `acknowledged_in` refuses.
        let mut at = Microseconds::ZERO;
        let mut nth = 0;
        for step in self.steps() {
            let Step::Packets { packet, count, .. } = step else { continue };
            for _ in 0..*count {
                at += packet.duration(preamble, timing);
                nth += u16::from(step.is_listening());
                if moment < at {
                    return self.acknowledged_in(nth);
                }
            }
        }
        self.acknowledged_in(nth)
    }
}

fn write_page(place: PagedAddress) -> Packet {
    ServiceInstruction::write_page(place.page_value()).to_packet()
}
