//! What the plain way of reading costs on the rails, to compare with.
//!
//! Source: NMRA S-9.2.3 §E; the reference text, table 5.6, has the same figures worked out.

use datasheets::ServiceMode;
use dcc::service::{IDENTICAL_PACKETS, Operation, Options, Purpose, Register, Sequence, Step};
use dcc::timing::SenderTiming;
use dcc::{BitPosition, CvAccess, CvNumber, Microseconds, PREAMBLE_SERVICE};

/// How long reading a CV takes without a guess, when the decoder answers as early as it can and nothing is repeated.
///
/// In direct mode that is eight questions whether a bit is 1 and one comparison with the whole value; in the other modes,
/// a comparison with 0, 1, 2 and so on up to the value, the page register set once. The bits have their nominal length.
#[must_use]
pub fn plain_read_time(mode: ServiceMode, cv: CvNumber, value: u8) -> Microseconds {
    if mode == ServiceMode::Direct {
        let bits = BitPosition::all().map(|bit| {
            let access = CvAccess::verify_bit(cv, bit, true);
            question_time(Operation::Direct(access), bit.of(value))
        });
        let confirmation = question_time(Operation::Direct(CvAccess::verify(cv, value)), true);
        return bits.sum::<Microseconds>() + confirmation;
    }
    let operation = |value| match mode {
        ServiceMode::Register => {
            Register::of_cv(cv).map_or(Operation::PagedVerify { cv, value }, |register| {
                Operation::RegisterVerify { register, value }
            })
        }
        ServiceMode::AddressOnly => Operation::AddressOnlyVerify(value),
        ServiceMode::Direct | ServiceMode::Paged => Operation::PagedVerify { cv, value },
    };
    let counted = (0..value).map(|other| without_page(operation(other), false));
    counted.sum::<Microseconds>() + without_page(operation(value), true) + page_time(operation(value))
}

/// How long one question takes, answered in the first packet in which it can be, or not at all.
fn question_time(operation: Operation, is_acknowledged: bool) -> Microseconds {
    let Ok(whole) = Sequence::new(operation, Options::default()) else {
        return Microseconds::ZERO;
    };
    let answered = whole.acknowledged_in(u16::from(IDENTICAL_PACKETS) + 1).filter(|_| is_acknowledged);
    answered.unwrap_or(whole).duration(PREAMBLE_SERVICE, SenderTiming::NOMINAL)
}

fn without_page(operation: Operation, is_acknowledged: bool) -> Microseconds {
    question_time(operation, is_acknowledged) - page_time(operation)
}

/// How long the packets take that set the page register.
fn page_time(operation: Operation) -> Microseconds {
    let Ok(whole) = Sequence::new(operation, Options::default()) else {
        return Microseconds::ZERO;
    };
    let steps = whole.steps();
    let last =
        steps.iter().position(|step| matches!(step, Step::Packets { purpose: Purpose::PageRecovery, .. }));
    let Some(last) = last else { return Microseconds::ZERO };
    steps[..=last]
        .iter()
        .map(|step| match step {
            Step::Packets { packet, count, .. } => {
                packet.duration(PREAMBLE_SERVICE, SenderTiming::NOMINAL) * u32::from(*count)
            }
            Step::PowerCycle => Microseconds::ZERO,
        })
        .sum()
}
