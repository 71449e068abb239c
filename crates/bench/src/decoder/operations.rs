//! Operations mode: what the decoder does with a packet on the main.
//!
//! What it is: addresses, speed and direction, functions, consist control, decoder control and CV access.
//! What it is not: motion itself, the function map, or the answers of bi-directional communication (`feedback`).
//!
//! Source: S-9.2 §B; S-9.2.1 §C; RCN-212, RCN-214 (digests); RCN-226 §2.2, §3 (reference text, sections 2, 3, 6).

use datasheets::CvPlace;
use dcc::operations::{OwnAddresses, may_be_written_on_the_main};
use dcc::{
    Address, Command, Commands, ConsistControl, CvAccess, CvNumber, CvOutcome, DecoderControl, Direction,
    Function, FunctionGroup, GroupStates, PacketView, ShortCvAccess, SpecialOperation, Speed,
    SpeedRestriction, Xpom, XpomOperation,
};

use super::access::{LONG_ADDRESS, Verdict};
use super::{Decoder, WRITE_MICROSECONDS, Writing};
use crate::functions::Via;
use crate::memory::plain;

impl Decoder {
    /// Obeys a packet if it is for this decoder.
    pub(super) fn operate(&mut self, packet: PacketView<'_>, now: u64) {
        self.answer = None;
        if let Some(active) = self.settings.own {
            let consist = self.settings.consist.map(|consist| consist.address());
            if let Some(access) = self.gate.packet(&packet, OwnAddresses { active, consist }) {
                self.access_cvs(access, now);
            }
        }
        let Ok(commands) = Commands::new(&packet) else { return };
        let Some(via) = self.via(commands.address()) else { return };
        self.is_awake = true;
        self.is_fresh = false;
        self.is_touched = true;
        self.last_addressed = now;
        for command in commands.map_while(Result::ok) {
            self.answer_to(&command, via);
            self.obey(command, via, now);
        }
        self.follow_keys();
        // Without momentum the motor follows at once.
        let manner = self.manner();
        self.motion.advance(0.0, &manner);
    }

    fn via(&self, address: Address) -> Option<Via> {
        if address == Address::Broadcast {
            return Some(Via::Broadcast);
        }
        if self.settings.own == Some(address) {
            return Some(Via::Own);
        }
        self.settings.consist.filter(|consist| consist.address() == address).map(|_| Via::Consist)
    }

    fn obey(&mut self, command: Command, via: Via, now: u64) {
        match command {
            Command::Control(control) => self.control(control, via, now),
            Command::Consist(consist) => self.join(consist, via, now),
            Command::Speed(speed) if self.settings.has_many_steps => {
                self.drive(speed.direction(), speed.as_28_steps(), via);
            }
            Command::Speed(speed) => {
                let (steps, is_headlight_on) = speed.as_14_steps();
                self.drive(speed.direction(), steps, via);
                // A broadcast stop uses this bit for something else (S-9.2 §B).
                if via != Via::Broadcast {
                    self.functions.hear(Function::F0, is_headlight_on, via, self.mask);
                }
            }
            Command::Speed126 { direction, speed } => self.drive(direction, speed, via),
            Command::SpeedAndFunctions(both) if self.access.is_rcn() => {
                self.drive(both.direction, both.speed, via);
                for function in Function::all() {
                    if let Some(is_on) = both.is_on(function) {
                        self.functions.hear(function, is_on, via, self.mask);
                    }
                }
            }
            Command::Functions(states) => self.switch(states, via),
            Command::Special(special) if !self.access.is_rcn() => self.restrict(special),
            Command::ServiceModeLock(keep) if self.settings.short != keep.get() => self.service.lock_out(),
            // CV access has passed the gate before. Binary states and analog functions drive nothing here.
            _ => {}
        }
    }

    fn control(&mut self, control: DecoderControl, via: Via, now: u64) {
        match control {
            DecoderControl::Reset if via != Via::Consist => self.forget(),
            DecoderControl::HardReset if via != Via::Consist => {
                let factory = crate::memory::Memory::on_delivery(&self.sheet);
                let mut values: Vec<(CvPlace, u8)> =
                    [29, 31, 32].map(|cv| (plain(cv), factory.plain(cv))).into();
                values.push((plain(19), 0));
                let done_at = now + WRITE_MICROSECONDS;
                self.writing = Some(Writing { values, done_at, acknowledges: false, then_forgets: true });
            }
            DecoderControl::SetLongAddressing(is_long) if via == Via::Own => {
                let old = self.memory.plain(29);
                let new = if is_long { old | LONG_ADDRESS } else { old & !LONG_ADDRESS };
                let verdict = self.access.judge(29, new, &self.memory);
                self.begin(verdict, now, false);
            }
            DecoderControl::AcknowledgementRequest if via == Via::Own => self.acknowledgement = Some(now),
            _ => {}
        }
    }

    /// Consist control to its own address; as a broadcast it only dissolves consists (RCN-212, digest).
    fn join(&mut self, consist: ConsistControl, via: Via, now: u64) {
        if via == Via::Own || (via == Via::Broadcast && consist.address().is_none()) {
            let verdict = self.access.judge(19, consist.cv19(), &self.memory);
            self.begin(verdict, now, false);
        }
    }

    /// In a consist speed and direction come from its address only (S-9.2.1 §C).
    fn drive<const STEPS: u8>(&mut self, direction: Direction, speed: Speed<STEPS>, via: Via) {
        let is_consist_too =
            self.settings.consist.is_some_and(|consist| Some(consist.address()) == self.settings.own);
        let via = if via == Via::Own && is_consist_too { Via::Consist } else { via };
        if via == Via::Own && self.settings.consist.is_some() {
            return;
        }
        let is_turned_in_consist =
            via == Via::Consist && self.settings.consist.is_some_and(|consist| consist.is_reversed);
        let direction =
            if is_turned_in_consist != self.settings.is_reversed { direction.reversed() } else { direction };
        // The direction of a broadcast may be ignored (S-9.2 §B for stops with C = 1, S-9.2.1 §C else); this decoder does.
        let direction = if via == Via::Broadcast { self.motion.commanded() } else { direction };
        let step = match speed {
            Speed::Step(step) => step.get(),
            Speed::Stop => 0,
            Speed::EmergencyStop => {
                self.motion.stop_at_once();
                0
            }
        };
        self.motion.command(step, STEPS, direction);
    }

    /// F0 counts in its function group only with 28 or 128 steps (S-9.2.1 §C 100).
    fn switch(&mut self, states: GroupStates, via: Via) {
        let group: FunctionGroup = states.group();
        for number in group.first().get()..=group.last().get() {
            let Ok(function) = Function::new(number) else { continue };
            if function == Function::F0 && !self.settings.has_many_steps {
                continue;
            }
            self.functions.hear(function, states.is_on(function) == Some(true), via, self.mask);
        }
    }

    fn restrict(&mut self, special: SpecialOperation) {
        self.motion.limit(match special.as_restriction() {
            SpeedRestriction::None => 1.0,
            SpeedRestriction::Ceiling(Speed::Step(step)) => f64::from(step.get()) / 28.0,
            SpeedRestriction::Ceiling(Speed::Stop | Speed::EmergencyStop) => 0.0,
        });
    }

    /// CV access that the rule of two packets has let through. Reading is answered by feedback only.
    fn access_cvs(&mut self, command: Command, now: u64) {
        let verdict = match command {
            Command::Cv(access) => self.judge_on_the_main(access),
            Command::ShortCv(access) => self.judge_short(access),
            Command::Xpom(xpom) if self.access.is_rcn() => self.judge_extended(&xpom),
            _ => Verdict::Refused,
        };
        self.begin(verdict, now, false);
    }

    pub(super) fn judge_on_the_main(&self, access: CvAccess) -> Verdict {
        let content = self.content(access.cv.get());
        match content.map(|content| access.apply(content)) {
            Some(CvOutcome::Stored(value)) if may_be_written_on_the_main(access.cv) => {
                self.access.judge(access.cv.get(), value, &self.memory)
            }
            _ => Verdict::Refused,
        }
    }

    /// The short forms; those for pairs of CVs are RCN-214's (digest).
    fn judge_short(&self, access: ShortCvAccess) -> Verdict {
        match access {
            ShortCvAccess::AccelerationAdjustment(value) => self.access.judge(23, value, &self.memory),
            ShortCvAccess::DecelerationAdjustment(value) => self.access.judge(24, value, &self.memory),
            _ if !self.access.is_rcn() => Verdict::Refused,
            ShortCvAccess::LongAddress(address) => {
                let [high, low] = address.octets();
                self.judge_all(&[(17, high), (18, low), (29, self.memory.plain(29) | LONG_ADDRESS)])
            }
            ShortCvAccess::IndexPage { cv31, cv32 } => self.judge_all(&[(31, cv31), (32, cv32)]),
            ShortCvAccess::Consist { cv19, cv20 } => self.judge_all(&[(19, cv19), (20, cv20)]),
        }
    }

    fn judge_all(&self, values: &[(u16, u8)]) -> Verdict {
        self.all(values.iter().map(|(cv, value)| (plain(*cv), *value)))
    }

    fn all(&self, values: impl Iterator<Item = (CvPlace, u8)>) -> Verdict {
        let mut stored = Vec::new();
        for (place, value) in values {
            match self.access.judge_at(place, value, &self.memory) {
                Verdict::Stores(more) => stored.extend(more),
                Verdict::Refused => return Verdict::Refused,
            }
        }
        Verdict::Stores(stored)
    }

    /// One to four CVs from an index page on; none of them is stored when one is refused.
    fn judge_extended(&self, xpom: &Xpom) -> Verdict {
        let place = |offset: u16| self.extended_place(xpom, offset);
        let may = |place: CvPlace| {
            place.page.is_some() || CvNumber::new(place.cv).is_ok_and(may_be_written_on_the_main)
        };
        match xpom.operation {
            XpomOperation::Read => Verdict::Refused,
            XpomOperation::Write(data) => {
                let values = (0..).zip(data.values()).map(|(offset, value)| (place(offset), *value));
                if values.clone().all(|(place, _)| may(place)) { self.all(values) } else { Verdict::Refused }
            }
            XpomOperation::WriteBit { bit, value } => match self.memory.get(place(0)) {
                Some(content) if may(place(0)) => {
                    self.access.judge_at(place(0), bit.set_in(content, value), &self.memory)
                }
                _ => Verdict::Refused,
            },
        }
    }

    /// The place of a CV of an index page, so many CVs after the one that an extended packet names.
    pub(super) fn extended_place(&self, xpom: &Xpom, offset: u16) -> CvPlace {
        let first = xpom.address;
        self.access.seen_through((first.cv31, first.cv32), first.window_cv().get() + offset, &self.memory)
    }
}
