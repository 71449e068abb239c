//! The pickup: what reaches the decoder of what is on the rails.
//!
//! What it is: half bits that arrive with a wrong length, contact that is lost for a while, a lead that is broken, and the one
//! cut of the power that a truth may hold. All by chance from the seed.
//! What it is not: the supply.
//!
//! Source: ours; reference text on practice, rows 12 and 38, and S-9.1 Table 1 for the lengths that a spoilt half bit may have.

use crate::chance::Chance;
use crate::supply::whole_microseconds;
use crate::truth::Truth;

/// How long a loss of contact lasts where the truth does not say, in seconds.
const LOSS_SECONDS: f64 = 0.003;
/// Shortest and longest length of a spoilt half bit, in microseconds: from below any half of a one to above the usual half
/// of a zero.
const SPOILT_MICROSECONDS: (u32, u32) = (5, 150);

/// How the wheels touch the rails.
#[derive(Debug, Clone)]
pub(crate) struct Pickup {
    chance: Chance,
    /// Mean number of half bits from one spoilt one to the next.
    mean_half_bits: f64,
    /// Half bits until the next spoilt one.
    until_spoilt: u64,
    /// Mean time between losses of contact, in seconds.
    mean_seconds: f64,
    loss_microseconds: u64,
    /// When the next loss begins, or the present one ends.
    turns_at: u64,
    is_lost: bool,
    is_open: bool,
    cut_packet: Option<u64>,
    /// When the cut will be.
    cut_at: Option<u64>,
}

/// What happens to the contact at its next change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turn {
    /// Contact is lost.
    Lost,
    /// Contact is back.
    Back,
    /// The power is cut.
    Cut,
}

impl Pickup {
    pub(crate) fn of(truth: &Truth, mut chance: Chance) -> Self {
        let pickup = truth.pickup.as_ref();
        let spoilt =
            pickup.and_then(|pickup| pickup.wrong_half_bits).map_or(0.0, |share| share.as_percent() / 100.0);
        let losses =
            pickup.and_then(|pickup| pickup.losses_per_minute).map_or(0.0, |losses| f64::from(losses.get()));
        let loss = pickup.and_then(|pickup| pickup.loss).map_or(LOSS_SECONDS, |loss| loss.as_seconds());
        let (mean_half_bits, mean_seconds) = (1.0 / spoilt, 60.0 / losses);
        Self {
            until_spoilt: half_bits(&mut chance, mean_half_bits),
            turns_at: after(&mut chance, mean_seconds),
            chance,
            mean_half_bits,
            mean_seconds,
            loss_microseconds: whole_microseconds(loss),
            is_lost: false,
            is_open: pickup.is_some_and(|pickup| pickup.open == Some(true)),
            cut_packet: truth.cut.as_ref().map(|cut| u64::from(cut.packet.get())),
            cut_at: None,
        }
    }

    /// Whether there is contact.
    pub(crate) fn touches(&self) -> bool {
        !self.is_lost && !self.is_open
    }

    /// When the contact changes next.
    pub(crate) fn next_turn(&self) -> u64 {
        self.turns_at.min(self.cut_at.unwrap_or(u64::MAX))
    }

    /// Lets the change of that moment happen.
    pub(crate) fn turn(&mut self, now: u64) -> Turn {
        if self.cut_at.take_if(|cut_at| *cut_at <= now).is_some() {
            return Turn::Cut;
        }
        self.is_lost = !self.is_lost;
        self.turns_at = now.saturating_add(if self.is_lost {
            self.loss_microseconds
        } else {
            after(&mut self.chance, self.mean_seconds)
        });
        if self.is_lost { Turn::Lost } else { Turn::Back }
    }

    /// The length with which a half bit arrives.
    pub(crate) fn arriving(&mut self, half_bit: u32) -> u32 {
        if self.until_spoilt > 0 {
            self.until_spoilt -= 1;
            return half_bit;
        }
        self.until_spoilt = half_bits(&mut self.chance, self.mean_half_bits);
        self.chance.between(SPOILT_MICROSECONDS.0, SPOILT_MICROSECONDS.1)
    }

    /// Whether half bits can be spoilt at all.
    pub(crate) fn spoils(&self) -> bool {
        self.mean_half_bits.is_finite()
    }

    /// Told how many packets have been heard: the cut comes at any moment of the packet that the truth names.
    pub(crate) fn heard(&mut self, n_packets: u64, now: u64) {
        if self.cut_packet.take_if(|packet| n_packets + 1 >= *packet).is_some() {
            // A packet of service mode lasts 7 ms at least (reference text 5.6).
            self.cut_at = Some(now + u64::from(self.chance.between(0, 7_000)));
        }
    }
}

/// How many half bits arrive before the next spoilt one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a waiting time is never negative, and one that does not fit never comes"
)]
fn half_bits(chance: &mut Chance, mean: f64) -> u64 {
    if mean.is_finite() { chance.waiting(mean) as u64 } else { u64::MAX }
}

fn after(chance: &mut Chance, mean_seconds: f64) -> u64 {
    if mean_seconds.is_finite() { whole_microseconds(chance.waiting(mean_seconds)) } else { u64::MAX }
}
