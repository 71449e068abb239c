//! The virtual bench against the standards' words: octets on the rails, current and movement back.
//!
//! Rows named `K…` are the numbered check values of the reference digest on digital command control; `T…` rows come from
//! the section they name. Everything here is seen from outside: half bits in, milliamperes and observations out.
//! What is left out: what the standards leave to the maker (the time of a write, the unit of CV11).

mod consist;
mod functions;
mod motion;
mod service;
mod voice;

use bench::{Locomotive, Observation, read_truth};
use datasheets::{CvPlace, Shelf, read_sheet};
use dcc::timing::SenderTiming;
use dcc::{PREAMBLE_OPERATIONS, PREAMBLE_SERVICE, Packet};
use track::{Rails, SAMPLE_MICROSECONDS};

use crate::dcc::octets;

/// A decoder that has every CV, and one of each standard without paged mode.
fn shelf() -> Shelf {
    let sheet = |name: &str, modes: &str, reading: &str| {
        let outputs: String = (1..=14)
            .map(|number| {
                format!("[[output]]\nnumber = {number}\nname = \"out{number}\"\nkind = \"amplified\"\n")
            })
            .collect();
        let text = format!(
            "[part]\nname = \"{name}\"\nkind = \"decoder\"\ntitle = \"for outside checks\"\n[decoder]\nsockets = [\"wires\"]\n\
             motor-current = \"1 A\"\nmanufacturer = 13\nversion = 1\nmodes = [{modes}]\nreading = \"{reading}\"\n\
             cvs = [\"1-30\", \"33-256\", \"513-1024\"]\nlock = true\nidle-current = \"20 mA\"\n\
             [key-map]\nmethod = \"matrix\"\nhighest-key = 12\n{outputs}"
        );
        read_sheet(name, &text).unwrap_or_else(|faults| panic!("{faults}")).value
    };
    let mut shelf = Shelf::default();
    let all = "\"direct\", \"paged\", \"register\", \"address-only\"";
    shelf.add(sheet("nmra", all, "NMRA"));
    shelf.add(sheet("rcn", all, "RCN"));
    shelf.add(sheet("registers", "\"register\"", "NMRA"));
    shelf
}

/// A locomotive on the rails, with everything that was drawn.
struct OnRails {
    locomotive: Locomotive,
    milliamperes: Vec<f32>,
}

impl OnRails {
    /// Power on and 20 resets (S-9.2.3 §E, power-on cycle).
    fn new(decoder: &str, cvs: &str) -> Self {
        let shelf = shelf();
        let text = format!(
            "truth.title = \"check\"\ndecoder.part = \"{decoder}\"\nmotor.resistance = \"24 ohm\"\n[cv]\n{cvs}"
        );
        let truth = read_truth("check.toml", &text, &shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
        let locomotive = Locomotive::new(&truth, &shelf, 1).unwrap();
        let mut on_rails = Self { locomotive, milliamperes: Vec::new() };
        on_rails.locomotive.set_power(true);
        on_rails.service("20 00 00 00");
        on_rails
    }

    /// Packets of service mode, one kind a line or semicolon: a count and the octets, `5 74 1C 06 6E`.
    fn service(&mut self, packets: &str) {
        self.send(packets, PREAMBLE_SERVICE);
    }

    /// The same for operations mode.
    fn operations(&mut self, packets: &str) {
        self.send(packets, PREAMBLE_OPERATIONS);
    }

    fn send(&mut self, packets: &str, preamble: u8) {
        for line in packets.split(';').map(str::trim).filter(|line| !line.is_empty()) {
            let (count, text) = line.split_once(' ').unwrap();
            let octets = octets(text);
            for _ in 0..count.parse::<usize>().unwrap() {
                self.send_octets(&octets, preamble);
            }
        }
    }

    /// Octets as they are, check octet included, whether it is right or not.
    fn send_octets(&mut self, octets: &[u8], preamble: u8) {
        let mut half_bits = Vec::new();
        let mut push = |bit: bool| half_bits.extend(SenderTiming::NOMINAL.halves(bit));
        (0..preamble).for_each(|_| push(true));
        for octet in octets {
            push(false);
            (0..8).rev().for_each(|bit| push(octet >> bit & 1 == 1));
        }
        push(true);
        self.locomotive.drive(&half_bits, &mut self.milliamperes);
    }

    /// Idle packets for so many seconds.
    fn idle(&mut self, seconds: f64) {
        let idle: Vec<u32> = Packet::IDLE.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL).collect();
        let end = self.locomotive.elapsed_microseconds() as f64 + seconds * 1e6;
        // An idle packet with 16 ones lasts 6.028 ms (table of section 2.1); one is never begun that would end later.
        while self.locomotive.elapsed_microseconds() as f64 + 6028.0 <= end {
            self.milliamperes.clear();
            self.locomotive.drive(&idle, &mut self.milliamperes);
        }
    }

    /// The lengths of all pulses of 60 mA and more above the quiescent 20 mA, in milliseconds (S-9.2.3 §D).
    fn pulses(&self) -> Vec<f64> {
        let is_up = |sample: &f32| *sample >= 20.0 + 60.0;
        let spans = self.milliamperes.chunk_by(|left, right| is_up(left) == is_up(right));
        let milliseconds = |span: &[f32]| span.len() as f64 * f64::from(SAMPLE_MICROSECONDS) / 1000.0;
        spans.filter(|span| is_up(&span[0])).map(milliseconds).collect()
    }

    fn cv(&self, cv: u16) -> u8 {
        let memory = self.locomotive.memory();
        memory.iter().find(|(place, _)| *place == CvPlace { page: None, cv }).unwrap().1
    }

    fn seen(&self) -> Observation {
        self.locomotive.observe()
    }

    /// Numbers of the outputs that are on.
    fn outputs(&self) -> Vec<u16> {
        self.seen().outputs.iter().filter(|output| output.is_on).map(|output| output.number).collect()
    }
}
