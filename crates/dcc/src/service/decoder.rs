//! The decoder's side of service mode: when it listens and when it acts.
//!
//! What it is: a pure state machine that a simulated decoder feeds with every valid packet and the time.
//! What it is not: the CVs, or the acknowledgement; whoever executes the instruction decides on those.
//!
//! Source: NMRA S-9.2.3 §C, §D and §E, App. B; RCN-216 (digest).

use super::TIME_OUT;
use super::instruction::{Register, ServiceInstruction};
use crate::cv::CvNumber;
use crate::packet::{Packet, PacketView};
use crate::timing::Microseconds;

/// Where a decoder stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// It obeys operations-mode packets.
    Operations,
    /// It obeys service-mode packets.
    Service,
    /// It has left service mode and waits for a packet that cannot be mistaken for one of service mode.
    Limbo,
}

/// Follows a decoder into service mode and out of it (S-9.2.3 §C).
///
/// A service-mode packet enters when the packet before it was a reset, however long ago. In service mode the second of two identical packets, with no other
/// valid packet between them, is executed, once. Any other valid packet than a reset leaves, and so does silence for
/// [`TIME_OUT`]. Invalid packets change nothing; do not pass them.
#[derive(Clone, Debug)]
pub struct ServiceModeState {
    phase: Phase,
    previous: Option<Packet>,
    is_executed: bool,
    is_locked_out: bool,
    last_heard: Microseconds,
    time_out: Microseconds,
}

impl ServiceModeState {
    /// A decoder that has just got power, with the time-out of S-9.2.3.
    pub const fn new() -> Self {
        Self::with_time_out(TIME_OUT)
    }

    /// A decoder that waits longer before it leaves, as RCN-216 (digest) allows.
    pub const fn with_time_out(time_out: Microseconds) -> Self {
        Self {
            phase: Phase::Operations,
            previous: None,
            is_executed: false,
            is_locked_out: false,
            last_heard: Microseconds::ZERO,
            time_out,
        }
    }

    /// Takes a valid packet whose end bit was complete at `now`, and tells what is to be executed.
    pub fn packet(&mut self, packet: &PacketView<'_>, now: Microseconds) -> Option<ServiceInstruction> {
        self.elapse(now);
        let is_reset = packet.is_reset();
        let instruction = ServiceInstruction::parse(packet).ok();
        let follows_reset = self.previous.is_some_and(|previous| previous.view().is_reset());
        let repeats = self.previous.is_some_and(|previous| previous.view() == *packet);
        self.previous = Some(packet.to_packet());
        if !repeats {
            self.is_executed = false;
        }
        self.phase = match (self.phase, is_reset, instruction) {
            (phase, true, _) => phase,
            (Phase::Operations | Phase::Limbo, false, Some(_)) if follows_reset && !self.is_locked_out => {
                Phase::Service
            }
            (Phase::Service, false, None) => Phase::Limbo,
            (Phase::Limbo, false, None) => Phase::Operations,
            (phase, false, _) => phase,
        };
        if !is_reset && instruction.is_none() {
            self.is_locked_out = false;
        }
        if self.phase == Phase::Service {
            self.last_heard = now;
        }
        if self.phase == Phase::Service && repeats && !self.is_executed && !is_reset {
            self.is_executed = true;
            return instruction;
        }
        None
    }

    /// Lets time pass without a packet: after [`TIME_OUT`] of silence service mode is over.
    pub fn elapse(&mut self, now: Microseconds) {
        if self.phase == Phase::Service && now.saturating_sub(self.last_heard) >= self.time_out {
            self.phase = Phase::Limbo;
        }
    }

    /// Where the decoder stands.
    pub const fn phase(&self) -> Phase {
        self.phase
    }

    /// To be called when [`ServiceInstruction::Lock`] named another decoder: service mode is left and ignored until a
    /// packet of another kind comes (S-9.2.3 App. B).
    pub const fn lock_out(&mut self) {
        self.phase = Phase::Limbo;
        self.is_locked_out = true;
    }
}

impl Default for ServiceModeState {
    fn default() -> Self {
        Self::new()
    }
}

/// The page register of a decoder: which CV a register stands for (S-9.2.3 §E).
///
/// It is 1 at first and is not reset by a reset packet. A decoder without paged mode keeps it all the same and must
/// not answer while it is above 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PageRegister(u8);

impl PageRegister {
    /// After power-up of a decoder whose page register is volatile.
    pub const DEFAULT: Self = Self(1);

    /// By its value; 0 stands for page 256.
    pub const fn new(value: u8) -> Self {
        Self(value)
    }

    /// Its value.
    pub const fn value(self) -> u8 {
        self.0
    }

    /// The page, 1 to 256.
    pub const fn page(self) -> u16 {
        if self.0 == 0 { 256 } else { self.0 as u16 }
    }

    /// The CV behind a register, or `None` for the page register itself.
    pub const fn cv(self, register: Register) -> Option<CvNumber> {
        match register.get() {
            5 => Some(CvNumber::literal(29)),
            6 => None,
            7 => Some(CvNumber::literal(7)),
            8 => Some(CvNumber::literal(8)),
            data => Some(CvNumber::from_wire((self.page() - 1) * 4 + data as u16 - 1)),
        }
    }
}

impl Default for PageRegister {
    fn default() -> Self {
        Self::DEFAULT
    }
}
