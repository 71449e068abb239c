//! The rules for the time between packets, checked on a stream of packets.
//!
//! What it is: a check for captures and for a simulated command station. What it is not: a scheduler.
//!
//! Source: NMRA S-9.2 §B, §C and note 11; S-9.2.1 §C; NEM 671 §4.2, §5.1, §5.2.

use core::fmt;

use crate::address::Address;
use crate::instruction::Commands;
use crate::packet::PacketView;
use crate::timing::{AFTER_RESET_SILENCE, Microseconds, PACKET_INTERVAL_MOST, SAME_DECODER_GAP};

/// Addresses that must be left alone for 20 ms after a reset packet (S-9.2 §B).
const AFTER_RESET: core::ops::RangeInclusive<u8> = 100..=127;
/// Addresses whose packets old decoders take for service mode (S-9.2 §C note 11; S-9.2.1 §C).
const SERVICE_LOOK_ALIKE: core::ops::RangeInclusive<u8> = 112..=127;
/// So many packets must pass after a reset before a look-alike address may be used (S-9.2.1 §C).
const PACKETS_AFTER_RESET: u8 = 10;

/// Watches the time between packets.
///
/// ```
/// use dcc::{Packet, Microseconds, operations::{Pacing, PacingFault}};
/// let mut pacing = Pacing::new();
/// let packet = Packet::from_payload(&[3, 0x62])?;
/// let at = Microseconds::from_millis;
/// assert_eq!(pacing.packet(&packet.view(), at(0), at(5)), None);
/// assert!(matches!(pacing.packet(&packet.view(), at(7), at(12)), Some(PacingFault::SameDecoder { .. })));
/// # Ok::<(), dcc::PacketError>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Pacing {
    previous: Option<Heard>,
    reset_end: Option<Microseconds>,
    packets_since_reset: u8,
}

#[derive(Clone, Copy, Debug)]
struct Heard {
    address: Option<Address>,
    start: Microseconds,
    end: Microseconds,
}

/// A rule between packets that was broken. Times are those since the packet or reset before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PacingFault {
    /// Less than 5 ms from the end bit of one packet to the start bit of the next for the same decoder.
    SameDecoder {
        /// Whose.
        address: Address,
        /// The gap.
        gap: Microseconds,
    },
    /// The same with a short address from 112 to 127, which old decoders take for service mode.
    LooksLikeServiceMode {
        /// Whose.
        address: Address,
        /// The gap.
        gap: Microseconds,
    },
    /// A packet for an address from 100 to 127 too soon after a reset: within 20 ms, or from 112 on within ten packets.
    TooSoonAfterReset {
        /// Whose.
        address: Address,
        /// Time since the end of the reset.
        gap: Microseconds,
    },
    /// More than 30 ms from start bit to start bit: decoders may take the track for analog.
    TooRare {
        /// The interval.
        interval: Microseconds,
    },
}

impl Pacing {
    /// Begins to watch.
    pub const fn new() -> Self {
        Self { previous: None, reset_end: None, packets_since_reset: 0 }
    }

    /// Takes a packet by the moments of its start bit and of the end of its end bit; tells the gravest rule it breaks.
    pub fn packet(
        &mut self,
        packet: &PacketView<'_>,
        start_bit: Microseconds,
        end_bit: Microseconds,
    ) -> Option<PacingFault> {
        let address = Commands::new(packet).ok().map(|commands| commands.address());
        let fault = self.judge(address, start_bit);
        self.previous = Some(Heard { address, start: start_bit, end: end_bit });
        if packet.is_reset() {
            self.reset_end = Some(end_bit);
            self.packets_since_reset = 0;
        } else {
            self.packets_since_reset = self.packets_since_reset.saturating_add(1);
        }
        fault
    }

    fn judge(&self, address: Option<Address>, start_bit: Microseconds) -> Option<PacingFault> {
        let previous = self.previous?;
        let short = match address {
            Some(Address::Short(short)) => Some(short.get()),
            _ => None,
        };
        let is_look_alike = short.is_some_and(|short| SERVICE_LOOK_ALIKE.contains(&short));
        if let (Some(address), Some(reset_end), Some(short)) = (address, self.reset_end, short) {
            let gap = start_bit.saturating_sub(reset_end);
            let is_too_soon = AFTER_RESET.contains(&short) && gap < AFTER_RESET_SILENCE;
            if is_too_soon || (is_look_alike && self.packets_since_reset < PACKETS_AFTER_RESET) {
                return Some(PacingFault::TooSoonAfterReset { address, gap });
            }
        }
        let gap = start_bit.saturating_sub(previous.end);
        // Packets for everybody, such as the resets at the start of operation, are repeated without a pause.
        if let Some(address) = address.filter(|address| *address != Address::Broadcast)
            && previous.address == Some(address)
            && gap < SAME_DECODER_GAP
        {
            return Some(if is_look_alike {
                PacingFault::LooksLikeServiceMode { address, gap }
            } else {
                PacingFault::SameDecoder { address, gap }
            });
        }
        let interval = start_bit.saturating_sub(previous.start);
        (interval > PACKET_INTERVAL_MOST).then_some(PacingFault::TooRare { interval })
    }
}

impl Default for Pacing {
    fn default() -> Self {
        Self::new()
    }
}

impl fmt::Display for PacingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SameDecoder { address, gap } => {
                write!(f, "two packets for {address} only {gap} apart, expected at least {SAME_DECODER_GAP}")
            }
            Self::LooksLikeServiceMode { address, gap } => write!(
                f,
                "two packets for {address} only {gap} apart look like service mode to old decoders, expected at least \
                 {SAME_DECODER_GAP}"
            ),
            Self::TooSoonAfterReset { address, gap } => {
                write!(f, "packet for {address} {gap} after a reset may be taken for service mode")
            }
            Self::TooRare { interval } => {
                write!(f, "{interval} between packets, expected at most {PACKET_INTERVAL_MOST}")
            }
        }
    }
}

impl core::error::Error for PacingFault {}
