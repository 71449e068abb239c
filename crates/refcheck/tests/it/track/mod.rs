//! Rail time of the programmer against the reference digest on digital command control, section 5.6 (derived there from
//! NMRA S-9.2.3 §E and S-9.1): what is really driven onto rails, counted there, and what the programmer accounts for.
//!
//! Every row has the digest's own figure in milliseconds, nominal bits; the tolerance is nothing, for all are whole
//! microseconds. The decoder is one of the virtual bench that answers as early as it can, or, for "no ack", one whose motor
//! lead is open, so that it never answers.
//! What is left out: idles at power-on (we send resets), recovery with resets (we repeat the write), the power cycle within
//! address-only mode (we do without), counting in direct mode (we ask for bits there), rows of factory resets.

use bench::{Locomotive, read_truth};
use datasheets::{ServiceMode, Shelf};
use dcc::service::{Operation, Options, Register, Sequence};
use dcc::{BitPosition, CvAccess, CvNumber, Microseconds};
use track::{
    AnswerKind, Link, PageStage, Permit, Programmer, RailPurpose, Rails, VirtualLink, plain_read_time,
};

use crate::dcc::{row, run};

/// A locomotive that counts how long it was driven.
struct Counting {
    locomotive: Locomotive,
    driven: u64,
}

impl Rails for Counting {
    fn set_power(&mut self, is_on: bool) {
        self.locomotive.set_power(is_on);
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        self.driven += half_bits.iter().map(|half_bit| u64::from(*half_bit)).sum::<u64>();
        self.locomotive.drive(half_bits, milliamperes);
    }

    fn wait(&mut self, microseconds: u64) {
        self.locomotive.wait(microseconds);
    }
}

fn rails(motor: &str, cvs: &str) -> Counting {
    let shelf = Shelf::standard();
    let text = format!(
        "truth.title = \"check\"\ndecoder.part = \"standard\"\nmotor.resistance = \"{motor}\"\n[cv]\n{cvs}"
    );
    let truth = read_truth("check.toml", &text, &shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
    Counting { locomotive: Locomotive::new(&truth, &shelf, 1).unwrap(), driven: 0 }
}

const ANSWERS: &str = "24 ohm";
const SILENT: &str = "OL";

fn cv(number: u16) -> CvNumber {
    CvNumber::new(number).unwrap()
}

fn verify_bit_7(value: bool) -> Operation {
    Operation::Direct(CvAccess::verify_bit(cv(8), BitPosition::new(7).unwrap(), value))
}

struct Exchange {
    motor: &'static str,
    operation: Operation,
    microseconds: u64,
}

fn exchange(motor: &'static str, operation: Operation, microseconds: u64) -> Exchange {
    Exchange { motor, operation, microseconds }
}

#[test]
fn operations_last_as_long_as_the_digest_says() {
    const SOURCE: &str = "digest 5.6, from S-9.2.3 §E (derived)";
    let register = |number| Register::new(number).unwrap();
    let direct = Operation::Direct;
    let rows = [
        row("T verify, no ack", SOURCE, exchange(SILENT, direct(CvAccess::verify(cv(29), 6)), 65_808)),
        row("T verify, ack", SOURCE, exchange(ANSWERS, direct(CvAccess::verify(cv(29), 6)), 56_724)),
        row("T write, no ack", SOURCE, exchange(SILENT, direct(CvAccess::write(cv(29), 38)), 116_568)),
        row("T bit, no ack", SOURCE, exchange(SILENT, verify_bit_7(true), 64_968)),
        row("T probe, bit 7 is 0", SOURCE, exchange(ANSWERS, verify_bit_7(false), 56_220)),
        row("T address verify", SOURCE, exchange(SILENT, Operation::AddressOnlyVerify(3), 163_152)),
        row("T address write", SOURCE, exchange(SILENT, Operation::AddressOnlyWrite(3), 230_592)),
        row(
            "T register verify",
            SOURCE,
            exchange(SILENT, Operation::RegisterVerify { register: register(3), value: 10 }, 177_144),
        ),
        row(
            "T register write",
            SOURCE,
            exchange(SILENT, Operation::RegisterWrite { register: register(3), value: 10 }, 205_128),
        ),
        row(
            "T paged verify",
            SOURCE,
            exchange(SILENT, Operation::PagedVerify { cv: cv(65), value: 5 }, 163_152),
        ),
        row(
            "T paged write",
            SOURCE,
            exchange(SILENT, Operation::PagedWrite { cv: cv(65), value: 5 }, 203_280),
        ),
        row("T write CV8 = 8", SOURCE, exchange(SILENT, direct(CvAccess::write(cv(8), 8)), 116_568)),
    ];
    run(&rows, |case, name| {
        let mut programmer = Programmer::new(rails(case.motor, "CV29 = 6\n"));
        programmer.power_on(&Permit::without_job());
        let (driven, accounted) = (programmer.rails().driven, programmer.rail_time().total());
        assert_eq!(driven, 195_900, "{name}: 25 resets (RCN-216, digest)");
        let sequence = Sequence::new(case.operation, Options::default()).unwrap();
        let answer = programmer.exchange(&sequence, PageStage::Send, RailPurpose::Write);
        let expected = if case.motor == ANSWERS { AnswerKind::Acknowledged } else { AnswerKind::None };
        assert_eq!(answer.kind, expected, "{name}");
        assert_eq!(programmer.rails().driven - driven, case.microseconds, "{name}, on the rails");
        let accounted = programmer.rail_time().total() - accounted;
        assert_eq!(accounted, Microseconds::from_micros(case.microseconds), "{name}, accounted");
    });
}

struct Read {
    cv: u16,
    value: u8,
    microseconds: u64,
}

#[test]
fn readings_last_as_long_as_the_digest_says() {
    const SOURCE: &str = "digest 5.6, 8 bit verifies + 1 confirming byte verify (derived)";
    let rows = [
        row("T read CV29 = 6", SOURCE, Read { cv: 29, value: 6, microseconds: 558_972 }),
        row("T read CV29 = 38", SOURCE, Read { cv: 29, value: 38, microseconds: 550_224 }),
        row("T read CV1 = 3", SOURCE, Read { cv: 1, value: 3, microseconds: 567_876 }),
    ];
    run(&rows, |case, name| {
        let mut link = VirtualLink::new(rails(ANSWERS, &format!("CV{} = {}\n", case.cv, case.value)));
        link.connect(&Permit::without_job(), None).unwrap();
        let expected = Microseconds::from_micros(case.microseconds);
        let reading = link.read(cv(case.cv), None).unwrap();
        assert_eq!(reading.content.value(), Some(case.value), "{name}");
        assert_eq!(reading.rail_time, expected, "{name}");
        assert_eq!(reading.plain_rail_time, Some(expected), "{name}");
        // The digest's figure for a comparison that is acknowledged: 3R + 3V + 1R.
        let guessed = link.read(cv(case.cv), Some(case.value)).unwrap();
        assert!(
            guessed.rail_time.as_micros() * 9 < case.microseconds,
            "{name}: a right guess costs less than a ninth"
        );
    });
}

#[test]
fn readings_of_the_table_that_no_decoder_holds() {
    // CV8 of the bench's decoders is 13; these rows are computed only.
    const SOURCE: &str = "digest 5.6, 8 bit verifies + 1 confirming byte verify (derived)";
    let rows = [
        row("T read CV8 = 0", SOURCE, Read { cv: 8, value: 0, microseconds: 576_972 }),
        row("T read CV8 = 255", SOURCE, Read { cv: 8, value: 255, microseconds: 505_476 }),
    ];
    run(&rows, |case, name| {
        let plain = plain_read_time(ServiceMode::Direct, cv(case.cv), case.value);
        assert_eq!(plain, Microseconds::from_micros(case.microseconds), "{name}");
    });
}
