//! Bit timing: how long the halves of a bit last when sent and what a receiver must accept.
//!
//! What it is: the limits of S-9.1 Table 1 and RCN-210 §5, the sender's timing, and the rules for the time between packets.
//! What it is not: the electrical side (voltage, slope, noise), which no half-bit time can show.
//!
//! Source: NMRA S-9.1 §A Table 1; RCN-210 §2 and §5; NEM 670 §2; S-9.2 §B and §C; RCN-218 §1.3.

use core::fmt;
use core::iter::Sum;
use core::ops::{Add, AddAssign, Mul, Sub};

/// A span of time or a moment since a start of the caller's choosing, in whole microseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Microseconds(u64);

impl Microseconds {
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// From whole microseconds.
    pub const fn from_micros(micros: u64) -> Self {
        Self(micros)
    }

    /// From whole milliseconds; holds at the largest value on overflow.
    pub const fn from_millis(millis: u64) -> Self {
        Self(millis.saturating_mul(1000))
    }

    /// The span in whole microseconds.
    pub const fn as_micros(self) -> u64 {
        self.0
    }

    /// The span in milliseconds, rounded to the nearest representable number.
    #[expect(clippy::cast_precision_loss, reason = "2^53 µs is 285 years; no wire span comes near")]
    pub const fn as_millis_f64(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// The difference, or zero when `earlier` is later than `self`.
    pub const fn saturating_sub(self, earlier: Self) -> Self {
        Self(self.0.saturating_sub(earlier.0))
    }
}

impl From<Microseconds> for core::time::Duration {
    fn from(span: Microseconds) -> Self {
        Self::from_micros(span.0)
    }
}

impl Add for Microseconds {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Microseconds {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Microseconds {
    type Output = Self;
    /// Holds at zero: a span is never negative.
    fn sub(self, other: Self) -> Self {
        self.saturating_sub(other)
    }
}

impl Mul<u32> for Microseconds {
    type Output = Self;
    fn mul(self, count: u32) -> Self {
        Self(self.0.saturating_mul(u64::from(count)))
    }
}

impl Sum for Microseconds {
    fn sum<I: Iterator<Item = Self>>(spans: I) -> Self {
        spans.fold(Self::ZERO, Add::add)
    }
}

impl fmt::Display for Microseconds {
    /// Below one millisecond in `µs`, from there on in `ms` with three places, the resolution of the value.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 < 1000 {
            write!(f, "{} µs", self.0)
        } else {
            write!(f, "{}.{:03} ms", self.0 / 1000, self.0 % 1000)
        }
    }
}

/// What one half-bit stands for, judged by its length alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum HalfBit {
    /// Half of a "1".
    One,
    /// Half of a "0".
    Zero,
}

/// A window of half-bit lengths, in microseconds: what one party promises to send, or must accept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HalfBitLimits {
    /// Shortest half of a "1".
    pub one_least: u16,
    /// Longest half of a "1".
    pub one_most: u16,
    /// Largest difference between the two halves of a "1".
    pub one_difference_most: u16,
    /// Shortest half of a "0".
    pub zero_least: u16,
    /// Longest half of a "0".
    pub zero_most: u16,
}

impl HalfBitLimits {
    /// What a decoder must accept (S-9.1 Table 1; RCN-210 §5, column "at the decoder").
    pub const DECODER: Self =
        Self { one_least: 52, one_most: 64, one_difference_most: 6, zero_least: 90, zero_most: 10_000 };
    /// What a command station may put on the track (S-9.1 Table 1; RCN-210 §5, column "at the track").
    pub const TRACK: Self =
        Self { one_least: 55, one_most: 61, one_difference_most: 3, zero_least: 95, zero_most: 9_900 };
    /// What a command station may show at its own output (RCN-210 §5). The difference between the halves is that of
    /// the track, because RCN-210 tabulates none for the output.
    pub const STATION_OUTPUT: Self =
        Self { one_least: 56, one_most: 60, one_difference_most: 3, zero_least: 97, zero_most: 9_898 };
    /// [`Self::DECODER`] where other protocols share the track, so that zeros may not be stretched (RCN-210 §5).
    pub const DECODER_SHARED_TRACK: Self = Self { zero_most: 119, ..Self::DECODER };
    /// [`Self::TRACK`] where other protocols share the track (RCN-210 §5).
    pub const TRACK_SHARED: Self = Self { zero_most: 116, ..Self::TRACK };
    /// [`Self::STATION_OUTPUT`] where other protocols share the track (RCN-210 §5).
    pub const STATION_OUTPUT_SHARED: Self = Self { zero_most: 114, ..Self::STATION_OUTPUT };

    /// What a half-bit of this length stands for, or `None` when it lies in neither window.
    #[inline]
    pub const fn classify(&self, half_us: u32) -> Option<HalfBit> {
        let is_one = (half_us >= self.one_least as u32) & (half_us <= self.one_most as u32);
        let is_zero = (half_us >= self.zero_least as u32) & (half_us <= self.zero_most as u32);
        if !(is_one | is_zero) {
            return None;
        }
        Some(if is_one { HalfBit::One } else { HalfBit::Zero })
    }

    /// As [`Self::classify`], for a length measured in nanoseconds; the limits are inclusive.
    pub const fn classify_nanoseconds(&self, half_ns: u64) -> Option<HalfBit> {
        if half_ns >= self.one_least as u64 * 1000 && half_ns <= self.one_most as u64 * 1000 {
            Some(HalfBit::One)
        } else if half_ns >= self.zero_least as u64 * 1000 && half_ns <= self.zero_most as u64 * 1000 {
            Some(HalfBit::Zero)
        } else {
            None
        }
    }

    /// Judges a whole bit by its two halves.
    ///
    /// A "0" may have unequal halves (S-9.1 §A words the window for the "first or last" part); a "1" may not.
    ///
    /// # Errors
    /// [`TimingError::HalfOutOfRange`], [`TimingError::HalvesDisagree`], [`TimingError::UnequalOne`], and
    /// [`TimingError::WholeZeroTooLong`] when both halves of a zero are stretched beyond [`ZERO_WHOLE_MOST`].
    pub const fn judge(&self, first_us: u32, second_us: u32) -> Result<bool, TimingError> {
        let Some(first) = self.classify(first_us) else {
            return Err(TimingError::HalfOutOfRange { half_us: first_us });
        };
        let Some(second) = self.classify(second_us) else {
            return Err(TimingError::HalfOutOfRange { half_us: second_us });
        };
        match (first, second) {
            (HalfBit::One, HalfBit::One) => {
                if first_us.abs_diff(second_us) > self.one_difference_most as u32 {
                    return Err(TimingError::UnequalOne {
                        first_us,
                        second_us,
                        most_us: self.one_difference_most,
                    });
                }
                Ok(true)
            }
            (HalfBit::Zero, HalfBit::Zero) => {
                if first_us + second_us > ZERO_WHOLE_MOST as u32 {
                    return Err(TimingError::WholeZeroTooLong { whole_us: first_us + second_us });
                }
                Ok(false)
            }
            _ => Err(TimingError::HalvesDisagree { first_us, second_us }),
        }
    }
}

/// Longest whole "0" that may be sent, µs, however it is stretched (S-9.1 Table 1; RCN-210 §2.2).
pub const ZERO_WHOLE_MOST: u16 = 12_000;

/// How a sender times its bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SenderTiming {
    one_half: u16,
    zero_first: u16,
    zero_second: u16,
    start_half: u16,
}

impl SenderTiming {
    /// 58 µs halves for "1", 100 µs halves for "0" (S-9.1 Table 1; NEM 670 §2).
    pub const NOMINAL: Self = Self { one_half: 58, zero_first: 100, zero_second: 100, start_half: 100 };
    /// The shortest legal bits: 55 µs and 95 µs halves (S-9.1 Table 1).
    pub const SHORTEST: Self = Self { one_half: 55, zero_first: 95, zero_second: 95, start_half: 95 };

    /// A timing of the caller's choice within the limits of the track.
    ///
    /// Unequal halves of the zero stretch it, which drives one locomotive without a decoder (S-9.1 §A). That is not
    /// permitted on a system that uses bi-directional communication (RCN-217 §4.1).
    ///
    /// # Errors
    /// The [`TimingError`] of [`HalfBitLimits::judge`] with [`HalfBitLimits::TRACK`].
    pub const fn new(one_half: u16, zero_first: u16, zero_second: u16) -> Result<Self, TimingError> {
        match HalfBitLimits::TRACK.judge(one_half as u32, one_half as u32) {
            Ok(true) => {}
            Ok(false) => return Err(TimingError::HalfOutOfRange { half_us: one_half as u32 }),
            Err(error) => return Err(error),
        }
        match HalfBitLimits::TRACK.judge(zero_first as u32, zero_second as u32) {
            Ok(false) => {}
            Ok(true) => return Err(TimingError::HalfOutOfRange { half_us: zero_first as u32 }),
            Err(error) => return Err(error),
        }
        Ok(Self { one_half, zero_first, zero_second, start_half: zero_first })
    }

    /// The same, but with 114 µs halves in the packet start bit: the signature by which a command station shows that
    /// automatic logon is active (RCN-218 §1.3, 114 ± 2 µs against 100 ± 2 µs).
    #[must_use]
    pub const fn with_logon_signature(self) -> Self {
        Self { start_half: 114, ..self }
    }

    /// Lengths of the two halves of a bit, µs. The packet start bit is [`Self::start_bit_halves`].
    pub const fn halves(&self, bit: bool) -> [u32; 2] {
        if bit {
            [self.one_half as u32, self.one_half as u32]
        } else {
            [self.zero_first as u32, self.zero_second as u32]
        }
    }

    /// Lengths of the two halves of the packet start bit, µs.
    pub const fn start_bit_halves(&self) -> [u32; 2] {
        if self.start_half == self.zero_first {
            self.halves(false)
        } else {
            [self.start_half as u32, self.start_half as u32]
        }
    }
}

impl Default for SenderTiming {
    fn default() -> Self {
        Self::NOMINAL
    }
}

/// Whether a packet start bit shows the automatic-logon signature: at least 20 µs longer, as a whole, than the other
/// zeros of the packet (RCN-218 §1.3).
pub const fn is_logon_signature(start_bit_us: u32, other_zero_us: u32) -> bool {
    start_bit_us >= other_zero_us.saturating_add(20)
}

/// What is wrong with the timing of a bit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimingError {
    /// The half-bit lies in neither window.
    HalfOutOfRange {
        /// Its length, µs.
        half_us: u32,
    },
    /// One half says "1", the other says "0".
    HalvesDisagree {
        /// Length of the first half, µs.
        first_us: u32,
        /// Length of the second half, µs.
        second_us: u32,
    },
    /// Both halves say "1" but differ by more than is allowed.
    UnequalOne {
        /// Length of the first half, µs.
        first_us: u32,
        /// Length of the second half, µs.
        second_us: u32,
        /// The largest difference allowed, µs.
        most_us: u16,
    },
    /// A "0" is longer, as a whole, than [`ZERO_WHOLE_MOST`].
    WholeZeroTooLong {
        /// Length of the whole bit, µs.
        whole_us: u32,
    },
}

impl fmt::Display for TimingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::HalfOutOfRange { half_us } => {
                write!(f, "half-bit of {half_us} µs is neither half of a one nor half of a zero")
            }
            Self::HalvesDisagree { first_us, second_us } => {
                write!(f, "halves of {first_us} µs and {second_us} µs do not make one bit")
            }
            Self::UnequalOne { first_us, second_us, most_us } => write!(
                f,
                "halves of a one last {first_us} µs and {second_us} µs, which differ by more than {most_us} µs"
            ),
            Self::WholeZeroTooLong { whole_us } => {
                write!(f, "zero lasts {whole_us} µs in all, more than {ZERO_WHOLE_MOST} µs")
            }
        }
    }
}

impl core::error::Error for TimingError {}

/// The signal must go on after the packet end bit for at least this long (S-9.2 §A note 3; NEM 671 §3).
pub const SIGNAL_AFTER_END_BIT: Microseconds = Microseconds::from_micros(26);
/// Least gap between two packets for the same decoder, end bit to start bit (S-9.2 §C; NEM 671 §5.1).
pub const SAME_DECODER_GAP: Microseconds = Microseconds::from_millis(5);
/// A command station must be able to send complete packets at least this often, start bit to start bit, so that a
/// decoder stays digital (S-9.2 §C; NEM 671 §5.2 and §6).
pub const PACKET_INTERVAL_MOST: Microseconds = Microseconds::from_millis(30);
/// After a reset packet, nothing to addresses 100 to 127 for this long unless service mode is meant (S-9.2 §B;
/// NEM 671 §4.2).
pub const AFTER_RESET_SILENCE: Microseconds = Microseconds::from_millis(20);
/// Every active vehicle address is refreshed at least this often (RCN-200 §7).
pub const REFRESH_MOST: Microseconds = Microseconds::from_millis(2500);
/// Direct current without a change of polarity for this long may be taken for an analog supply (RCN-200 §5).
pub const ANALOG_AFTER_STEADY: Microseconds = Microseconds::from_millis(200);
/// Least number of reset packets at the start of operation (S-9.2.4 §A).
pub const START_UP_RESETS: u16 = 20;
/// Least number of idle packets after them (S-9.2.4 §A).
pub const START_UP_IDLES: u16 = 10;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn windows_include_their_limits_and_exclude_the_next_nanosecond() {
        let decoder = HalfBitLimits::DECODER;
        assert_eq!(decoder.classify_nanoseconds(52_000), Some(HalfBit::One));
        assert_eq!(decoder.classify_nanoseconds(51_999), None);
        assert_eq!(decoder.classify_nanoseconds(64_001), None);
        assert_eq!(decoder.classify_nanoseconds(89_999), None);
        assert_eq!(decoder.classify(10_000), Some(HalfBit::Zero));
        assert_eq!(decoder.classify(10_001), None);
    }

    #[test]
    fn a_one_must_have_equal_halves_and_a_zero_need_not() {
        assert_eq!(HalfBitLimits::DECODER.judge(55, 61), Ok(true));
        assert_eq!(
            HalfBitLimits::DECODER.judge(54, 61),
            Err(TimingError::UnequalOne { first_us: 54, second_us: 61, most_us: 6 })
        );
        assert_eq!(HalfBitLimits::DECODER.judge(100, 9_000), Ok(false));
        assert_eq!(
            HalfBitLimits::DECODER.judge(58, 100),
            Err(TimingError::HalvesDisagree { first_us: 58, second_us: 100 })
        );
    }

    #[test]
    fn a_sender_stays_within_the_track_limits() {
        assert_eq!(SenderTiming::new(58, 100, 100), Ok(SenderTiming::NOMINAL));
        assert_eq!(SenderTiming::new(54, 100, 100), Err(TimingError::HalfOutOfRange { half_us: 54 }));
        assert_eq!(SenderTiming::new(100, 100, 100), Err(TimingError::HalfOutOfRange { half_us: 100 }));
        assert_eq!(SenderTiming::new(58, 58, 58), Err(TimingError::HalfOutOfRange { half_us: 58 }));
        assert_eq!(
            SenderTiming::new(58, 9_900, 9_900),
            Err(TimingError::WholeZeroTooLong { whole_us: 19_800 })
        );
    }

    #[test]
    fn the_logon_signature_is_seen_by_the_rule_of_the_receiver() {
        let timing = SenderTiming::NOMINAL.with_logon_signature();
        let start: u32 = timing.start_bit_halves().iter().sum();
        let other: u32 = timing.halves(false).iter().sum();
        assert!(is_logon_signature(start, other));
        assert!(!is_logon_signature(other, other));
    }

    #[test]
    fn messages_name_the_lengths() {
        use std::string::ToString;
        assert_eq!(
            TimingError::HalfOutOfRange { half_us: 75 }.to_string(),
            "half-bit of 75 µs is neither half of a one nor half of a zero"
        );
        assert_eq!(Microseconds::from_micros(65_808).to_string(), "65.808 ms");
        assert_eq!(Microseconds::from_micros(58).to_string(), "58 µs");
    }
}
