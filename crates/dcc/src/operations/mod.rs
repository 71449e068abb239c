//! Operations mode: programming on the main, start of operation, and the time between packets.
//!
//! What it is: the sender's sequences ([`WriteSequence`], [`start_of_operation`]), the decoder's rule of two identical
//! packets ([`CvGate`]), and a check of the rules between packets ([`Pacing`]).
//! What it is not: a refresh scheduler.
//!
//! Source: NMRA S-9.2 §B and §C; S-9.2.1 §C; S-9.2.4 §A; RCN-214 (digest); RCN-217 §2.5 and §5.1; RCN-226 §2.2 and §3.

mod gate;
mod pacing;
mod sending;
#[cfg(test)]
mod tests;

pub use gate::{CvGate, OwnAddresses};
pub use pacing::{Pacing, PacingFault};
pub use sending::{WriteSequence, sends_on_change, start_of_operation};

use crate::cv::CvNumber;
use crate::timing::Microseconds;

/// Pause before the next write when no answer can be heard (RCN-214, digest: about 100 ms).
pub const PAUSE_BETWEEN_WRITES: Microseconds = Microseconds::from_millis(100);

/// Whether a CV may be written on the main. CV8 resets only in service mode (RCN-226 §2.2), and writes to CV7 on the
/// main configure devices without an address, so that decoders must ignore them (RCN-226 §3).
pub const fn may_be_written_on_the_main(cv: CvNumber) -> bool {
    !matches!(cv.get(), 7 | 8)
}
