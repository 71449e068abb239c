//! The locomotive in time: half bits, contact and supply, and the current that flows meanwhile.
//!
//! What it is: time in spans during which nothing changes; at the end of each span decoders, contact or supply may.
//! What it is not: what the decoder does with a packet.

use dcc::Packet;
use track::Rails;

use super::{Locomotive, Pulse};
use crate::decoder::Decoder;
use crate::lamps;
use crate::pickup::Turn;
use crate::supply::{OWN_BUFFER_MICROSECONDS, seconds};

/// How often a load that changes by itself is worked out anew, in microseconds.
const TICK_MICROSECONDS: u64 = 10_000;

impl Rails for Locomotive {
    fn set_power(&mut self, is_on: bool) {
        let was_fed = self.is_fed();
        self.is_power_on = is_on;
        match (was_fed, self.is_fed()) {
            (true, false) => self.lose_supply(0),
            (false, true) => self.get_supply(),
            _ => {}
        }
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        let end = self.now + half_bits.iter().map(|half_bit| u64::from(*half_bit)).sum::<u64>();
        let mut rest = half_bits;
        // As long as neither dirt nor a loss of contact can come between, whole packets are taken at once.
        while !rest.is_empty() && self.is_fed() && !self.pickup.spoils() && self.pickup.next_turn() > end {
            let taken = self.ear.take(rest);
            rest = &rest[taken.count..];
            self.run_to(self.now + taken.microseconds, Some(milliamperes));
            if let Some(packet) = taken.packet {
                self.hear(&packet);
            }
        }
        self.drive_singly(rest, milliamperes);
    }

    fn wait(&mut self, microseconds: u64) {
        self.run_to(self.now.saturating_add(microseconds), None);
        self.ear.lose_track();
    }
}

impl Locomotive {
    /// Drives half bits of which any may be spoilt or lost.
    fn drive_singly(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        let mut at = self.now;
        let mut turn = self.pickup.next_turn();
        for &half_bit in half_bits {
            at += u64::from(half_bit);
            if at >= turn {
                self.run_to(at, Some(milliamperes));
                turn = self.pickup.next_turn();
            }
            if !self.is_fed() {
                continue;
            }
            let arriving = self.pickup.arriving(half_bit);
            if let Some(packet) = self.ear.half_bit(arriving) {
                self.run_to(at, Some(milliamperes));
                self.hear(&packet);
                turn = self.pickup.next_turn();
            }
        }
        self.run_to(at, Some(milliamperes));
    }

    /// Lets the decoders obey a packet that is complete now.
    fn hear(&mut self, packet: &Packet) {
        self.n_packets += 1;
        self.pickup.heard(self.n_packets, self.now);
        let mut is_touched = false;
        for decoder in &mut self.decoders {
            decoder.packet(packet.view(), self.now);
            is_touched |= decoder.take_touched();
        }
        if is_touched {
            self.collect_acknowledgements();
            self.follow_decoder();
        }
    }

    /// Lets time pass to `until`; samples are taken where the rails are driven.
    fn run_to(&mut self, until: u64, mut samples: Option<&mut Vec<f32>>) {
        while self.now < until {
            let turn = self.pickup.next_turn();
            self.advance(until.min(turn.max(self.now)), samples.as_deref_mut());
            if self.now >= turn {
                self.turn();
            }
        }
    }

    /// Contact comes or goes, or the power is cut.
    fn turn(&mut self) {
        let had_contact = self.is_fed();
        if self.pickup.turn(self.now) == Turn::Cut {
            self.is_power_on = false;
        }
        match (had_contact, self.is_fed()) {
            (true, false) if self.is_power_on => self.lose_supply(OWN_BUFFER_MICROSECONDS),
            (true, false) => self.lose_supply(0),
            (false, true) => self.get_supply(),
            _ => {}
        }
    }

    /// Whether anything reaches the decoders from the rails.
    fn is_fed(&self) -> bool {
        self.is_power_on && self.pickup.touches()
    }

    fn lose_supply(&mut self, own_buffer: u64) {
        let stored = self.keep_alive.as_ref().map_or(0, |keep_alive| keep_alive.lasts(self.draw.idle));
        self.dies_at = Some(self.now + own_buffer.max(stored));
        self.die_if_due();
    }

    fn get_supply(&mut self) {
        self.dies_at = None;
        self.ear.lose_track();
        if !self.is_alive {
            self.is_alive = true;
            self.pulses.clear();
            self.decoders.iter_mut().for_each(Decoder::power_up);
            self.follow_decoder();
        }
    }

    fn die_if_due(&mut self) {
        if self.dies_at.take_if(|dies_at| *dies_at <= self.now).is_some() {
            self.is_alive = false;
        }
    }

    /// Lets time pass while the contact stays as it is.
    fn advance(&mut self, until: u64, mut samples: Option<&mut Vec<f32>>) {
        while self.now < until {
            let next = self.next_event(until, samples.is_some());
            let span = next - self.now;
            let is_fed = self.is_fed();
            if let Some(samples) = samples.as_deref_mut() {
                if is_fed {
                    let load = self.load();
                    self.sampler.load(span, load, self.keep_alive.as_mut(), samples);
                } else {
                    self.sampler.nothing(span, samples);
                }
            }
            if let Some(keep_alive) = &mut self.keep_alive {
                if !is_fed {
                    keep_alive.discharge(seconds(span), self.draw.idle);
                } else if samples.is_none() {
                    keep_alive.charge(seconds(span));
                }
            }
            if self.is_alive {
                self.advance_decoders(next);
            }
            self.now = next;
            self.die_if_due();
        }
    }

    fn advance_decoders(&mut self, next: u64) {
        let mut is_touched = false;
        for decoder in &mut self.decoders {
            decoder.advance(self.now, next);
            is_touched |= decoder.take_touched();
        }
        self.collect_acknowledgements();
        if is_touched {
            self.follow_decoder();
        }
    }

    fn collect_acknowledgements(&mut self) {
        for decoder in &mut self.decoders {
            if let Some(from) = decoder.take_acknowledgement() {
                self.pulses.push(Pulse { from, until: from + self.draw.acknowledgement_microseconds });
            }
        }
    }

    /// The next moment at which the load changes, at most `until`.
    fn next_event(&mut self, until: u64, is_sampled: bool) -> u64 {
        let now = self.now;
        self.pulses.retain(|pulse| pulse.until > now);
        let of_pulses = self.pulses.iter().flat_map(|pulse| [pulse.from, pulse.until]);
        let of_decoders = self.decoders.iter().filter(|_| self.is_alive).filter_map(Decoder::next_event);
        let tick = is_sampled && self.is_alive && self.decoders[0].is_changing_speed();
        of_pulses
            .chain(of_decoders)
            .chain(self.dies_at)
            .chain(tick.then_some(now + TICK_MICROSECONDS))
            .filter(|at| *at > now)
            .fold(until, u64::min)
    }

    /// What is drawn now, in milliamperes, without keep-alive and noise.
    fn load(&self) -> f64 {
        let acknowledging =
            self.pulses.iter().filter(|pulse| (pulse.from..pulse.until).contains(&self.now)).count();
        let (level, _) = self.decoders[0].motor();
        let is_running = level > 0.0 && self.is_alive;
        let is_motor_fed = is_running || (acknowledging > 0 && self.draw.acknowledgement > 0.0);
        let acknowledgement = if acknowledging > 1 {
            2.0
        } else if acknowledging == 1 {
            1.0
        } else {
            0.0
        };
        self.draw.idle
            + self.lamp_load
            + self.draw.acknowledgement * acknowledgement
            + if is_running { self.motor_load(level) } else { 0.0 }
            + if is_motor_fed { self.draw.motor_short } else { 0.0 }
    }

    /// The motor at a level of 0 to 1: light it draws the same at any level, held it draws its share of the stall current.
    fn motor_load(&self, level: f64) -> f64 {
        if self.is_held { self.draw.stall * level } else { self.draw.running }
    }

    fn follow_decoder(&mut self) {
        self.lamp_load = lamps::load(&self.lamps, &self.decoders[0]);
    }
}
