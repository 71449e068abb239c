//! The locomotive: half bits in, current out, and everything a person can observe, meter or hear.
//!
//! What it is: decoder, motor, speakers, lamps and pickup of one truth, driven through [`track::Rails`] (`time`).
//! What it is not: a clock, a file or a source of chance of its own. Time is what is driven and waited; chance comes from the
//! seed; the memory is handed out and taken back, so that a process that was killed can be continued.

mod time;

use datasheets::{CvPlace, DecoderSheet, PartKind, Shelf};
use dcc::bidi::Channel2Reply;
use documents::{Name, nearest};
use electrics::{Component, Netlist, NetlistError};
use quantities::{Frequency, MeterReading, Voltage};
use thiserror::Error;
use workorder::Terminal;

use crate::chance::Chance;
use crate::current::{self, Draw, Sampler};
use crate::decoder::Decoder;
use crate::ear::Ear;
use crate::lamps::{self, Lamp};
use crate::memory::Memory;
use crate::meter;
use crate::observe::Observation;
use crate::pickup::Pickup;
use crate::supply::KeepAlive;
use crate::truth::{Truth, plain_entries};
use crate::voice::Heard;
use crate::wiring::{DecoderIs, Parts};

/// Why there is no such locomotive or no such reading.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BenchError {
    /// The truth names a part without a sheet.
    #[error(
        "there is no {kind} sheet `{name}` on the shelf: read the truth with `read_truth`, which names the nearest"
    )]
    NoSheet {
        /// The kind of part.
        kind: PartKind,
        /// Its name.
        name: Name,
    },
    /// The locomotive has no such terminal.
    #[error("the locomotive has no terminal `{terminal}`{}", near.as_ref().map_or_else(String::new, |near| format!(": did you mean `{near}`?")))]
    NoTerminal {
        /// The terminal asked for.
        terminal: Terminal,
        /// The nearest that it has.
        near: Option<String>,
    },
}

/// An acknowledgement pulse.
#[derive(Debug, Clone, Copy)]
struct Pulse {
    from: u64,
    until: u64,
}

/// One locomotive on the bench.
#[derive(Debug, Clone)]
pub struct Locomotive {
    without_decoder: Netlist,
    with_decoder: Netlist,
    speaks: bool,
    is_motor_swapped: bool,
    turns: bool,
    is_held: bool,
    lamps: Vec<Lamp>,
    draw: Draw,
    /// The decoder, and a second one where the vehicle has two.
    decoders: Vec<Decoder>,
    keep_alive: Option<KeepAlive>,
    pickup: Pickup,
    ear: Ear,
    sampler: Sampler,
    now: u64,
    is_power_on: bool,
    /// When the decoders will have forgotten, while nothing feeds them.
    dies_at: Option<u64>,
    is_alive: bool,
    pulses: Vec<Pulse>,
    lamp_load: f64,
    n_packets: u64,
    changes_taken: u64,
}

impl Locomotive {
    /// Puts a locomotive on the bench, power off, with its memory as the truth tells it. `seed` decides about dirt and noise.
    ///
    /// # Errors
    /// The truth names a part that the shelf has no sheet of; a truth read with [`crate::read_truth`] does not.
    pub fn new(truth: &Truth, shelf: &Shelf, seed: u64) -> Result<Self, BenchError> {
        let sheet = sheet_of(&truth.decoder.part, shelf)?;
        let parts = Parts { truth, sheet, shelf };
        let mut chance = Chance::seeded(seed);
        let mut decoders = vec![Decoder::new(sheet.clone(), memory_of(sheet, truth.memory_overrides()))];
        let second = truth.second.as_ref();
        let second_sheet = second.map(|second| sheet_of(&second.part, shelf)).transpose()?;
        if let (Some(second), Some(sheet)) = (second, second_sheet) {
            decoders.push(Decoder::new(sheet.clone(), memory_of(sheet, plain_entries(&second.cv))));
        }
        let keep_alive = match (&truth.keep_alive, parts.keep_alive()) {
            (None, _) => None,
            (Some(keep_alive), Some(sheet)) => Some(KeepAlive::of(sheet, keep_alive)),
            (Some(keep_alive), None) => {
                return Err(BenchError::NoSheet { kind: PartKind::KeepAlive, name: keep_alive.part.clone() });
            }
        };
        let with_decoder = parts.netlist(DecoderIs::In);
        let mut locomotive = Self {
            speaks: sheet.amplifier.is_some() && speaks(&with_decoder),
            without_decoder: parts.netlist(DecoderIs::Out),
            with_decoder,
            is_motor_swapped: truth.is_motor_swapped(),
            turns: truth.turns(),
            is_held: false,
            lamps: lamps::lamps(truth, sheet, shelf),
            draw: Draw::of(&parts, second_sheet.map(current::second_idle)),
            decoders,
            keep_alive,
            pickup: Pickup::of(truth, chance.split()),
            ear: Ear::default(),
            sampler: Sampler::new(truth, chance.split()),
            now: 0,
            is_power_on: false,
            dies_at: None,
            is_alive: false,
            pulses: Vec::new(),
            lamp_load: 0.0,
            n_packets: 0,
            changes_taken: 0,
        };
        locomotive.changes_taken = locomotive.n_changes();
        Ok(locomotive)
    }

    /// The same locomotive with a memory that was kept before. CVs that its decoder does not have are passed over.
    #[must_use]
    pub fn with_memory(mut self, memory: &[(CvPlace, u8)]) -> Self {
        self.decoders[0].restore(memory);
        self.changes_taken = self.n_changes();
        self
    }

    /// The same for its second decoder, if it has one.
    #[must_use]
    pub fn with_second_memory(mut self, memory: &[(CvPlace, u8)]) -> Self {
        if let Some(second) = self.decoders.get_mut(1) {
            second.restore(memory);
        }
        self.changes_taken = self.n_changes();
        self
    }

    /// What the decoder's non-volatile memory holds now, plain CVs first. A factory reset that has begun and not finished shows
    /// as CV8 = [`crate::RESET_PENDING`].
    #[must_use]
    pub fn memory(&self) -> Vec<(CvPlace, u8)> {
        self.decoders[0].memory().iter().collect()
    }

    /// The same of its second decoder; empty where there is none.
    #[must_use]
    pub fn second_memory(&self) -> Vec<(CvPlace, u8)> {
        self.decoders.get(1).map_or_else(Vec::new, |second| second.memory().iter().collect())
    }

    /// Whether a memory has changed since this was asked before, so that the caller can keep it at each write.
    pub fn take_memory_changed(&mut self) -> bool {
        let n_changes = self.n_changes();
        std::mem::replace(&mut self.changes_taken, n_changes) != n_changes
    }

    /// Holds the wheels, or lets go of them: then the motor draws its stall current and nothing moves. Not for longer than
    /// a second or two with a real one (practice, row 4).
    pub fn hold_wheels(&mut self, is_held: bool) {
        self.is_held = is_held;
    }

    /// How many packets it has heard, for whomever.
    #[must_use]
    pub fn packets_heard(&self) -> u64 {
        self.n_packets
    }

    /// Microseconds that were driven and waited.
    #[must_use]
    pub fn elapsed_microseconds(&self) -> u64 {
        self.now
    }

    /// What a detector for bi-directional communication hears in channel 2 after the last packet (RCN-217); none where the
    /// decoder says nothing. [`track::Rails`] carries no feedback, so it is asked for here.
    #[must_use]
    pub fn feedback(&self) -> Option<Channel2Reply> {
        self.decoders[0].answer().filter(|_| self.is_alive)
    }

    /// What a person sees and hears now.
    #[must_use]
    pub fn observe(&self) -> Observation {
        let decoder = &self.decoders[0];
        let (level, electrical) = if self.is_alive { decoder.motor() } else { (0.0, decoder.facing()) };
        let mut outputs = lamps::outputs_seen(decoder);
        if !self.is_alive {
            outputs.iter_mut().for_each(|output| output.is_on = false);
        }
        Observation {
            is_alive: self.is_alive,
            speed: if self.turns && !self.is_held { level } else { 0.0 },
            direction: if self.is_motor_swapped { electrical.reversed() } else { electrical },
            lamps: lamps::lamps_seen(&self.lamps, &outputs),
            outputs,
            heard: if self.is_alive && self.speaks { decoder.heard() } else { Heard::default() },
        }
    }

    /// What an ohm-meter shows between two terminals of the real wiring.
    ///
    /// # Errors
    /// The locomotive has no such terminal.
    pub fn meter(
        &self,
        from: &Terminal,
        to: &Terminal,
        decoder: DecoderIs,
    ) -> Result<MeterReading, BenchError> {
        let netlist = match decoder {
            DecoderIs::Out => &self.without_decoder,
            DecoderIs::In => &self.with_decoder,
        };
        for terminal in [from, to] {
            if !netlist.terminals().any(|known| known == terminal.as_str()) {
                let near = nearest(terminal.as_str(), netlist.terminals()).map(str::to_owned);
                return Err(BenchError::NoTerminal { terminal: terminal.clone(), near });
            }
        }
        Ok(meter::reading(netlist, from.as_str(), to.as_str()))
    }

    /// The circuit as it really is, decoder in, with its amplifier giving `volts` between `amplifier.1` and `amplifier.2`. Each
    /// speaker's plus is the lead that moves its cone outward, whatever its marks say: for microphone recordings.
    ///
    /// # Errors
    /// The voltage is zero.
    pub fn circuit(&self, volts: Voltage) -> Result<Netlist, NetlistError> {
        let mut fed = self.with_decoder.clone();
        fed.amplifier("amplifier.1", "amplifier.2", volts)?;
        Ok(fed)
    }

    fn n_changes(&self) -> u64 {
        self.decoders.iter().map(|decoder| decoder.memory().n_changes()).sum()
    }

    pub(crate) fn align_samples(&mut self) {
        self.sampler.begin();
    }
}

fn sheet_of<'a>(name: &Name, shelf: &'a Shelf) -> Result<&'a DecoderSheet, BenchError> {
    let missing = || BenchError::NoSheet { kind: PartKind::Decoder, name: name.clone() };
    shelf.decoders.get(name).ok_or_else(missing)
}

fn memory_of(sheet: &DecoderSheet, overrides: impl Iterator<Item = (CvPlace, u8)>) -> Memory {
    let mut memory = Memory::on_delivery(sheet);
    overrides.for_each(|(place, value)| memory.store(place, value));
    memory
}

/// Whether any speaker gets something from the amplifier: a hundredth of its voltage at least, at 1 kHz, so that what leaks
/// through the inside of the decoder does not count.
fn speaks(netlist: &Netlist) -> bool {
    const LEAST_SHARE: f64 = 0.01;
    let mut fed = netlist.clone();
    let (Some(volt), Some(at)) = (Voltage::from_volts(1.0), Frequency::from_hertz(1000.0)) else {
        return false;
    };
    if fed.amplifier("amplifier.1", "amplifier.2", volt).is_err() {
        return false;
    }
    fed.solve_at(at).is_ok_and(|solution| {
        fed.elements().any(|(id, element)| {
            matches!(element.component, Component::Speaker(_)) && solution.voltage(id).norm() > LEAST_SHARE
        })
    })
}
