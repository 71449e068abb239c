//! Strategies: what to ask a decoder that can only say yes, so that its answers amount to a value.
//!
//! What it is: reading with a guess, bit by bit or by counting, with repetition; the two looks at who the decoder is; and
//! what the plain way would have cost. The order of questions is decided here and nowhere else, so that better orders have
//! one place to go.
//! What it is not: packets, or a record of what was done.
//!
//! Source: NMRA S-9.2.3 §E; RCN-214 (digest) for CVs that are not there; the repetition is the suggestion of the reference
//! text, 5.6.

mod cost;
mod identity;
mod reading;
#[cfg(test)]
mod tests;

use datasheets::ServiceMode;
use dcc::service::{BitwiseRead, ReadResult};
use dcc::{CvNumber, CvOperation};

pub use cost::plain_read_time;
pub(crate) use identity::identify;
pub use identity::{Identity, IdentityError};
pub use reading::{Content, Reading};

use crate::acknowledgement::{Confidence, Evidence};
use crate::link::{Link, LinkError, Outcome};

/// How often a question is asked, or a CV read, before it is given up (reference text, 5.6).
pub(crate) const TRIES: u32 = 3;
/// How often all values are counted through: a decoder that misses a question among five packets is rare, and a round lasts
/// a quarter of a minute (own choice).
const COUNTING_ROUNDS: u32 = 2;

/// Reads a CV.
///
/// A guess is asked for first, because one question costs an eighth of a reading by bits. In direct mode the bits follow
/// and one comparison with the whole value; in the other modes all values are counted through. A value that is not
/// confirmed is read again, three times in all. What was not confirmed is never a value.
///
/// # Errors
/// Those of [`Link::verify_byte`].
pub fn read<L: Link + ?Sized>(link: &mut L, cv: CvNumber, guess: Option<u8>) -> Result<Reading, LinkError> {
    let start = link.rail_time();
    let mode = link.mode().ok_or(LinkError::NotConnected)?;
    let mut evidence = Vec::new();
    let mut n_tries = 0;
    let content = read_content(link, mode, cv, guess, &mut n_tries, &mut evidence)?;
    let plain = content.value().map(|value| plain_read_time(mode, cv, value));
    Ok(Reading {
        content,
        n_tries,
        evidence: weakest(&evidence),
        rail_time: link.rail_time() - start,
        plain_rail_time: plain,
    })
}

fn read_content<L: Link + ?Sized>(
    link: &mut L,
    mode: ServiceMode,
    cv: CvNumber,
    guess: Option<u8>,
    n_tries: &mut u32,
    evidence: &mut Vec<Evidence>,
) -> Result<Content, LinkError> {
    if let Some(value) = guess {
        *n_tries += 1;
        if holds(link, cv, value, evidence)? {
            return Ok(Content::Value(value));
        }
    }
    let n_rounds = if mode == ServiceMode::Direct { TRIES } else { COUNTING_ROUNDS };
    let mut spelled = Vec::new();
    for _ in 0..n_rounds {
        *n_tries += 1;
        link.renew();
        let result = match mode {
            ServiceMode::Direct => by_bits(link, cv, evidence)?,
            ServiceMode::Paged | ServiceMode::Register => by_counting(link, cv, u8::MAX, guess, evidence)?,
            ServiceMode::AddressOnly => by_counting(link, cv, MOST_ADDRESS, guess, evidence)?,
        };
        match result {
            ReadResult::Value(value) => return Ok(Content::Value(value)),
            ReadResult::NotImplemented => return Ok(Content::Absent),
            ReadResult::Silent => {}
            ReadResult::NotConfirmed(value) => spelled.push(value),
        }
    }
    Ok(if spelled.is_empty() { Content::Silent } else { Content::Unsettled { spelled } })
}

/// The most that address-only mode can carry (S-9.2.3 §E).
const MOST_ADDRESS: u8 = 127;

/// Whether a CV holds a value: one question, repeated while the answer is not clear.
///
/// # Errors
/// Those of [`Link::verify_byte`].
pub(crate) fn holds<L: Link + ?Sized>(
    link: &mut L,
    cv: CvNumber,
    value: u8,
    evidence: &mut Vec<Evidence>,
) -> Result<bool, LinkError> {
    let outcome = patiently(|| link.verify_byte(cv, value))?;
    note(outcome, evidence);
    Ok(outcome.is_acknowledged)
}

/// Asks a question up to three times while the answer is unclear or weak. Weak answers are put to the vote.
///
/// # Errors
/// [`LinkError::Unclear`] when no answer was clear, any other error at once.
pub(crate) fn patiently(mut ask: impl FnMut() -> Result<Outcome, LinkError>) -> Result<Outcome, LinkError> {
    let mut weak: Vec<Outcome> = Vec::new();
    let mut unclear = None;
    for _ in 0..TRIES {
        match ask() {
            Ok(outcome) if outcome.confidence > Confidence::Weak => return Ok(outcome),
            Ok(outcome) => weak.push(outcome),
            Err(error @ (LinkError::Unclear { .. } | LinkError::PageUnheard { .. })) => unclear = Some(error),
            Err(error) => return Err(error),
        }
    }
    let n_yes = weak.iter().filter(|outcome| outcome.is_acknowledged).count();
    let verdict = 2 * n_yes > weak.len();
    match (weak.into_iter().find(|outcome| outcome.is_acknowledged == verdict), unclear) {
        (Some(outcome), _) => Ok(outcome),
        (None, Some(error)) => Err(error),
        (None, None) => unreachable!("every try left an outcome or an error"),
    }
}

fn by_bits<L: Link + ?Sized>(
    link: &mut L,
    cv: CvNumber,
    evidence: &mut Vec<Evidence>,
) -> Result<ReadResult, LinkError> {
    let mut read = BitwiseRead::new(cv);
    loop {
        if let Some(result) = read.result() {
            return Ok(result);
        }
        let Some(question) = read.question() else { unreachable!("without a result there is a question") };
        let outcome = patiently(|| match question.operation {
            CvOperation::VerifyBit { bit, value } => link.verify_bit(cv, bit, value),
            CvOperation::Verify(value) => link.verify_byte(cv, value),
            CvOperation::Write(_) | CvOperation::WriteBit { .. } => {
                unreachable!("reading writes nothing")
            }
        })?;
        note(outcome, evidence);
        read.answer(outcome.is_acknowledged);
    }
}

fn by_counting<L: Link + ?Sized>(
    link: &mut L,
    cv: CvNumber,
    most: u8,
    guess: Option<u8>,
    evidence: &mut Vec<Evidence>,
) -> Result<ReadResult, LinkError> {
    for value in guess.into_iter().chain((0..=most).filter(|value| Some(*value) != guess)) {
        if value <= most && holds(link, cv, value, evidence)? {
            return Ok(ReadResult::Value(value));
        }
    }
    Ok(ReadResult::Silent)
}

fn note(outcome: Outcome, evidence: &mut Vec<Evidence>) {
    if let Some(measured) = outcome.evidence.filter(|_| outcome.is_acknowledged) {
        evidence.push(measured);
    }
}

/// The acknowledgement with the smallest step: the one that a doubt would rest on.
fn weakest(evidence: &[Evidence]) -> Option<Evidence> {
    let step = |measured: &&Evidence| measured.step_microamperes();
    evidence.iter().min_by_key(step).copied()
}
