//! The numbers by which an acknowledgement is told from everything else that a current does.
//!
//! Source: NMRA S-9.2.3 §B, §D and §E; RCN-216 (known through a digest). Choices of our own say so.

use dcc::Microseconds;
use dcc::service::{ACKNOWLEDGEMENT_DURATION, ACKNOWLEDGEMENT_MILLIAMPERES_LEAST, ACKNOWLEDGEMENT_TOLERANCE};

use crate::rails::SAMPLE_MICROSECONDS;

/// The least rise of the current over the quiescent one that is an acknowledgement, mA (S-9.2.3 §D).
pub(crate) const STEP_LEAST: f32 = ACKNOWLEDGEMENT_MILLIAMPERES_LEAST as f32;
/// A rise starts to count here, mA: three quarters of [`STEP_LEAST`], so that noise on top of an honest 60 mA does not
/// hide it (own choice).
pub(crate) const RISE: f32 = 0.75 * STEP_LEAST;
/// A rise is over when it falls below this, mA: half of [`STEP_LEAST`]; below [`RISE`], so that noise does not cut one
/// pulse in two (own choice).
pub(crate) const FALL: f32 = 0.5 * STEP_LEAST;
/// The shortest acknowledgement, µs (S-9.2.3 §D: 6 ms ± 1 ms).
pub(crate) const PULSE_LEAST: Microseconds =
    ACKNOWLEDGEMENT_DURATION.saturating_sub(ACKNOWLEDGEMENT_TOLERANCE);
/// The longest acknowledgement, µs (S-9.2.3 §D: 6 ms ± 1 ms).
pub(crate) const PULSE_MOST: Microseconds =
    Microseconds::from_micros(ACKNOWLEDGEMENT_DURATION.as_micros() + ACKNOWLEDGEMENT_TOLERANCE.as_micros());
/// How many samples are averaged: 1 ms, a sixth of a pulse, which leaves its height alone and takes away two thirds of
/// white noise (own choice).
pub(crate) const FILTER_SAMPLES: usize = 10;
/// How wrong the measured length of a pulse may be, µs: half the length of the filter, the delay that noise at the edges
/// of a pulse can turn into length.
pub(crate) const LENGTH_TOLERANCE: Microseconds =
    Microseconds::from_micros(FILTER_SAMPLES as u64 * SAMPLE_MICROSECONDS as u64 / 2);
/// The current may swing this far, mA, and still count as steady (RCN-216, digest: stable within 30 mA).
pub(crate) const SWING_MOST: f32 = 30.0;
/// Below this, mA, nothing is on the rails: the least that a decoder with its processor running can draw is above it
/// (own estimate).
pub(crate) const NOTHING: f32 = 2.0;
/// How fast the baseline may follow a drift, mA in one sample: 1 mA in a millisecond, so that a keep-alive that fills up
/// is followed and the edge of a pulse, 60 mA within a fraction of a millisecond, is not (own choice).
pub(crate) const BASELINE_SLEW: f32 = 0.1;
/// The limit of the programming track, mA (S-9.2.3 §B).
pub(crate) const OVER_CURRENT: f32 = dcc::service::ENERGY_LIMIT_MILLIAMPERES as f32;
/// More than this at a stroke is a short that an output of the decoder feeds, mA, and no acknowledgement through a motor:
/// 18 V (RCN-216, digest: the most on a programming track) through 9 ohm, less than any motor that practice knows has
/// (practice, row 36: 12 to 50 ohm).
pub(crate) const AT_A_STROKE: f32 = 2000.0;
/// From this time after the start of packets on, µs, the draw shall be steady (RCN-216, digest).
pub(crate) const STEADY_AFTER: Microseconds = Microseconds::from_millis(150);
/// What a decoder may draw with its outputs off, mA (S-9.2.3 §E).
pub(crate) const IDLE_MOST: f32 = dcc::service::DECODER_MILLIAMPERES_MOST as f32;
