//! Links: a way to ask a decoder on a programming track, whatever stands between.
//!
//! What it is: the trait that reading, runs and diagnosis are written against, and [`VirtualLink`], which does it with
//! packets of our own over [`crate::Rails`]. A command station that programs by itself will implement the trait too.
//! What it is not: a strategy. A link asks what it is told to ask, once.
//!
//! Source: NMRA S-9.2.3.

mod error;
mod probe;
mod tally;
#[cfg(test)]
mod tests;
mod virtual_link;

use datasheets::ServiceMode;
use dcc::{BitPosition, CvNumber, Microseconds};

pub use error::{Act, LinkError, WayOut};
pub use tally::Tally;
pub use virtual_link::VirtualLink;

use crate::acknowledgement::{Confidence, Evidence};
use crate::permit::Permit;
use crate::programmer::PowerOnReading;
use crate::strategy::{self, Reading};

/// The answer to one question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outcome {
    /// Whether the decoder said yes. Of a write, silence is no refusal: the standard does not oblige a decoder to
    /// acknowledge writes (S-9.2.3 §D).
    pub is_acknowledged: bool,
    /// How clear that is.
    pub confidence: Confidence,
    /// What was measured; nothing where the link only says yes or no.
    pub evidence: Option<Evidence>,
}

/// What connecting showed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contact {
    /// The modes that the decoder is known to obey now, the one in use first.
    pub modes: Vec<ServiceMode>,
    /// What switching on showed; nothing where the link cannot measure.
    pub power_on: Option<PowerOnReading>,
}

/// A way to ask a decoder on a programming track.
pub trait Link {
    /// Switches the track on and finds a mode that the decoder obeys. `expected` is the content of CV8 to try first
    /// where the mode can only be found by counting.
    ///
    /// # Errors
    /// Any [`LinkError`] but those of a mode.
    fn connect(&mut self, permit: &Permit, expected: Option<u8>) -> Result<Contact, LinkError>;

    /// Leaves the decoder as the mode wants it left and takes the power off. Without effect when it is off.
    fn disconnect(&mut self);

    /// The mode in use; none when not connected.
    fn mode(&self) -> Option<ServiceMode>;

    /// Whether a CV holds a value.
    ///
    /// # Errors
    /// Any [`LinkError`] but [`LinkError::NoAnswer`].
    fn verify_byte(&mut self, cv: CvNumber, value: u8) -> Result<Outcome, LinkError>;

    /// Whether a bit of a CV holds a value.
    ///
    /// # Errors
    /// As [`Self::verify_byte`], and [`LinkError::NotInThisMode`] in any but direct mode.
    fn verify_bit(&mut self, cv: CvNumber, bit: BitPosition, value: bool) -> Result<Outcome, LinkError>;

    /// Writes a CV.
    ///
    /// # Errors
    /// As [`Self::verify_byte`]. [`LinkError::Unclear`] says nothing about whether it was stored.
    fn write_byte(&mut self, cv: CvNumber, value: u8) -> Result<Outcome, LinkError>;

    /// Forgets what the link believes about registers of the decoder, so that the next question sets them anew.
    fn renew(&mut self) {}

    /// What was measured since the latest connecting; none where the link does not measure.
    fn tally(&self) -> Option<Tally> {
        None
    }

    /// How long the rails have been used by this link, waiting with the power off included.
    fn rail_time(&self) -> Microseconds;

    /// Reads a CV, trying the guess first. A command station that reads by itself overrides this.
    ///
    /// # Errors
    /// As [`Self::verify_byte`], [`LinkError::Unclear`] only after several tries.
    fn read(&mut self, cv: CvNumber, guess: Option<u8>) -> Result<Reading, LinkError> {
        strategy::read(self, cv, guess)
    }
}
