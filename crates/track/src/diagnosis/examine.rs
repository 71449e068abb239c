//! The examination: switch on, look for a mode, ask who it is, read the lock. Nothing is written.
//!
//! Source: the reference text on practice, section 2.6, first line (quiescent current, then CV8 twice).

use super::symptoms::{Facts, Symptoms};
use crate::link::{Link, LinkError};
use crate::permit::Permit;
use crate::run::RunError;
use crate::standard::{LOCK_KEY, LOCK_NUMBER};
use crate::strategy::{Identity, identify};

/// Looks for symptoms, cheapest and safest first, and switches off again. Ends with the first error, which is a symptom too.
pub fn examine<L: Link + ?Sized>(link: &mut L, permit: &Permit, facts: &Facts) -> Symptoms {
    let mut symptoms = Symptoms::default();
    if let Err(error) = look(link, permit, facts, &mut symptoms) {
        let power_on = match &error {
            RunError::Link(LinkError::NoAnswer { power_on }) => Some(*power_on),
            _ => None,
        };
        symptoms.power_on = symptoms.power_on.or(power_on);
        symptoms.error = Some(error);
    }
    symptoms.tally = link.tally();
    link.disconnect();
    symptoms
}

fn look<L: Link + ?Sized>(
    link: &mut L,
    permit: &Permit,
    facts: &Facts,
    symptoms: &mut Symptoms,
) -> Result<(), RunError> {
    let contact = link.connect(permit, facts.identity.map(|identity| identity.manufacturer))?;
    symptoms.power_on = contact.power_on;
    // Where nobody is expected the numbers are only the first to be tried.
    let expected = facts.identity.unwrap_or(Identity { manufacturer: 0, version: 0 });
    let found = identify(link, expected)?;
    symptoms.identity = Some(found);
    let key = link.read(LOCK_KEY, Some(0))?.content;
    let number = link.read(LOCK_NUMBER, Some(0))?.content;
    symptoms.lock = Some((key, number));
    match facts.identity {
        Some(expected) if expected != found => Err(RunError::UnexpectedDecoder { expected, found }),
        _ => Ok(()),
    }
}
