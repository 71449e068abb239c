//! The search for a mode that the decoder obeys: direct, paged, register, address-only, in this order.
//!
//! Source: NMRA S-9.2.3 §E: direct mode by bit 7 of CV8; a decoder without paged mode must not answer while its page
//! register is above 1. The rest of the search is our own.

use datasheets::ServiceMode;
use dcc::service::{DirectModeProbe, Operation, Register};
use dcc::{CvAccess, CvNumber, CvOperation};

use super::virtual_link::VirtualLink;
use super::{Act, LinkError};
use crate::programmer::{PageStage, RailPurpose};
use crate::rails::Rails;
use crate::standard::{LOCK_NUMBER, MANUFACTURER, MAXIMUM_VOLTAGE};
use crate::strategy::{TRIES, patiently};

/// How often direct mode is probed: a lost contact in the first probe would cost a search by counting (own choice).
const DIRECT_PROBES: u32 = 2;

/// Lock numbers that are likely: 1 motor, 2 sound, 3 other (S-9.2.2 and RCN-225 CV15/16). Trying all 239 would take a
/// quarter of a minute more for every decoder that is silent for another reason.
const LIKELY_LOCKS: [u8; 3] = [1, 2, 3];

/// The first mode in which the decoder says yes to anything; none when it says nothing.
///
/// # Errors
/// [`LinkError::Locked`] and those of a question.
pub(super) fn find_mode<R: Rails>(
    link: &mut VirtualLink<R>,
    expected: Option<u8>,
) -> Result<Option<ServiceMode>, LinkError> {
    for _ in 0..DIRECT_PROBES {
        if obeys_direct(link)? {
            return Ok(Some(ServiceMode::Direct));
        }
    }
    // A locked decoder that follows RCN-225 answers for nothing but comparisons of CV16.
    let lock = |value| Operation::Direct(CvAccess::verify(LOCK_NUMBER, value));
    let lock_act = |value| Act::VerifyByte { cv: LOCK_NUMBER, value };
    if let Some(number) = count(link, None, LIKELY_LOCKS, lock, lock_act)? {
        return Err(LinkError::Locked { number });
    }
    let manufacturer = |value| Operation::RegisterVerify { register: Register::MANUFACTURER, value };
    let act = |value| Act::VerifyByte { cv: MANUFACTURER, value };
    if let Some(value) = count(link, expected, 0..=255, manufacturer, act)? {
        // On page 2 only a decoder with paged mode may answer, also for the registers that have no page. What CV5 holds
        // does not matter: asking for it sets the page.
        let mut acknowledges_pages = false;
        for _ in 0..TRIES {
            let page_2 = Operation::PagedVerify { cv: MAXIMUM_VOLTAGE, value: 0 };
            let answer = link.exchange(page_2, PageStage::Send, RailPurpose::PageRegister)?;
            acknowledges_pages |= answer.is_page_acknowledged;
            if acknowledges_pages && !answer.is_contact_lost {
                break;
            }
        }
        let outcome = patiently(|| {
            link.perform(manufacturer(value), PageStage::Skip, RailPurpose::VerifyByte, act(value))
        })?;
        link.forget_page(acknowledges_pages);
        let mode = if outcome.is_acknowledged { ServiceMode::Paged } else { ServiceMode::Register };
        return Ok(Some(mode));
    }
    let address = |value| Act::VerifyByte { cv: CvNumber::FIRST, value };
    let found = count(link, Some(3), 1..=127, Operation::AddressOnlyVerify, address)?;
    Ok(found.map(|_| ServiceMode::AddressOnly))
}

fn obeys_direct<R: Rails>(link: &mut VirtualLink<R>) -> Result<bool, LinkError> {
    let mut probe = DirectModeProbe::new();
    while let Some(access) = probe.question() {
        let (CvOperation::VerifyBit { bit, value }, cv) = (access.operation, access.cv) else {
            unreachable!("the probe asks for bits")
        };
        let act = Act::VerifyBit { cv, bit, value };
        let outcome = patiently(|| {
            link.perform(Operation::Direct(access), PageStage::Send, RailPurpose::VerifyBit, act)
        })?;
        probe.answer(outcome.is_acknowledged);
    }
    Ok(probe.result() == Some(true))
}

/// The first value that is acknowledged, the expected one tried first.
fn count<R: Rails>(
    link: &mut VirtualLink<R>,
    expected: Option<u8>,
    values: impl IntoIterator<Item = u8>,
    operation: impl Fn(u8) -> Operation,
    act: impl Fn(u8) -> Act,
) -> Result<Option<u8>, LinkError> {
    let mut stage = PageStage::Send;
    let others = values.into_iter().filter(|value| Some(*value) != expected);
    for value in expected.into_iter().chain(others) {
        let outcome =
            patiently(|| link.perform(operation(value), stage, RailPurpose::VerifyByte, act(value)))?;
        if outcome.is_acknowledged {
            return Ok(Some(value));
        }
        stage = PageStage::Skip;
    }
    Ok(None)
}
