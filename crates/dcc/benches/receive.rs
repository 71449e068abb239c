//! How fast half-bit times are turned into packets.
//!
//! What it is: the speed a person waits for when a capture is read or a simulated track runs ahead of time. The item
//! rate is microseconds of rail time per second of computing, so that `20 Gitem/s` is 20 000 times real time; the byte
//! rate is that of a capture with sixteen bits per half-bit.
//! What it is not: a test; `cargo bench -p dcc -- --test` only runs each once.

use dcc::timing::SenderTiming;
use dcc::{Event, Instruction, PREAMBLE_OPERATIONS, Packet, PacketReceiver};
use divan::Bencher;
use divan::counter::{BytesCount, ItemsCount};

fn main() {
    divan::main();
}

/// Half-bit times of a session with many locomotives: no two packets in a row are alike, so that the processor cannot
/// learn them by heart, and every half-bit is up to 3 µs too long.
fn session() -> Vec<u16> {
    // A fixed sequence of numbers, so that every run measures the same.
    let mut state: u32 = 1;
    let mut random = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        state.to_be_bytes()
    };
    let mut halves = Vec::new();
    for _ in 0..4_000 {
        let [kind, address, value, _] = random();
        let address = address % 127 + 1;
        let payload: &[u8] = match kind % 8 {
            0 => &[0xFF, 0x00],
            1 | 2 => &[address, 0x3F, value],
            3 => &[0xC0 + kind / 8, address, 0x3F, value],
            4 => &[address, 0x80 | value & 0x1F],
            5 => &[0xC0 + kind / 8, address, 0xA0 | value & 0x1F],
            6 => &[address, 0xDE, value],
            _ => &[address, 0xEC, address, value],
        };
        let packet = Packet::from_payload(payload).expect("a packet");
        let lengths = packet.half_bits(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL);
        halves.extend(lengths.map(|half| {
            let [jitter, ..] = random();
            u16::try_from(half).expect("short") + u16::from(jitter % 4)
        }));
    }
    halves
}

fn measure(bencher: Bencher<'_, '_>, receive: impl Fn(&[u16]) -> usize + Sync) {
    let halves = session();
    let rail_micros: u64 = halves.iter().map(|half| u64::from(*half)).sum();
    bencher
        .counter(ItemsCount::new(rail_micros))
        .counter(BytesCount::of_slice(halves.as_slice()))
        .bench(|| receive(divan::black_box(&halves)));
}

#[divan::bench]
fn one_by_one(bencher: Bencher<'_, '_>) {
    measure(bencher, |halves| {
        let mut receiver = PacketReceiver::new();
        halves
            .iter()
            .filter(|half| matches!(receiver.half_bit(u32::from(**half)), Some(Event::Packet(_))))
            .count()
    });
}

#[divan::bench]
fn one_by_one_and_parsed(bencher: Bencher<'_, '_>) {
    measure(bencher, |halves| {
        let mut receiver = PacketReceiver::new();
        let is_understood = |half: &&u16| match receiver.half_bit(u32::from(**half)) {
            Some(Event::Packet(view)) => Instruction::parse(&view).is_ok(),
            _ => false,
        };
        halves.iter().filter(is_understood).count()
    });
}

#[divan::bench]
fn many_at_a_time(bencher: Bencher<'_, '_>) {
    measure(bencher, |halves| {
        let mut packets = 0;
        PacketReceiver::new().feed(halves, |event| packets += usize::from(matches!(event, Event::Packet(_))));
        packets
    });
}

#[divan::bench]
fn many_at_a_time_and_parsed(bencher: Bencher<'_, '_>) {
    measure(bencher, |halves| {
        let mut understood = 0;
        PacketReceiver::new().feed(halves, |event| {
            if let Event::Packet(view) = event {
                understood += usize::from(Instruction::parse(&view).is_ok());
            }
        });
        understood
    });
}
