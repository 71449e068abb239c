//! The decoder: valid packets and the time in, memory, motion, functions and acknowledgements out.
//!
//! What it is: a decoder that obeys the wire standards as far as its sheet says it does, with volatile and non-volatile
//! state kept apart. `service` and `operations` hold what it does in the two modes.
//! What it is not: the half bits (dcc) or the load on the rails (`current`).
//!
//! Not modelled: conversion to analog (CV29 bit 2 can be set and does nothing), cutouts for feedback on the rails, asymmetric
//! stopping (CV27), other function maps (CV96), the train bus.
//!
//! Source: NMRA S-9.2, S-9.2.1, S-9.2.2, S-9.2.3; RCN-225 (reference text, sections 2 to 6).

mod access;
mod feedback;
mod operations;
mod service;
mod settings;

use std::collections::BTreeSet;

use datasheets::{CvPlace, DecoderSheet, Deed, ServiceMode};
use dcc::PacketView;
use dcc::operations::CvGate;
use dcc::service::{PageRegister, Phase, ServiceModeState};
use dcc::timing::Microseconds;

use self::access::{Access, Verdict};
use self::settings::Settings;
use crate::functions::{Active, ConsistMask, FunctionMap, Functions};
use crate::memory::Memory;
use crate::motion::{Manner, Motion};
use crate::voice::{self, Heard, Playing};

/// How long a write to non-volatile memory takes, in microseconds: ours, "some milliseconds". The acknowledgement comes
/// after it (S-9.2.3 §D), and power lost before its end leaves the old value.
pub const WRITE_MICROSECONDS: u64 = 5_000;
/// How long a factory reset takes with power on, in microseconds: ours. Power lost before puts its end off to the next
/// power-up (S-9.2.3 §E: finishing may need further power cycles).
pub const RESET_MICROSECONDS: u64 = 500_000;

/// A write that is going on.
#[derive(Debug, Clone)]
struct Writing {
    values: Vec<(CvPlace, u8)>,
    done_at: u64,
    acknowledges: bool,
    /// The decoder goes to its power-up state afterwards (hard reset, S-9.2.1 §C).
    then_forgets: bool,
}

/// A decoder.
#[derive(Debug, Clone)]
pub(crate) struct Decoder {
    sheet: DecoderSheet,
    access: Access,
    memory: Memory,
    // What follows from the memory.
    settings: Settings,
    map: FunctionMap,
    mask: Option<ConsistMask>,
    runs_by_itself: bool,
    /// CV17 and CV18 as they count (S-9.2.1 note 8).
    latched: (u8, u8),
    // What power-down erases.
    service: ServiceModeState,
    page: PageRegister,
    gate: CvGate,
    motion: Motion,
    functions: Functions,
    active: Active,
    /// Whether a packet has reached it by its own address, that of its consist, or as a broadcast other than a reset.
    is_awake: bool,
    last_addressed: u64,
    answer: Option<dcc::bidi::Channel2Reply>,
    writing: Option<Writing>,
    reset_done_at: Option<u64>,
    /// When the acknowledgements began that nobody has taken away yet.
    acknowledgement: Option<u64>,
    /// Whether nothing has happened since the power-up state.
    is_fresh: bool,
    /// Whether something has happened that may bear on the load.
    is_touched: bool,
}

impl Decoder {
    pub(crate) fn new(sheet: DecoderSheet, memory: Memory) -> Self {
        let access = Access::of(&sheet);
        let settings = Settings::of(&memory, &sheet, access.rules(), (0, 0));
        let mut decoder = Self {
            access,
            settings,
            map: FunctionMap::default(),
            mask: None,
            runs_by_itself: false,
            latched: (0, 0),
            service: ServiceModeState::new(),
            page: PageRegister::DEFAULT,
            gate: CvGate::new(),
            motion: Motion::standing(),
            functions: Functions::default(),
            active: Active::default(),
            is_awake: false,
            last_addressed: 0,
            answer: None,
            writing: None,
            reset_done_at: None,
            acknowledgement: None,
            is_fresh: false,
            is_touched: false,
            sheet,
            memory,
        };
        decoder.power_up();
        decoder
    }

    pub(crate) fn sheet(&self) -> &DecoderSheet {
        &self.sheet
    }

    pub(crate) fn memory(&self) -> &Memory {
        &self.memory
    }

    /// Puts a kept memory in, before power-up.
    pub(crate) fn restore(&mut self, values: &[(CvPlace, u8)]) {
        for (place, value) in values {
            self.memory.store(*place, *value);
        }
        self.power_up();
    }

    /// Power comes back after it was lost: volatile state is gone, and a factory reset that had begun is finished.
    pub(crate) fn power_up(&mut self) {
        if self.memory.is_reset_pending() {
            self.memory.finish_reset(&self.sheet);
        }
        self.writing = None;
        self.reset_done_at = None;
        self.acknowledgement = None;
        self.service = ServiceModeState::new();
        self.page = PageRegister::DEFAULT;
        self.latched = (self.memory.plain(17), self.memory.plain(18));
        self.follow_memory();
        self.is_fresh = false;
        self.forget();
    }

    /// The power-up state that a reset packet leads to as well. The page register stays (S-9.2.3 §E).
    fn forget(&mut self) {
        if self.is_fresh {
            return;
        }
        self.is_fresh = true;
        self.is_touched = true;
        self.gate = CvGate::new();
        self.motion = Motion::standing();
        self.functions = Functions::default();
        self.is_awake = false;
        self.answer = None;
        self.follow_keys();
    }

    /// Works out what follows from the memory.
    fn follow_memory(&mut self) {
        self.settings = Settings::of(&self.memory, &self.sheet, self.access.rules(), self.latched);
        self.map = FunctionMap::of(&self.memory, &self.sheet);
        self.mask = self.settings.consist.map(|_| ConsistMask::of(&self.memory, self.access.is_rcn()));
        self.runs_by_itself = !self.map.reaches(Deed::Engine, &self.sheet);
        self.follow_keys();
    }

    /// Works out what is on.
    fn follow_keys(&mut self) {
        self.active = self.map.active(&self.functions, self.motion.commanded(), &self.sheet);
    }

    /// Takes a packet whose last bit was complete at `now`. Time must have been advanced to `now` before.
    pub(crate) fn packet(&mut self, packet: PacketView<'_>, now: u64) {
        let phase = self.service.phase();
        let instruction = self.service.packet(&packet, Microseconds::from_micros(now));
        self.is_touched |= instruction.is_some() || phase != self.service.phase();
        if let Some(instruction) = instruction {
            self.serve(instruction, now);
        }
        if packet.is_reset() {
            self.forget();
        } else if self.service.phase() == Phase::Operations {
            self.operate(packet, now);
        }
    }

    /// Lets time pass from `from` to `now` with power on.
    pub(crate) fn advance(&mut self, from: u64, now: u64) {
        if let Some(writing) = self.writing.take_if(|writing| writing.done_at <= now) {
            self.finish(&writing);
        }
        if self.reset_done_at.take_if(|done_at| *done_at <= now).is_some() {
            self.memory.finish_reset(&self.sheet);
            self.latched = (self.memory.plain(17), self.memory.plain(18));
            self.follow_memory();
            self.is_touched = true;
        }
        self.service.elapse(Microseconds::from_micros(now));
        #[expect(clippy::cast_precision_loss, reason = "a span of driving is far below 2^53 µs")]
        let seconds = (now - from) as f64 / 1e6;
        let manner = self.manner();
        self.motion.advance(seconds, &manner);
        if self
            .settings
            .packet_time_out
            .is_some_and(|time_out| now - self.last_addressed.min(now) >= time_out)
        {
            // The time-out stops everything the decoder controls (S-9.2.4 §C).
            self.motion.stop_at_once();
        }
    }

    /// When something will happen by itself that bears on the load.
    pub(crate) fn next_event(&self) -> Option<u64> {
        let writing = self.writing.as_ref().map(|writing| writing.done_at);
        writing.into_iter().chain(self.reset_done_at).min()
    }

    /// Begins to store values; a decoder that is still writing does not listen.
    fn begin(&mut self, verdict: Verdict, now: u64, acknowledges: bool) {
        if let (Verdict::Stores(values), None) = (verdict, &self.writing) {
            let done_at = now + WRITE_MICROSECONDS;
            self.writing = Some(Writing { values, done_at, acknowledges, then_forgets: false });
        }
    }

    fn finish(&mut self, writing: &Writing) {
        self.is_touched = true;
        for (place, value) in &writing.values {
            self.memory.store(*place, *value);
        }
        if self.memory.is_reset_pending() && self.reset_done_at.is_none() {
            self.reset_done_at = Some(writing.done_at + RESET_MICROSECONDS);
        }
        if writing.values.iter().any(|(place, _)| place.page.is_none() && place.cv == 18) {
            self.latched = (self.memory.plain(17), self.memory.plain(18));
        }
        if writing.acknowledges {
            self.acknowledgement = Some(writing.done_at);
        }
        self.follow_memory();
        if writing.then_forgets {
            self.forget();
        }
    }

    /// The moment at which an acknowledgement began, once.
    pub(crate) fn take_acknowledgement(&mut self) -> Option<u64> {
        self.acknowledgement.take()
    }

    /// Whether something has happened that may bear on the load since this was asked before.
    pub(crate) fn take_touched(&mut self) -> bool {
        std::mem::take(&mut self.is_touched)
    }

    fn has_mode(&self, mode: ServiceMode) -> bool {
        self.sheet.decoder.modes.contains(&mode)
    }

    fn manner(&self) -> Manner {
        Manner {
            momentum: self.settings.momentum,
            is_braking: self.active.deeds.contains(&Deed::Brake),
            is_shunting: self.active.deeds.contains(&Deed::Shunting),
        }
    }

    /// Whether it obeys operations packets. In service mode outputs and motor are off (S-9.2.3 §B 2).
    fn is_operating(&self) -> bool {
        self.service.phase() != Phase::Service
    }

    /// Whether the speed is changing.
    pub(crate) fn is_changing_speed(&self) -> bool {
        !self.motion.is_settled(&self.manner())
    }

    /// What the motor gets, 0 to 1 of the supply, and in which direction.
    pub(crate) fn motor(&self) -> (f64, dcc::Direction) {
        let level = if self.is_operating() { self.motion.level(&self.settings.curve) } else { 0.0 };
        (level / crate::motion::FULL_LEVEL, self.motion.moving())
    }

    /// The direction that lamps follow.
    pub(crate) fn facing(&self) -> dcc::Direction {
        self.motion.commanded()
    }

    /// Numbers of the outputs that are on.
    pub(crate) fn outputs_on(&self) -> BTreeSet<u16> {
        if self.is_operating() { self.active.outputs.clone() } else { BTreeSet::new() }
    }

    /// Whether something that a key does is on.
    pub(crate) fn does(&self, deed: Deed) -> bool {
        self.is_operating() && self.active.deeds.contains(&deed)
    }

    /// What is heard, if a speaker is there to hear it from.
    pub(crate) fn heard(&self) -> Heard {
        if !self.is_operating() || !self.is_awake {
            return Heard::default();
        }
        voice::heard(&Playing {
            sheet: &self.sheet,
            memory: &self.memory,
            deeds: &self.active.deeds,
            runs_by_itself: self.runs_by_itself,
            throttle: self.motion.throttle(),
            is_standing: self.motion.is_standing(),
        })
    }

    /// What it says in channel 2 after the last packet.
    pub(crate) fn answer(&self) -> Option<dcc::bidi::Channel2Reply> {
        self.answer
    }
}
