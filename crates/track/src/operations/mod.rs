//! Operations mode: speed, keys and CV writes on the main, for trying out what was programmed.
//!
//! What it is: a small sender over [`Rails`] that keeps the rules between packets: 5 ms between two packets for the same
//! decoder, silence after resets, refresh. What it is not: a command station; it has no throttles, no priorities, and time
//! passes only while it is told to hold.
//!
//! Source: NMRA S-9.2 §B and §C; S-9.2.1 §C; S-9.2.4 §A; RCN-200 §7; RCN-214 (digest).

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use dcc::operations::{
    PAUSE_BETWEEN_WRITES, WriteSequence, may_be_written_on_the_main, sends_on_change, start_of_operation,
};
use dcc::timing::SenderTiming;
use dcc::{
    Address, Command, CvAccess, CvNumber, Direction, Function, FunctionGroup, FunctionStates, Instruction,
    Microseconds, PREAMBLE_OPERATIONS, Packet, Speed, Speed126,
};

use crate::permit::Permit;
use crate::rails::Rails;

/// What a decoder was told last, and is told again and again.
#[derive(Debug, Clone, Copy, Default)]
struct Told {
    speed: Option<(Direction, Speed126)>,
    functions: FunctionStates,
    /// The refreshed groups that were sent at all.
    has_groups: [bool; REFRESHED.len()],
}

/// The function groups that are refreshed (S-9.2.1 §C); later ones are sent three times instead.
const REFRESHED: [FunctionGroup; 3] = [FunctionGroup::F0ToF4, FunctionGroup::F5ToF8, FunctionGroup::F9ToF12];

/// Why a CV cannot be written on the main.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum OperationsError {
    /// The rails have no power.
    #[error("the main is not switched on: start it first")]
    NotStarted,
    /// CV7 and CV8 are written in service mode only (RCN-226 §2.2 and §3).
    #[error("{cv} is not written on the main: use the programming track")]
    NotOnTheMain {
        /// The CV.
        cv: CvNumber,
    },
    /// A CV is written to one decoder.
    #[error("a CV is not written to all decoders at once: name an address")]
    ToEverybody,
}

/// The sender's end of the main.
#[derive(Debug)]
pub struct MainTrack<R: Rails> {
    rails: R,
    is_on: bool,
    told: BTreeMap<Address, Told>,
    /// Whom the latest packet was for.
    latest: Option<Address>,
    /// Where the refresh stands.
    turn: usize,
    rail_time: Microseconds,
    half_bits: Vec<u32>,
    milliamperes: Vec<f32>,
}

impl<R: Rails> MainTrack<R> {
    /// The main with these rails, the power off.
    pub fn new(rails: R) -> Self {
        Self {
            rails,
            is_on: false,
            told: BTreeMap::new(),
            latest: None,
            turn: 0,
            rail_time: Microseconds::ZERO,
            half_bits: Vec::new(),
            milliamperes: Vec::new(),
        }
    }

    /// Switches on and sends what comes before any other packet: 20 resets, 10 idles (S-9.2.4 §A).
    pub fn start(&mut self, _permit: &Permit) {
        self.rails.set_power(true);
        self.is_on = true;
        for packet in start_of_operation() {
            self.drive(&packet);
        }
    }

    /// Stops every locomotive, switches off, and forgets what was told.
    pub fn stop(&mut self) {
        if self.is_on {
            let stop = Instruction::broadcast_stop(None, true).to_packet();
            for packet in [stop, Packet::IDLE, stop] {
                self.drive(&packet);
            }
        }
        self.rails.set_power(false);
        self.is_on = false;
        self.told.clear();
        self.latest = None;
    }

    /// Tells a speed in 126 steps; a decoder whose CV29 bit 1 is 0 does not understand it (S-9.2.1 §C).
    ///
    /// # Errors
    /// [`OperationsError::NotStarted`].
    pub fn set_speed(
        &mut self,
        address: Address,
        direction: Direction,
        speed: Speed126,
    ) -> Result<(), OperationsError> {
        self.told.entry(address).or_default().speed = Some((direction, speed));
        self.send(address, Command::Speed126 { direction, speed })
    }

    /// Stops a locomotive, with its momentum.
    ///
    /// # Errors
    /// [`OperationsError::NotStarted`].
    pub fn stop_one(&mut self, address: Address) -> Result<(), OperationsError> {
        let direction = self.told.get(&address).and_then(|told| told.speed);
        let direction = direction.map_or(Direction::Forward, |(direction, _)| direction);
        self.set_speed(address, direction, Speed::Stop)
    }

    /// Switches a function.
    ///
    /// # Errors
    /// [`OperationsError::NotStarted`].
    pub fn set_function(
        &mut self,
        address: Address,
        function: Function,
        is_on: bool,
    ) -> Result<(), OperationsError> {
        let told = self.told.entry(address).or_default();
        told.functions.set(function, is_on);
        let group = function.group();
        if let Some(index) = REFRESHED.iter().position(|refreshed| *refreshed == group) {
            told.has_groups[index] = true;
        }
        let states = told.functions.group(group);
        self.send(address, Command::Functions(states))
    }

    /// Sends any other command, as often as it needs.
    ///
    /// # Errors
    /// [`OperationsError::NotStarted`].
    pub fn send(&mut self, address: Address, command: Command) -> Result<(), OperationsError> {
        if !self.is_on {
            return Err(OperationsError::NotStarted);
        }
        let packet = Instruction::for_decoder(address, command).to_packet();
        for _ in 0..sends_on_change(&command) {
            self.send_to(address, &packet);
        }
        Ok(())
    }

    /// Writes a CV: the packet twice with an idle between (S-9.2.1 §C; S-9.2 §C), then a pause of 100 ms (RCN-214, digest)
    /// in which the others are refreshed and this decoder hears nothing. Nobody answers: what it came to is not known.
    ///
    /// # Errors
    /// [`OperationsError`].
    pub fn write_cv(&mut self, address: Address, cv: CvNumber, value: u8) -> Result<(), OperationsError> {
        if !self.is_on {
            return Err(OperationsError::NotStarted);
        }
        if address == Address::Broadcast {
            return Err(OperationsError::ToEverybody);
        }
        if !may_be_written_on_the_main(cv) {
            return Err(OperationsError::NotOnTheMain { cv });
        }
        let packet = Instruction::for_decoder(address, Command::Cv(CvAccess::write(cv, value))).to_packet();
        self.give_room(address);
        for packet in WriteSequence::with_filler(packet, Packet::IDLE).packets() {
            self.drive(packet);
        }
        self.latest = Some(address);
        let until = self.rail_time + PAUSE_BETWEEN_WRITES;
        while self.rail_time < until {
            self.refresh_one(Some(address));
        }
        Ok(())
    }

    /// Lets time pass: everything that was told is told again in turn, idles in between.
    pub fn hold(&mut self, span: Microseconds) {
        if !self.is_on {
            self.rails.wait(span.as_micros());
            return;
        }
        let until = self.rail_time + span;
        while self.rail_time < until {
            self.refresh_one(None);
        }
    }

    /// How long the rails were driven.
    pub fn rail_time(&self) -> Microseconds {
        self.rail_time
    }

    /// The rails, to look at what stands on them.
    pub fn rails(&self) -> &R {
        &self.rails
    }

    /// The rails, to change what stands on them.
    pub fn rails_mut(&mut self) -> &mut R {
        &mut self.rails
    }

    /// Sends the next packet of the refresh: one thing that one decoder was told, or an idle where it is nobody's turn. A
    /// round goes through all decoders and, for each, through speed and function groups.
    fn refresh_one(&mut self, except: Option<Address>) {
        let n_things = 1 + REFRESHED.len();
        let n_slots = self.told.len() * n_things;
        for _ in 0..n_slots {
            let slot = self.turn % n_slots;
            self.turn = (self.turn + 1) % n_slots;
            let Some((address, told)) = self.told.iter().nth(slot % self.told.len()) else { continue };
            let address = *address;
            let command = match (slot / self.told.len()).checked_sub(1) {
                None => told.speed.map(|(direction, speed)| Command::Speed126 { direction, speed }),
                Some(index) => {
                    let is_told = told.has_groups.get(index) == Some(&true);
                    is_told.then(|| Command::Functions(told.functions.group(REFRESHED[index])))
                }
            };
            if let Some(command) = command.filter(|_| except != Some(address)) {
                self.send_to(address, &Instruction::for_decoder(address, command).to_packet());
                return;
            }
        }
        self.drive(&Packet::IDLE);
    }

    fn send_to(&mut self, address: Address, packet: &Packet) {
        self.give_room(address);
        self.drive(packet);
        self.latest = Some(address);
    }

    /// Two packets for the same decoder are 5 ms apart: an idle goes between (S-9.2 §C; 7.884 ms by the reference text,
    /// section 6).
    fn give_room(&mut self, address: Address) {
        let is_near = |latest: Address| {
            latest == address || latest == Address::Broadcast || address == Address::Broadcast
        };
        if self.latest.is_some_and(is_near) {
            self.drive(&Packet::IDLE);
        }
    }

    fn drive(&mut self, packet: &Packet) {
        let timing = SenderTiming::NOMINAL;
        self.half_bits.clear();
        self.half_bits.extend(packet.half_bits(PREAMBLE_OPERATIONS, timing));
        self.milliamperes.clear();
        self.rails.drive(&self.half_bits, &mut self.milliamperes);
        self.rail_time += packet.duration(PREAMBLE_OPERATIONS, timing);
        self.latest = None;
    }
}

/// A sender that goes away takes the power with it.
impl<R: Rails> Drop for MainTrack<R> {
    fn drop(&mut self) {
        if self.is_on {
            self.rails.set_power(false);
        }
    }
}
