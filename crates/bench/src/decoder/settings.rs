//! Settings: what the memory says about addresses, speeds and momentum, worked out once after each change.
//!
//! What it is: the standard CVs turned into what the decoder acts by.
//! What it is not: the function map (see `functions`) or the voice.
//!
//! Source: S-9.2.2 CV1 to CV6, CV11, CV17 to CV24, CV29, CV66 to CV95; RCN-225 CV19/20 (reference text 4.2, 4.3, 4.6, 4.7).

use datasheets::DecoderSheet;
use dcc::cv::{Config29, ConsistMembership, RuleSet, SignedSeven};
use dcc::{Address, LongAddress, ShortAddress};
use quantities::Duration;

use crate::memory::Memory;
use crate::motion::{Curve, Momentum};

/// S-9.2.2 CV3, CV4: seconds from stop to full speed for one count, whatever the number of steps.
const MOMENTUM_COUNT_SECONDS: f64 = 0.896;

/// What the decoder acts by.
#[derive(Debug, Clone)]
pub(crate) struct Settings {
    /// The address of its own that counts; none where the address CVs hold none.
    pub(crate) own: Option<Address>,
    /// CV1, which counts in the old queries of service mode whatever CV29 says.
    pub(crate) short: u8,
    pub(crate) consist: Option<ConsistMembership>,
    /// CV29 bit 0.
    pub(crate) is_reversed: bool,
    /// CV29 bit 1.
    pub(crate) has_many_steps: bool,
    pub(crate) momentum: Momentum,
    pub(crate) curve: Curve,
    /// How long speed is kept without a packet, in microseconds.
    pub(crate) packet_time_out: Option<u64>,
}

impl Settings {
    /// Works out the settings. `latched` is the pair CV17 and CV18 that counts: a new CV17 alone does not (S-9.2.1 note 8).
    pub(crate) fn of(memory: &Memory, sheet: &DecoderSheet, rules: RuleSet, latched: (u8, u8)) -> Self {
        let configuration = Config29::from_value(memory.plain(29));
        let own = if configuration.has_long_address {
            LongAddress::from_octets(latched.0, latched.1).ok().map(Address::Long)
        } else {
            ShortAddress::new(memory.plain(1)).ok().map(Address::Short)
        };
        let count = sheet.decoder.momentum_count.map_or(MOMENTUM_COUNT_SECONDS, Duration::as_seconds);
        let seconds = |rate, adjustment| {
            let adjustment = SignedSeven::from_octet(memory.plain(adjustment));
            count * f64::from(dcc::cv::Momentum::new(memory.plain(rate), adjustment).effective())
        };
        Self {
            own,
            short: memory.plain(1),
            consist: ConsistMembership::from_cvs(memory.plain(19), memory.plain(20), rules),
            is_reversed: configuration.is_reversed,
            has_many_steps: configuration.has_28_steps,
            momentum: Momentum { acceleration: seconds(3, 23), deceleration: seconds(4, 24) },
            curve: Curve::of(memory),
            // DIFFERENCE: the standards give CV11 no unit; this decoder counts whole seconds.
            packet_time_out: Some(u64::from(memory.plain(11)) * 1_000_000).filter(|time_out| *time_out > 0),
        }
    }
}
