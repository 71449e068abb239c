//! Rails for the unit tests: a small decoder that obeys S-9.2.3, with a current that the test chooses.
//!
//! What it is not: the virtual bench. That one is the oracle of the integration tests; this one is small enough to be seen
//! through.

use std::collections::{BTreeMap, BTreeSet};

use datasheets::{CvPlace, ServiceMode};
use dcc::service::{PageRegister, Register, RegisterOperation, ServiceInstruction, ServiceModeState};
use dcc::{CvAccess, CvOperation, CvOutcome, Event, Microseconds, Packet, PacketReceiver};

use crate::rails::{Rails, SAMPLE_MICROSECONDS};

/// What [`FakeRails`] throws when the program is to die at a packet.
pub(crate) struct Killed;

/// What happens once so many packets have been driven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Cut {
    /// The program dies in the middle of the packet.
    Killed { at_packet: u32 },
    /// The rails have no power from the middle of the packet on.
    Dead { at_packet: u32 },
}

#[derive(Debug, Clone)]
pub(crate) struct FakeDecoder {
    pub(crate) memory: BTreeMap<CvPlace, u8>,
    pub(crate) modes: Vec<ServiceMode>,
    pub(crate) idle: f32,
    pub(crate) step: f32,
    pub(crate) pulse: u64,
    pub(crate) read_only: BTreeSet<u16>,
    /// Bits that a CV cannot hold.
    pub(crate) missing_bits: BTreeMap<u16, u8>,
    pub(crate) lock: Option<Lock>,
    /// Whether CV257 to CV512 are seen through pages.
    pub(crate) has_pages: bool,
    /// Whether CV17 waits for CV18 (S-9.2.1 note 8).
    pub(crate) has_pair: bool,
    /// Whether it acknowledges its page register.
    pub(crate) acknowledges_pages: bool,
    waiting: Option<u8>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lock {
    /// Writing is refused (S-9.2.2).
    Writes,
    /// Reading too (RCN-225).
    Everything,
}

const fn plain(cv: u16) -> CvPlace {
    CvPlace { page: None, cv }
}

impl FakeDecoder {
    /// A decoder with direct and paged mode that holds these CVs and no others.
    pub(crate) fn holding(contents: &[(u16, u8)]) -> Self {
        Self {
            memory: contents.iter().map(|(cv, value)| (plain(*cv), *value)).collect(),
            modes: vec![ServiceMode::Direct, ServiceMode::Paged],
            idle: 45.0,
            step: 80.0,
            pulse: 6_000,
            read_only: [7, 8].into(),
            missing_bits: BTreeMap::new(),
            lock: None,
            has_pages: false,
            has_pair: false,
            acknowledges_pages: true,
            waiting: None,
        }
    }

    pub(crate) fn content(&self, cv: u16) -> Option<u8> {
        self.memory.get(&plain(cv)).copied()
    }

    fn place(&self, cv: u16) -> CvPlace {
        let page = self.content(31).zip(self.content(32));
        CvPlace { page: page.filter(|_| self.has_pages && (257..=512).contains(&cv)), cv }
    }

    fn is_locked(&self) -> bool {
        self.content(15) != self.content(16)
    }

    fn access(&mut self, access: CvAccess) -> bool {
        let cv = access.cv.get();
        let place = self.place(cv);
        let Some(old) = self.memory.get(&place).copied() else {
            // RCN-214 (digest): a missing CV acknowledges every bit and no byte.
            return matches!(access.operation, CvOperation::VerifyBit { .. });
        };
        match access.apply(old) {
            CvOutcome::Compared { agrees } => {
                // RCN-225 CV15/16: byte comparisons list the lock numbers that there are.
                let is_bit = matches!(access.operation, CvOperation::VerifyBit { .. });
                let is_hidden =
                    self.lock == Some(Lock::Everything) && self.is_locked() && (cv != 16 || is_bit);
                agrees && !is_hidden
            }
            CvOutcome::Stored(value) => {
                if self.read_only.contains(&cv) || (self.lock.is_some() && self.is_locked() && cv != 15) {
                    return false;
                }
                self.store(place, value);
                true
            }
        }
    }

    fn store(&mut self, place: CvPlace, value: u8) {
        match place {
            CvPlace { page: None, cv: 17 } if self.has_pair => {
                self.waiting = Some(value);
                return;
            }
            CvPlace { page: None, cv: 18 } => {
                if let Some(high) = self.waiting.take() {
                    self.memory.insert(plain(17), high);
                }
            }
            CvPlace { page: None, cv: 1 } => {
                // S-9.2.3, address-only mode: any write of CV1 clears CV29 bit 5 and CV19.
                self.memory.entry(plain(29)).and_modify(|content| *content &= !32);
                self.memory.entry(plain(19)).and_modify(|content| *content = 0);
            }
            _ => {}
        }
        let missing = self.missing_bits.get(&place.cv).copied().unwrap_or(0);
        self.memory.insert(place, value & !missing);
    }

    fn obeys(&self, mode: ServiceMode) -> bool {
        self.modes.contains(&mode)
    }

    /// Whether the instruction is acknowledged.
    fn execute(&mut self, instruction: ServiceInstruction, page: &mut PageRegister) -> bool {
        match instruction {
            ServiceInstruction::Direct(access) => self.obeys(ServiceMode::Direct) && self.access(access),
            ServiceInstruction::Register { register: Register::PAGE, operation } => {
                let RegisterOperation::Write(value) = operation else { return false };
                *page = PageRegister::new(value);
                self.acknowledges_pages
            }
            ServiceInstruction::Register { register, operation } => {
                let is_served = if page.page() > 1 {
                    self.obeys(ServiceMode::Paged)
                } else if register == Register::ADDRESS {
                    true
                } else {
                    self.obeys(ServiceMode::Paged) || self.obeys(ServiceMode::Register)
                };
                let Some(cv) = page.cv(register).filter(|_| is_served) else { return false };
                self.access(match operation {
                    RegisterOperation::Verify(value) => CvAccess::verify(cv, value),
                    RegisterOperation::Write(value) => CvAccess::write(cv, value),
                })
            }
            ServiceInstruction::AddressQuery(_) | ServiceInstruction::Lock(_) => false,
        }
    }
}

#[derive(Debug, Clone)]
pub(crate) struct FakeRails {
    pub(crate) decoders: Vec<FakeDecoder>,
    /// Half the width of the noise, mA: a sum of three even distributions, so its standard deviation is as much.
    pub(crate) noise: f32,
    /// Falls to nothing with this time constant after power-on: a keep-alive that fills up. mA and µs.
    pub(crate) charging: Option<(f32, f32)>,
    /// The share of packets that is not heard, from 0 to 1.
    pub(crate) unheard: f32,
    pub(crate) cut: Option<Cut>,
    pub(crate) n_packets: u32,
    pub(crate) heard: Vec<Packet>,
    is_powered: bool,
    now: u64,
    powered_at: u64,
    sample_due: u64,
    seed: u64,
    receiver: PacketReceiver,
    state: ServiceModeState,
    page: PageRegister,
    pulses: Vec<(u64, u64, f32)>,
}

impl FakeRails {
    pub(crate) fn with(decoders: Vec<FakeDecoder>) -> Self {
        Self {
            decoders,
            noise: 0.0,
            charging: None,
            unheard: 0.0,
            cut: None,
            n_packets: 0,
            heard: Vec::new(),
            is_powered: false,
            now: 0,
            powered_at: 0,
            sample_due: u64::from(SAMPLE_MICROSECONDS),
            seed: 1,
            receiver: PacketReceiver::new(),
            state: ServiceModeState::new(),
            page: PageRegister::DEFAULT,
            pulses: Vec::new(),
        }
    }

    pub(crate) fn seeded(mut self, seed: u64) -> Self {
        self.seed = seed;
        self
    }

    fn random(&mut self) -> f32 {
        // The constants of a common 64-bit linear congruential generator (from memory).
        self.seed = self.seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f32::from(u16::try_from(self.seed >> 48).unwrap()) / 32_768.0 - 1.0
    }

    fn sample(&mut self) -> f32 {
        if !self.is_powered {
            return 0.0;
        }
        let idle: f32 = self.decoders.iter().map(|decoder| decoder.idle).sum();
        let pulses: f32 = self
            .pulses
            .iter()
            .filter(|(start, end, _)| (*start..*end).contains(&self.now))
            .map(|(_, _, step)| step)
            .sum();
        let since = (self.now - self.powered_at) as f32;
        let charging = self.charging.map_or(0.0, |(current, time)| current * (-since / time).exp());
        let noise =
            if self.noise > 0.0 { self.noise * (self.random() + self.random() + self.random()) } else { 0.0 };
        idle + pulses + charging + noise
    }

    fn hear(&mut self, packet: &Packet) {
        if self.unheard > 0.0 && (self.random() + 1.0) / 2.0 < self.unheard {
            return;
        }
        self.heard.push(*packet);
        let Some(instruction) = self.state.packet(&packet.view(), Microseconds::from_micros(self.now)) else {
            return;
        };
        let page = self.page;
        for index in 0..self.decoders.len() {
            let mut its_page = page;
            let decoder = &mut self.decoders[index];
            if decoder.execute(instruction, &mut its_page) {
                let start = self.now + if instruction.is_write() { 4_000 } else { 0 };
                self.pulses.push((start, start + decoder.pulse, decoder.step));
            }
            self.page = its_page;
        }
    }
}

impl Rails for FakeRails {
    fn set_power(&mut self, is_on: bool) {
        if !is_on || !self.is_powered {
            self.state = ServiceModeState::new();
            self.page = PageRegister::DEFAULT;
            self.pulses.clear();
            for decoder in &mut self.decoders {
                decoder.waiting = None;
            }
            self.powered_at = self.now;
        }
        self.is_powered = is_on;
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        self.n_packets += 1;
        for (index, half_bit) in half_bits.iter().enumerate() {
            if index == half_bits.len() / 2 {
                match self.cut {
                    Some(Cut::Killed { at_packet }) if at_packet == self.n_packets => {
                        self.cut = None;
                        self.set_power(false);
                        std::panic::resume_unwind(Box::new(Killed));
                    }
                    Some(Cut::Dead { at_packet }) if self.n_packets >= at_packet => self.set_power(false),
                    _ => {}
                }
            }
            self.now += u64::from(*half_bit);
            while self.sample_due <= self.now {
                self.sample_due += u64::from(SAMPLE_MICROSECONDS);
                let sample = self.sample();
                milliamperes.push(sample);
            }
            if self.is_powered
                && let Some(Event::Packet(packet)) = self.receiver.half_bit(*half_bit)
            {
                let packet = packet.to_packet();
                self.hear(&packet);
            }
        }
        self.pulses.retain(|(_, end, _)| *end >= self.now);
    }

    fn wait(&mut self, microseconds: u64) {
        self.now += microseconds;
        self.sample_due = self.now + u64::from(SAMPLE_MICROSECONDS);
    }
}
