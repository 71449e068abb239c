//! The programmer: packets onto the rails, the current back, an answer.
//!
//! What it is: the power-on cycle and the exchange of one [`Sequence`], with the over-current check and the account of
//! rail time. What it is not: a strategy. What to ask next is decided above, in [`crate::strategy`].
//!
//! Source: NMRA S-9.2.3 §B to §E; RCN-216 (digest).

mod power;
mod rail_time;
#[cfg(test)]
mod tests;

use dcc::service::{
    ENERGY_LIMIT_AFTER, IDENTICAL_PACKETS, POWER_OFF_LEAST, PowerOn, Purpose, Sequence, Step,
};
use dcc::timing::SenderTiming;
use dcc::{Microseconds, PREAMBLE_SERVICE, Packet};

pub use power::{PowerOnReading, PowerOnState};
pub use rail_time::{RailPurpose, RailTime};

use crate::acknowledgement::limits::{AT_A_STROKE, NOTHING, OVER_CURRENT};
use crate::acknowledgement::{Answer, AnswerKind, Confidence, Detector, Evidence, Excess, MovingAverage};
use crate::permit::Permit;
use crate::rails::{Rails, SAMPLE_MICROSECONDS};
use power::sample_count;

/// The programmer's end of a programming track.
#[derive(Debug)]
pub struct Programmer<R: Rails> {
    rails: R,
    timing: SenderTiming,
    is_powered: bool,
    rail_time: RailTime,
    detector: Detector,
    limit: Limit,
    /// The quiescent current that switching on showed, mA.
    idle: f32,
    half_bits: Vec<u32>,
    samples: Vec<f32>,
}

/// Whether a sequence sets the page register first, or relies on the page that an earlier one set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageStage {
    /// Set it.
    Send,
    /// Set it, and go no further unless the decoder acknowledges that: a page that was not heard leads to another CV.
    Insist,
    /// Leave out the packets that set it. S-9.2.3 §E repeats only what comes after them.
    Skip,
}

/// Follows how long the current has been above the limit of the track.
#[derive(Debug, Default)]
struct Limit {
    average: MovingAverage,
    above: Microseconds,
    /// The highest averaged current of the latest packet, mA.
    highest: f32,
    /// The lowest averaged current of the latest packet, mA.
    lowest: f32,
}

/// Below this share of the quiescent current contact is lost: no decoder at rest falls so far (own choice).
const LOST_SHARE: f32 = 0.2;

impl<R: Rails> Programmer<R> {
    /// A programmer with these rails, the power off, sending bits of nominal length.
    pub fn new(rails: R) -> Self {
        Self {
            rails,
            timing: SenderTiming::NOMINAL,
            is_powered: false,
            rail_time: RailTime::default(),
            detector: Detector::default(),
            limit: Limit::default(),
            idle: 0.0,
            half_bits: Vec::new(),
            samples: Vec::new(),
        }
    }

    /// Switches the rails on and sends 25 resets (RCN-216, digest; S-9.2.3 asks for 20 packets), watching the current.
    /// More than 250 mA after 100 ms switches them off again.
    pub fn power_on(&mut self, _permit: &Permit) -> PowerOnReading {
        self.rails.set_power(true);
        self.is_powered = true;
        self.limit = Limit::default();
        let PowerOn::Resets(n_packets) = PowerOn::BOTH else { unreachable!("it is made of resets") };
        let mut all = Vec::new();
        let mut is_over = false;
        for _ in 0..n_packets {
            // The inrush of the first 100 ms is nobody's fault.
            let is_exempt = all.len() < sample_count(ENERGY_LIMIT_AFTER);
            self.send(&Packet::RESET, RailPurpose::PowerOn);
            all.extend_from_slice(&self.samples);
            is_over = !is_exempt && self.limit.highest > OVER_CURRENT;
            if is_over {
                self.cut_power();
                break;
            }
        }
        let reading = PowerOnReading::of(&all, is_over);
        self.idle = reading.idle_milliamperes();
        reading
    }

    /// Takes the power off and waits long enough for a decoder to forget what is volatile (RCN-216, digest: 1 s).
    pub fn power_off(&mut self) {
        self.cut_power();
        self.rails.wait(POWER_OFF_LEAST.as_micros());
        self.rail_time.add(RailPurpose::Off, POWER_OFF_LEAST);
    }

    /// Sends the packets of one operation and listens. An acknowledgement ends it early, as the standard allows; a
    /// pulse that is under way when the packets end gets one more reset to be finished in.
    ///
    /// The power must be on; without it, the answer is that there is no current.
    pub fn exchange(&mut self, sequence: &Sequence, page: PageStage, purpose: RailPurpose) -> Answer {
        let mut is_in_page_stage = sequence.steps().iter().any(is_page_step);
        let mut is_page_acknowledged = false;
        let mut is_contact_lost = false;
        let mut n_listened: u16 = 0;
        for step in sequence.steps() {
            let Step::Packets { packet, count, purpose: why } = step else { continue };
            if is_in_page_stage && page == PageStage::Skip {
                is_in_page_stage = *why != Purpose::PageRecovery;
                continue;
            }
            match why {
                Purpose::Enter | Purpose::Page => n_listened = 0,
                Purpose::Instruct
                    if page == PageStage::Insist && (!is_page_acknowledged || is_contact_lost) =>
                {
                    let answer = Answer { kind: AnswerKind::PageUnheard, ..self.detector.answer() };
                    return Answer { is_page_acknowledged, is_contact_lost, ..answer };
                }
                _ => {}
            }
            if *why == Purpose::Enter {
                self.detector.begin();
            }
            for _ in 0..*count {
                self.send(packet, purpose);
                is_contact_lost |= self.is_contact_lost();
                if let Some(excess) = self.limit.excess() {
                    let answer = self.over_current(excess);
                    self.cut_power();
                    return answer;
                }
                if *why == Purpose::Enter {
                    self.detector.rest(&self.samples);
                    continue;
                }
                // The second identical packet is the one that is obeyed; an acknowledgement comes after it.
                n_listened += 1;
                if n_listened <= u16::from(IDENTICAL_PACKETS) {
                    self.detector.pass(&self.samples);
                    continue;
                }
                self.detector.watch(&self.samples);
                let is_acknowledged = self.detector.pulse().is_some();
                match why {
                    Purpose::Page | Purpose::PageRecovery => is_page_acknowledged |= is_acknowledged,
                    _ if is_acknowledged => {
                        self.close(sequence, n_listened, purpose);
                        let answer = self.detector.answer();
                        return Answer { is_page_acknowledged, is_contact_lost, ..answer };
                    }
                    _ => {}
                }
            }
        }
        if self.detector.is_up() {
            self.send(&Packet::RESET, purpose);
            self.detector.watch(&self.samples);
        }
        Answer { is_page_acknowledged, is_contact_lost, ..self.detector.answer() }
    }

    /// How long the rails were used, by purpose.
    pub fn rail_time(&self) -> &RailTime {
        &self.rail_time
    }

    /// Whether the power is on.
    pub fn is_powered(&self) -> bool {
        self.is_powered
    }

    /// The rails, for whoever has them as a model to look into.
    pub fn rails(&self) -> &R {
        &self.rails
    }

    /// The rails, for whoever has them as a model to change.
    pub fn rails_mut(&mut self) -> &mut R {
        &mut self.rails
    }

    /// Sends what follows the acknowledgement in the `nth` listening packet: one reset after a direct comparison.
    fn close(&mut self, sequence: &Sequence, nth: u16, purpose: RailPurpose) {
        let Some(shortened) = sequence.acknowledged_in(nth) else { return };
        for step in shortened.steps() {
            if let Step::Packets { packet, count, purpose: Purpose::Close } = step {
                for _ in 0..*count {
                    self.send(packet, purpose);
                }
            }
        }
    }

    fn send(&mut self, packet: &Packet, purpose: RailPurpose) {
        self.half_bits.clear();
        self.half_bits.extend(packet.half_bits(PREAMBLE_SERVICE, self.timing));
        self.samples.clear();
        self.rails.drive(&self.half_bits, &mut self.samples);
        self.rail_time.add(purpose, packet.duration(PREAMBLE_SERVICE, self.timing));
        self.limit.follow(&self.samples);
    }

    fn cut_power(&mut self) {
        self.rails.set_power(false);
        self.is_powered = false;
        self.limit = Limit::default();
    }

    /// Whether the current fell to nothing, or nearly so, during the latest packet.
    fn is_contact_lost(&self) -> bool {
        self.idle > NOTHING && self.limit.lowest < LOST_SHARE * self.idle
    }

    fn over_current(&self, excess: Excess) -> Answer {
        let evidence = Evidence::measured(self.limit.highest, 0.0, 0.0, 0.0, self.limit.above);
        Answer {
            kind: AnswerKind::OverCurrent(excess),
            confidence: Confidence::Firm,
            evidence,
            is_page_acknowledged: false,
            is_contact_lost: false,
        }
    }
}

/// A programmer that goes away takes the power with it.
impl<R: Rails> Drop for Programmer<R> {
    fn drop(&mut self) {
        if self.is_powered {
            self.rails.set_power(false);
        }
    }
}

fn is_page_step(step: &Step) -> bool {
    matches!(step, Step::Packets { purpose: Purpose::Page, .. })
}

impl Limit {
    fn excess(&self) -> Option<Excess> {
        if self.highest > AT_A_STROKE {
            Some(Excess::AtAStroke)
        } else if self.above >= ENERGY_LIMIT_AFTER {
            Some(Excess::Sustained)
        } else {
            None
        }
    }

    fn follow(&mut self, samples: &[f32]) {
        self.highest = 0.0;
        self.lowest = f32::INFINITY;
        for sample in samples {
            let averaged = self.average.next(*sample);
            self.highest = self.highest.max(averaged);
            self.lowest = self.lowest.min(averaged);
            if averaged > OVER_CURRENT {
                self.above += Microseconds::from_micros(u64::from(SAMPLE_MICROSECONDS));
            } else {
                self.above = Microseconds::ZERO;
            }
        }
    }
}
