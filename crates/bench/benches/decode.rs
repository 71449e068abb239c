//! How fast a locomotive follows the rails: one "item" is a microsecond of rail time, so that a throughput of 20 Gitem/s is
//! twenty thousand times real time.

use bench::{Locomotive, read_truth};
use datasheets::Shelf;
use dcc::service::{Operation, Options, Sequence};
use dcc::timing::SenderTiming;
use dcc::{CvAccess, CvNumber, PREAMBLE_OPERATIONS, PREAMBLE_SERVICE, Packet};
use divan::counter::ItemsCount;
use track::Rails;

fn main() {
    divan::main();
}

/// A locomotive with the standard decoder, power on.
fn locomotive(more: &str) -> Locomotive {
    let shelf = Shelf::standard();
    let text = format!(
        "truth.title = \"bench\"\ndecoder.part = \"standard\"\nmotor.resistance = \"24 ohm\"\n{more}"
    );
    let truth = read_truth("truth.toml", &text, &shelf).expect("a whole truth").value;
    let mut locomotive = Locomotive::new(&truth, &shelf, 1).expect("sheets on the shelf");
    locomotive.set_power(true);
    locomotive
}

/// A second of idle packets.
fn idle_second() -> Vec<u32> {
    let idle = Packet::IDLE.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL);
    idle.cycle().take(27_500 / 2).collect()
}

fn drive(bencher: divan::Bencher<'_, '_>, more: &str, half_bits: &[u32]) {
    let mut locomotive = locomotive(more);
    let mut samples = Vec::new();
    let microseconds: u64 = half_bits.iter().map(|half_bit| u64::from(*half_bit)).sum();
    bencher.counter(ItemsCount::new(microseconds)).bench_local(|| {
        samples.clear();
        locomotive.drive(half_bits, &mut samples);
        samples.len()
    });
}

#[divan::bench]
fn idle(bencher: divan::Bencher<'_, '_>) {
    drive(bencher, "", &idle_second());
}

#[divan::bench]
fn packets_that_never_repeat(bencher: divan::Bencher<'_, '_>) {
    // Binary states, which nobody heeds, to an address that nobody has: each packet must be decoded anew.
    let packets = (0..128_u8).flat_map(|low| {
        let packet = Packet::from_payload(&[100, 0xDD, low, low ^ 0x55]).expect("four octets");
        packet.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL).collect::<Vec<u32>>()
    });
    drive(bencher, "", &packets.collect::<Vec<u32>>());
}

#[divan::bench]
fn idle_with_noise(bencher: divan::Bencher<'_, '_>) {
    drive(bencher, "pickup.current-noise = \"3 mA\"", &idle_second());
}

#[divan::bench]
fn idle_on_dirty_rails(bencher: divan::Bencher<'_, '_>) {
    drive(bencher, "pickup.wrong-half-bits = \"0.1 %\"\npickup.losses-per-minute = 60", &idle_second());
}

#[divan::bench]
fn comparisons_in_service_mode(bencher: divan::Bencher<'_, '_>) {
    let cv = CvNumber::new(8).expect("CV8");
    let verify = Operation::Direct(CvAccess::verify(cv, 13));
    let sequence = Sequence::new(verify, Options::default()).expect("a comparison");
    let half_bits: Vec<u32> = sequence
        .packets()
        .flat_map(|(packet, _)| packet.half_bits(PREAMBLE_SERVICE, SenderTiming::NOMINAL))
        .collect();
    drive(bencher, "", &half_bits);
}
